"""Files as answers, under names that every system can store."""

from __future__ import annotations

import re

from django.http import HttpResponse
from django.utils.http import content_disposition_header


def csv_download(content: bytes, name: str) -> HttpResponse:
    """A CSV file to be stored."""
    return _download(content, "text/csv; charset=utf-8", f"{name}.csv", as_attachment=True)


def pdf_download(content: bytes, name: str) -> HttpResponse:
    """A PDF to be looked at in the browser."""
    return _download(content, "application/pdf", f"{name}.pdf", as_attachment=False)


def json_download(content: str, name: str) -> HttpResponse:
    """A JSON file to be stored."""
    return _download(content.encode(), "application/json", f"{name}.json", as_attachment=True)


def _download(content: bytes, kind: str, name: str, *, as_attachment: bool) -> HttpResponse:
    response = HttpResponse(content, content_type=kind)
    response["Content-Disposition"] = content_disposition_header(as_attachment, safe_file_name(name)) or ""
    response["Cache-Control"] = "private, no-store"
    return response


def safe_file_name(name: str) -> str:
    """``name`` without what a file system or a header would trip over.

    Examples
    --------
    >>> safe_file_name('parts  a/b: "c".csv')
    'parts a b c .csv'
    """
    return " ".join(re.sub(r'[\x00-\x1f<>:"/\\|?*]', " ", name).split())[:120]
