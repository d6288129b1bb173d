"""The fuse panel as it is fitted: positions in order, each fuse in its colour with its rating and what it feeds."""

from __future__ import annotations

import math
from collections.abc import Sequence

from circuits.drawings.fuses import FUSE_HEIGHT, fuse_drawn
from circuits.drawings.lettering import fitted, wrapped
from circuits.drawings.shapes import Anchor, Drawing, Ink, Line, Pen, Rect, Shape, Text, moved
from circuits.sized import Fuse

_MARGIN = 12.0
_HEAD = 30.0
_COLUMN = 300.0
_ROW = 38.0
_ONE_COLUMN_ROWS = 8
_SIZE = 12.0
_NUMBER_X, _FUSE_X, _WORDS_X = 30.0, 42.0, 88.0
_QUIET = Pen(stroke=Ink.NONE, fill=Ink.SECOND)
_FRAME = Pen(width=1.25)
_HAIR = Pen(stroke=Ink.SECOND, width=0.5)


def panels(fuses: Sequence[Fuse]) -> tuple[tuple[str, tuple[Fuse, ...]], ...]:
    """Fuses by the place they sit at, both in the order of first mention.

    Examples
    --------
    >>> from circuits.plan import FuseFamily
    >>> horn = Fuse("horn", FuseFamily.BLADE, 15.0, "panel", "horn", "blue", "")
    >>> [(place, len(there)) for place, there in panels([horn, horn])]
    [('panel', 2)]
    """
    places: dict[str, list[Fuse]] = {}
    for fuse in fuses:
        places.setdefault(fuse.at, []).append(fuse)
    return tuple((place, tuple(there)) for place, there in places.items())


def panel_drawing(place: str, fuses: Sequence[Fuse]) -> Drawing:
    """One panel with its fuses, positions numbered from 1 down the columns.

    Parameters
    ----------
    place : str
    fuses : sequence of Fuse
        All that sit there, in order.

    Examples
    --------
    >>> from circuits.plan import FuseFamily
    >>> horn = Fuse("horn", FuseFamily.BLADE, 15.0, "panel", "horn", "blue", "")
    >>> panel_drawing("panel", [horn]).description
    '1: 15 A blade, blue: horn.'
    """
    columns = 1 if len(fuses) <= _ONE_COLUMN_ROWS else 2
    rows = max(math.ceil(len(fuses) / columns), 1)
    width, height = 2 * _MARGIN + columns * _COLUMN, _HEAD + rows * _ROW + 2 * _MARGIN
    shapes: list[Shape] = [
        Text(_MARGIN, 20.0, fitted(place, 14.0, width - 2 * _MARGIN, is_bold=True), 14.0, is_bold=True),
        Rect(_MARGIN, _HEAD, columns * _COLUMN, rows * _ROW + _MARGIN, _FRAME),
    ]
    shapes += [Line(_MARGIN + _COLUMN, _HEAD, _MARGIN + _COLUMN, _HEAD + rows * _ROW + _MARGIN, _HAIR)] * (columns - 1)
    for index, fuse in enumerate(fuses):
        column, row = divmod(index, rows)
        shapes += _position(index + 1, fuse, _MARGIN + column * _COLUMN, _HEAD + _MARGIN / 2 + row * _ROW)
    told = " ".join(f"{i}: {_rated(f)}: {f.name}." for i, f in enumerate(fuses, start=1)) or "No fuses."
    return Drawing(width, height, tuple(shapes), f"Fuses at {place}", told)


def _rated(fuse: Fuse) -> str:
    return f"{fuse.rating_a:g} A {fuse.family}" + (f", {fuse.colour}" if fuse.colour else "")


def _position(number: int, fuse: Fuse, x: float, y: float) -> list[Shape]:
    room = _COLUMN - _WORDS_X - 8.0
    middle = y + _ROW / 2
    name, *more = wrapped(fuse.name, _SIZE, room, max_lines=2)
    below = more[0] if more else _rated(fuse)
    return [
        Text(x + _NUMBER_X, middle + 4.5, str(number), _SIZE, Anchor.END, _QUIET),
        *moved(fuse_drawn(fuse.family.value, fuse.rating_a).shapes, x + _FUSE_X, middle - FUSE_HEIGHT / 2),
        Text(x + _WORDS_X, middle - 2.0, name, _SIZE),
        Text(x + _WORDS_X, middle + 12.0, fitted(below, 11.0, room), 11.0, pen=_QUIET),
    ]
