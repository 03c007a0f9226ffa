"""For gunicorn and other WSGI servers: ``gunicorn projects.config.wsgi``."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "projects.config.settings")
application = get_wsgi_application()

# Models can be imported once the application is there.
from projects.actions import revive  # noqa: E402

revive.watch()
