"""Sizes, inks and spaces of the paper: the same calm sheet as on the page, in black for the printer."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from reportlab.lib.colors import Color, HexColor

INK = HexColor("#14191f")
INK_2 = HexColor("#55606c")
RULE = HexColor("#b4b8b8")
HAIR = HexColor("#dcdcd5")
SHADE = HexColor("#f3f1ea")
ACCENT = HexColor("#1d4f8f")
DANGER = HexColor("#b00d1e")

MM = 72.0 / 25.4
"""Points in a millimetre."""


class Align(StrEnum):
    """Where lines stand in their column."""

    LEFT = "left"
    RIGHT = "right"
    MIDDLE = "middle"


@dataclass(frozen=True, slots=True)
class TextStyle:
    """How a text is set.

    Parameters
    ----------
    size_pt, leading_pt : float
        Height of the lettering, and from base line to base line.
    is_bold : bool
    colour : Color
    align : Align
    before_pt, after_pt : float
        Space above and below the paragraph.
    indent_pt : float
        Space kept at the left.
    max_lines : int
        Cut with an ellipsis beyond; 0 = no limit.
    """

    size_pt: float = 9.0
    leading_pt: float = 12.5
    is_bold: bool = False
    colour: Color = INK
    align: Align = Align.LEFT
    before_pt: float = 0.0
    after_pt: float = 0.0
    indent_pt: float = 0.0
    max_lines: int = 0


BODY = TextStyle(after_pt=4.0)
STRONG = TextStyle(is_bold=True, after_pt=4.0)
QUIET = TextStyle(size_pt=8.0, leading_pt=11.0, colour=INK_2, after_pt=3.0)
HEADING = TextStyle(size_pt=11.5, leading_pt=15.0, is_bold=True, before_pt=12.0, after_pt=4.0)
TITLE = TextStyle(size_pt=19.0, leading_pt=24.0, is_bold=True, after_pt=4.0)
CELL = TextStyle(size_pt=8.5, leading_pt=11.0, max_lines=14)
CELL_HEAD = TextStyle(size_pt=8.0, leading_pt=10.5, colour=INK_2, max_lines=4)
LABEL = TextStyle(size_pt=7.0, leading_pt=9.0, colour=INK_2)
