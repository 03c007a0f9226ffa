"""For gunicorn and other WSGI servers: ``gunicorn projects.config.wsgi``."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "projects.config.settings")
application = get_wsgi_application()
