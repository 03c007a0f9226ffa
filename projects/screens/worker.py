"""The script that keeps the crew's pages readable without a signal. It must come from the top of the site to be
allowed to answer for all of it.
"""

from __future__ import annotations

from pathlib import Path

from django.contrib.staticfiles import finders
from django.http import HttpRequest, HttpResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

SCRIPT = "js/worker.js"


@never_cache
@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """A browser asks for it again at each start, so that a new version is taken up within a day."""
    return HttpResponse(Path(finders.find(SCRIPT)).read_bytes(), content_type="text/javascript; charset=utf-8")
