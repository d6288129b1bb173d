"""A printed address that a phone reads: a QR code (ISO/IEC 18004) as drawn squares."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from reportlab.graphics.barcode.qrencoder import QR8bitByte, QRCode, QRErrorCorrectLevel

from circuits.drawings.shapes import Drawing, Ink, Pen, Rect

MODULE = 4.0
QUIET_MODULES = 4  # ISO/IEC 18004: a quiet zone of four modules on every side
_DARK = Pen(stroke=Ink.NONE, fill="#000000", width=0.0)


@lru_cache(maxsize=64)
def code_modules(text: str) -> tuple[tuple[bool, ...], ...]:
    """The code's squares by row, dark ones true, without the quiet zone. Error correction M: it may get dirty.

    Examples
    --------
    >>> len(code_modules("https://shop.example/jobs/1/"))
    29
    """
    code: Any = QRCode(None, QRErrorCorrectLevel.M)
    code.addData(QR8bitByte(text))
    code.make()
    count = code.getModuleCount()
    return tuple(tuple(bool(code.isDark(row, column)) for column in range(count)) for row in range(count))


@lru_cache(maxsize=64)
def code_drawing(text: str) -> Drawing:
    """The code with its quiet zone; neighbouring dark squares of a row are one rectangle.

    Examples
    --------
    >>> code_drawing("https://shop.example/jobs/1/").width
    148.0
    """
    modules = code_modules(text)
    side = (len(modules) + 2 * QUIET_MODULES) * MODULE
    shapes = [
        Rect((start + QUIET_MODULES) * MODULE, (row + QUIET_MODULES) * MODULE, length * MODULE, MODULE, _DARK)
        for row, squares in enumerate(modules)
        for start, length in _dark_runs(squares)
    ]
    return Drawing(side, side, tuple(shapes), "Code that links to the job", text)


def _dark_runs(squares: tuple[bool, ...]) -> list[tuple[int, int]]:
    """Start and length of each unbroken dark stretch.

    Examples
    --------
    >>> _dark_runs((True, True, False, True))
    [(0, 2), (3, 1)]
    """
    found: list[tuple[int, int]] = []
    for place, is_dark in enumerate(squares):
        if not is_dark:
            continue
        if found and sum(found[-1]) == place:
            found[-1] = (found[-1][0], found[-1][1] + 1)
        else:
            found.append((place, 1))
    return found
