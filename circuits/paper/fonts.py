"""Typefaces of the paper, embedded in every PDF, and which of them writes which character."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

FOLDER = Path(__file__).parent / "fonts"

PLAIN = "Sheet"
BOLD = "SheetBold"
WIDE = "SheetWide"

_FILES = {
    PLAIN: "DejaVuSansCondensed.ttf",
    BOLD: "DejaVuSansCondensed-Bold.ttf",
    WIDE: "wqy-microhei.ttc",  # Chinese, Japanese, Korean
}


class Run(NamedTuple):
    """Neighbouring characters that one typeface writes."""

    font: str
    text: str


@lru_cache(maxsize=len(_FILES))
def font(name: str) -> TTFont:
    """The typeface of that name, read and registered on first use: the widest takes a tenth of a second."""
    face = TTFont(name, str(FOLDER / _FILES[name]))
    pdfmetrics.registerFont(face)
    return face


def _writes(name: str, char: str) -> bool:
    return ord(char) in font(name).face.charToGlyph


@lru_cache(maxsize=8192)
def _font_of(char: str, is_bold: bool) -> str:
    """First typeface that has the character. One that none has is drawn as a box, its code kept for a search."""
    first = BOLD if is_bold else PLAIN
    return next((name for name in (first, PLAIN, WIDE) if _writes(name, char)), first)


@lru_cache(maxsize=4096)
def runs(text: str, is_bold: bool = False) -> tuple[Run, ...]:
    """``text`` as runs of one typeface each.

    Examples
    --------
    >>> [run.font for run in runs("Łódź 電")]
    ['Sheet', 'SheetWide']
    """
    found: list[Run] = []
    for char in text:
        name = _font_of(char, is_bold)
        if found and found[-1].font == name:
            found[-1] = Run(name, found[-1].text + char)
        else:
            found.append(Run(name, char))
    return tuple(found)


@lru_cache(maxsize=16384)
def text_width_pt(text: str, size_pt: float, is_bold: bool = False) -> float:
    """Width of ``text`` on paper [pt].

    Examples
    --------
    >>> text_width_pt("10 A", 9.0) < text_width_pt("10 A", 9.0, is_bold=True)
    True
    """
    return float(sum(font(run.font).stringWidth(run.text, size_pt) for run in runs(text, is_bold)))
