"""A fuse as it looks: its family's body in the colour of its rating, the rating on it."""

from __future__ import annotations

import csv
from functools import lru_cache
from pathlib import Path

from circuits.drawings.shapes import Anchor, Drawing, Ink, Line, Pen, Polyline, Rect, Shape, Text
from circuits.electrical.protection import standard_fuses
from circuits.plan import FuseFamily

FUSE_WIDTH = 34.0
FUSE_HEIGHT = 22.0
_BARE = "#e9e6dc"
_DARK, _LIGHT = "#000000", "#ffffff"
_LETTERING_SPLIT = 0.179  # relative luminance at which dark and light lettering contrast alike (WCAG 2.2)


def _read_tints() -> dict[str, str]:
    with (Path(__file__).parent / "data" / "fuse_tints.csv").open(encoding="utf-8", newline="") as file:
        return {row["colour"]: row["hex"] for row in csv.DictReader(file)}


_TINTS = _read_tints()


@lru_cache(maxsize=512)
def fuse_tint(family: str, rating_a: float) -> tuple[str, str]:
    """Colour name and hex of a rating; an empty name and bare material where it has no colour of the standard.

    Examples
    --------
    >>> fuse_tint("blade", 15.0)[0], fuse_tint("glass", 15.0)[0]
    ('blue', '')
    """
    known = standard_fuses(FuseFamily(family)) if family in set(FuseFamily) else ()
    colour = next((fuse.colour for fuse in known if fuse.rating_a == rating_a), "")
    return colour, _TINTS.get(colour, _BARE)


@lru_cache(maxsize=512)
def fuse_drawn(family: str, rating_a: float) -> Drawing:
    """The fuse with its rating in amperes on it. It has no title: words beside it say the same.

    Examples
    --------
    >>> [shape.text for shape in fuse_drawn("blade", 7.5).shapes if isinstance(shape, Text)]
    ['7.5']
    """
    _, tint = fuse_tint(family, rating_a)
    edge = Pen(stroke=Ink.SECOND, fill=tint, width=0.75)
    match family:
        case FuseFamily.GLASS:
            body = _tube(edge)
        case FuseFamily.BOLT_IN:
            body = _bolted(edge)
        case FuseFamily.FUSIBLE_LINK:
            body = _link(edge)
        case _:
            body = _bladed(edge)
    lettering = _DARK if _luminance(tint) > _LETTERING_SPLIT else _LIGHT
    rating = Text(FUSE_WIDTH / 2, 12.5, f"{rating_a:g}", 10.0, Anchor.MIDDLE, Pen(Ink.NONE, lettering), is_bold=True)
    return Drawing(FUSE_WIDTH, FUSE_HEIGHT, (*body, rating))


def _bladed(edge: Pen) -> tuple[Shape, ...]:
    prong = Pen(stroke=Ink.SECOND, fill="#b9bec4", width=0.75)
    return (Rect(7.0, 15.0, 5.0, 6.5, prong), Rect(22.0, 15.0, 5.0, 6.5, prong), Rect(3.0, 1.0, 28.0, 15.0, edge, 2.0))


def _tube(edge: Pen) -> tuple[Shape, ...]:
    cap = Pen(stroke=Ink.SECOND, fill="#b9bec4", width=0.75)
    return (Rect(5.0, 3.0, 24.0, 13.0, edge), Rect(0.5, 2.0, 6.0, 15.0, cap, 1.0), Rect(27.5, 2.0, 6.0, 15.0, cap, 1.0))


def _bolted(edge: Pen) -> tuple[Shape, ...]:
    tab = Pen(stroke=Ink.SECOND, fill="#b9bec4", width=0.75)
    return (Rect(0.5, 6.0, 33.0, 6.0, tab), Rect(6.0, 1.5, 22.0, 15.5, edge, 1.0))


def _link(edge: Pen) -> tuple[Shape, ...]:
    wave = Polyline(((0.5, 9.0), (4.0, 9.0), (4.0, 2.0), (30.0, 2.0), (30.0, 9.0), (33.5, 9.0)), Pen(width=1.0))
    return (wave, Rect(4.0, 2.0, 26.0, 14.0, edge, 6.0), Line(7.0, 15.0, 27.0, 15.0, Pen(stroke=Ink.SECOND, width=1.0)))


def _luminance(colour: str) -> float:
    """Relative luminance by WCAG 2.2."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
