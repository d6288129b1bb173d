"""Reads a PDF back: its text, and the fonts it carries."""

from __future__ import annotations

from io import BytesIO

from pypdf import PdfReader


def pages(data: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(BytesIO(data)).pages]


def whole(data: bytes) -> str:
    return "\n".join(pages(data))


def fonts(data: bytes) -> dict[str, bool]:
    """Base font names with whether the file of each is embedded."""
    found: dict[str, bool] = {}
    for page in PdfReader(BytesIO(data)).pages:
        for entry in page["/Resources"].get("/Font", {}).values():  # type: ignore[attr-defined]
            font = entry.get_object()
            descriptor = font.get("/FontDescriptor")
            found[str(font["/BaseFont"])] = descriptor is not None and "/FontFile2" in descriptor.get_object()
    return found
