"""Breaks text into lines and puts each line into the order it is drawn in. Text is text here: no markup is ever read.

Lines are broken at spaces, between wide characters, and inside a word only where it is longer than a line.
Right-to-left scripts are joined and ordered line by line (Unicode bidirectional algorithm).
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import lru_cache

import arabic_reshaper
from bidi import get_display

from circuits.paper.fonts import text_width_pt

ELLIPSIS = "…"
_RIGHT_TO_LEFT = ("R", "AL")


@dataclass(frozen=True, slots=True)
class WrittenLine:
    """One line as drawn: characters from left to right.

    Parameters
    ----------
    text : str
    width_pt : float
    is_rtl : bool
        True where its paragraph runs from right to left and so stands at the right margin.
    """

    text: str
    width_pt: float
    is_rtl: bool


def cleaned(text: str) -> str:
    r"""``text`` with composed letters and without control characters; line ends stay.

    Examples
    --------
    >>> cleaned("cafe\u0301\x07")
    'café'
    """
    composed = unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\r", "\n").replace("\t", " "))
    return "".join(char for char in composed if char == "\n" or unicodedata.category(char) != "Cc")


@lru_cache(maxsize=8192)
def written(
    text: str, size_pt: float, width_pt: float, is_bold: bool = False, max_lines: int = 0
) -> tuple[WrittenLine, ...]:
    """``text`` as lines of at most ``width_pt``.

    Parameters
    ----------
    text : str
        Line ends part paragraphs.
    size_pt, width_pt : float
    is_bold : bool
    max_lines : int
        The last line is cut with an ellipsis where more would be needed; 0 = no limit.

    Examples
    --------
    >>> [line.text for line in written("left headlamp low beam", 9.0, 70.0)]
    ['left headlamp', 'low beam']
    """
    lines: list[WrittenLine] = []
    for paragraph in cleaned(text).split("\n"):
        is_rtl = _is_rtl(paragraph)
        broken = _broken(paragraph, size_pt, width_pt, is_bold)
        lines += [_in_drawing_order(line, size_pt, is_bold, is_rtl) for line in broken]
    if max_lines and len(lines) > max_lines:
        last = cut_to(lines[max_lines - 1].text + " " + lines[max_lines].text, size_pt, width_pt, is_bold, always=True)
        width = text_width_pt(last, size_pt, is_bold)
        lines[max_lines - 1 :] = [WrittenLine(last, width, lines[max_lines - 1].is_rtl)]
    return tuple(lines)


def cut_to(text: str, size_pt: float, width_pt: float, is_bold: bool = False, always: bool = False) -> str:
    """``text`` on one line, cut with an ellipsis where it does not fit, or ``always``.

    Examples
    --------
    >>> cut_to("left headlamp", 9.0, 40.0)
    'left hea…'
    """
    if not always and text_width_pt(text, size_pt, is_bold) <= width_pt:
        return text
    kept = text.rstrip()
    while kept and text_width_pt(kept + ELLIPSIS, size_pt, is_bold) > width_pt:
        kept = kept[:-1]
    return kept.rstrip() + ELLIPSIS


def one_line(text: str, size_pt: float, width_pt: float, is_bold: bool = False) -> WrittenLine:
    r"""All of ``text`` on one line, cut where it must be: for the cells of the title block.

    Examples
    --------
    >>> one_line("two\nlines", 9.0, 100.0).text
    'two lines'
    """
    flat = " ".join(cleaned(text).split())
    return _in_drawing_order(cut_to(flat, size_pt, width_pt, is_bold), size_pt, is_bold, _is_rtl(flat))


def _is_rtl(text: str) -> bool:
    """By the first strong character (rule P2 of the algorithm)."""
    for char in text:
        kind = unicodedata.bidirectional(char)
        if kind in _RIGHT_TO_LEFT:
            return True
        if kind == "L":
            return False
    return False


def _in_drawing_order(line: str, size_pt: float, is_bold: bool, is_rtl: bool) -> WrittenLine:
    if any(unicodedata.bidirectional(char) in _RIGHT_TO_LEFT for char in line):
        line = str(get_display(arabic_reshaper.reshape(line), base_dir="R" if is_rtl else "L"))
    return WrittenLine(line, text_width_pt(line, size_pt, is_bold), is_rtl)


def _broken(paragraph: str, size_pt: float, width_pt: float, is_bold: bool) -> list[str]:
    """Lines in reading order; at least one, however narrow the column."""
    lines: list[str] = []
    line = ""
    for piece in _pieces(paragraph):
        if not line and not piece.strip():
            continue
        if text_width_pt((line + piece).rstrip(), size_pt, is_bold) <= width_pt:
            line += piece
            continue
        if line:
            lines.append(line.rstrip())
        *full, line = _chopped(piece.lstrip(), size_pt, width_pt, is_bold)
        lines.extend(full)
    return [*lines, line.rstrip()]


def _pieces(paragraph: str) -> list[str]:
    """Words with the spaces before them; wide characters one by one; long names also after ``-``, ``/`` and ``,``."""
    pieces: list[str] = []
    for char in paragraph:
        is_wide = unicodedata.east_asian_width(char) in ("W", "F")
        last = pieces[-1] if pieces else ""
        starts = not last or is_wide or (char == " " and last.strip()) or (last[-1] in "-/,;" and char != " ")
        follows_wide = bool(last) and unicodedata.east_asian_width(last[-1]) in ("W", "F")
        closes = unicodedata.category(char) in ("Pe", "Pf", "Po")
        if (starts or follows_wide) and not (closes and last.strip()):
            pieces.append(char)
        else:
            pieces[-1:] = [last + char]
    return pieces


def _chopped(word: str, size_pt: float, width_pt: float, is_bold: bool) -> list[str]:
    """A word in parts that fit; at least one character a part."""
    parts = [""]
    for char in word:
        if parts[-1] and text_width_pt(parts[-1] + char, size_pt, is_bold) > width_pt:
            parts.append("")
        parts[-1] += char
    return parts
