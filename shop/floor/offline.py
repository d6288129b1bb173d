"""The script that opens the sheets of the work without a network, under an address that limits what it may touch."""

from __future__ import annotations

from pathlib import Path

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

SCOPE = "/jobs/"
"""Below its own address a service worker may not reach; within, its own list says which sheets it keeps."""

SCRIPT = Path(__file__).parent.parent / "static" / "shop" / "floor_worker.js"


@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """The script: asked for anew each time, and allowed to talk to this site alone. It holds nothing of the shop."""
    answer = HttpResponse(SCRIPT.read_bytes(), content_type="text/javascript; charset=utf-8")
    answer["Service-Worker-Allowed"] = SCOPE
    answer["Cache-Control"] = "no-cache"
    answer["Content-Security-Policy"] = "default-src 'none'; connect-src 'self'"
    return answer
