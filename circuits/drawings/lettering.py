"""How much room lettering takes. The page letters in the reader's own font, so widths are upper estimates.

Advance widths are those of DejaVu Sans by groups of like letters, rounded up: it runs wider than most fonts.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache

_NARROW = frozenset("iljI|!.,:;'` ")
_SLIM = frozenset('tfr()[]{}/\\-"°²³·')
_WIDE = frozenset("mwMW%@—…Ω×→")
_BOLD = 1.12
_ELLIPSIS = "…"


def _em(char: str) -> float:
    if char in _NARROW:
        return 0.36
    if char in _SLIM:
        return 0.47
    if char in _WIDE:
        return 1.0
    if unicodedata.east_asian_width(char) in ("W", "F"):
        return 1.05
    if unicodedata.combining(char):
        return 0.0
    return 0.78 if char.isupper() else 0.66


@lru_cache(maxsize=8192)
def text_width(text: str, size: float, is_bold: bool = False) -> float:
    """Width that ``text`` takes up at most, at lettering height ``size`` (same unit).

    Examples
    --------
    >>> text_width("15 A", 10.0)
    24.6
    """
    width = sum(_em(char) for char in text) * size
    return round(width * (_BOLD if is_bold else 1.0), 3)


def fitted(text: str, size: float, width: float, is_bold: bool = False) -> str:
    """``text``, cut with an ellipsis so that it fits into ``width``.

    Examples
    --------
    >>> fitted("left headlamp low beam", 10.0, 80.0)
    'left headlam…'
    """
    if text_width(text, size, is_bold) <= width:
        return text
    kept = text
    while kept and text_width(kept + _ELLIPSIS, size, is_bold) > width:
        kept = kept[:-1]
    return kept.rstrip() + _ELLIPSIS


def wrapped(text: str, size: float, width: float, max_lines: int = 2) -> tuple[str, ...]:
    """``text`` in at most ``max_lines`` lines of ``width``, broken at spaces where it can be; the last is cut.

    Examples
    --------
    >>> wrapped("left headlamp low beam", 10.0, 90.0)
    ('left headlamp', 'low beam')
    """
    words = text.split()
    lines: list[str] = []
    while words and len(lines) < max_lines - 1:
        line = words.pop(0)
        while words and text_width(f"{line} {words[0]}", size) <= width:
            line = f"{line} {words.pop(0)}"
        if text_width(line, size) > width:
            line, rest = _broken(line, size, width)
            words.insert(0, rest)
        lines.append(line)
    if words:
        lines.append(fitted(" ".join(words), size, width))
    return tuple(lines) or ("",)


def _broken(word: str, size: float, width: float) -> tuple[str, str]:
    """A word too long for the line, in two; at least one letter goes on the line."""
    count = len(word)
    while count > 1 and text_width(word[:count], size) > width:
        count -= 1
    return word[:count], word[count:] or word[-1:]
