"""What the frame of every page needs from the site: where one can go from here."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest


def frame(request: HttpRequest) -> dict[str, Any]:
    """Context of the page frame: the site's sections and the sheets of the job in hand."""
    return {"sections": [], "sheets": []}
