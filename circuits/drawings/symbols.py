"""Graphical symbols in the manner of IEC 60617, each on a grid with its two ends where the wires land.

The standard's drawings are not reproduced: these are our own strokes for its conventions (from memory): rectangle for
a coil, a resistor or a fuse, blade for a contact, crossed circle for a lamp, lettered circle for a machine, falling
lines for ground.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from circuits.drawings.shapes import (
    Anchor,
    Arc,
    Circle,
    Drawing,
    DrawingError,
    Ink,
    Line,
    Pen,
    Polyline,
    Rect,
    Shape,
    Text,
)

SYMBOL_WIDTH = 40.0
SYMBOL_HEIGHT = 28.0
MIDDLE = SYMBOL_HEIGHT / 2
"""Wires land level with this line: at ``x = 0`` and, where there is a second end, at ``x = SYMBOL_WIDTH``."""

_PEN = Pen()
_FULL = Pen(fill=Ink.INK)
_OPEN = Pen(fill=Ink.PAPER)
_LETTER = Pen(stroke=Ink.NONE, fill=Ink.INK)


def _leads(left: float, right: float) -> tuple[Shape, ...]:
    return (Line(0, MIDDLE, left, MIDDLE, _PEN), Line(right, MIDDLE, SYMBOL_WIDTH, MIDDLE, _PEN))


def _fuse() -> tuple[Shape, ...]:
    return (Rect(8, MIDDLE - 5, 24, 10, _PEN), Line(0, MIDDLE, SYMBOL_WIDTH, MIDDLE, _PEN))


def _switch() -> tuple[Shape, ...]:
    return (
        *_leads(11, 29),
        Line(11, MIDDLE, 30, MIDDLE - 9, _PEN),
        Circle(11, MIDDLE, 1.6, _FULL),
        Circle(29, MIDDLE, 1.6, _OPEN),
    )


def _relay_coil() -> tuple[Shape, ...]:
    return (*_leads(12, 28), Rect(12, MIDDLE - 9, 16, 18, _PEN), Line(12, MIDDLE + 4, 28, MIDDLE - 4, _PEN))


def _relay_contact() -> tuple[Shape, ...]:
    return _switch()


def _relay() -> tuple[Shape, ...]:
    dash = Pen(width=1.0, dash=(2.0, 2.0))
    contact = (Line(0, 8, 11, 8, _PEN), Line(29, 8, 40, 8, _PEN), Line(11, 8, 30, 1.5, _PEN))
    coil = (
        Rect(13, 17, 14, 10, _PEN),
        Line(13, 25, 27, 19, _PEN),
        Line(0, 22, 13, 22, _PEN),
        Line(27, 22, 40, 22, _PEN),
    )
    return (*contact, *coil, Line(20, 17, 20, 5.5, dash))


def _lamp() -> tuple[Shape, ...]:
    r, d = 9.0, 6.364
    cross = (Line(20 - d, MIDDLE - d, 20 + d, MIDDLE + d, _PEN), Line(20 - d, MIDDLE + d, 20 + d, MIDDLE - d, _PEN))
    return (*_leads(20 - r, 20 + r), Circle(20, MIDDLE, r, _PEN), *cross)


def _led() -> tuple[Shape, ...]:
    body = Polyline(((13, MIDDLE - 7), (13, MIDDLE + 7), (26, MIDDLE)), _PEN, is_closed=True)
    rays = tuple(
        stroke
        for x in (20.0, 25.0)
        for stroke in (
            Line(x, 7, x + 5, 2, Pen(width=1.0)),
            Polyline(((x + 2, 1.6), (x + 5.4, 1.6), (x + 5.4, 5)), Pen(width=1.0)),
        )
    )
    return (*_leads(13, 26), body, Line(26, MIDDLE - 7, 26, MIDDLE + 7, _PEN), *rays)


def _lettered(letter: str) -> tuple[Shape, ...]:
    circle = Circle(20, MIDDLE, 10, _PEN)
    return (*_leads(10, 30), circle, Text(20, MIDDLE + 4.3, letter, 12.0, Anchor.MIDDLE, _LETTER, is_bold=True))


def _motor() -> tuple[Shape, ...]:
    return _lettered("M")


def _alternator() -> tuple[Shape, ...]:
    return _lettered("G")


def _heater() -> tuple[Shape, ...]:
    bars = tuple(Line(x, MIDDLE - 5, x, MIDDLE + 5, _PEN) for x in (13, 18, 23, 28))
    return (*_leads(8, 33), Rect(8, MIDDLE - 5, 25, 10, _PEN), *bars)


def _resistor() -> tuple[Shape, ...]:
    return (*_leads(8, 32), Rect(8, MIDDLE - 5, 24, 10, _PEN))


def _sensor() -> tuple[Shape, ...]:
    stroke = Polyline(((9, MIDDLE + 9), (14, MIDDLE + 9), (31, MIDDLE - 10)), _PEN)
    return (*_resistor(), stroke)


def _electronics() -> tuple[Shape, ...]:
    marks = tuple(Line(x, MIDDLE + 8, x, MIDDLE + 12, Pen(width=1.0)) for x in (14, 20, 26))
    return (*_leads(8, 32), Rect(8, MIDDLE - 9, 24, 17, _PEN), Rect(13, MIDDLE - 5, 14, 9, Pen(width=1.0)), *marks)


def _horn() -> tuple[Shape, ...]:
    return (*_leads(13, 27), Arc(20, MIDDLE + 5, 9, 180, 180, _PEN), Line(11, MIDDLE + 5, 29, MIDDLE + 5, _PEN))


def _ground() -> tuple[Shape, ...]:
    steps = tuple(Line(20 + 4.0 * i, MIDDLE - 9 + 3 * i, 20 + 4.0 * i, MIDDLE + 9 - 3 * i, _PEN) for i in range(3))
    return (Line(0, MIDDLE, 20, MIDDLE, _PEN), *steps)


def _chassis() -> tuple[Shape, ...]:
    teeth = tuple(Line(20, y, 28, y + 5, _PEN) for y in (MIDDLE - 9, MIDDLE - 1, MIDDLE + 7))
    return (Line(0, MIDDLE, 20, MIDDLE, _PEN), Line(20, MIDDLE - 9, 20, MIDDLE + 7, _PEN), *teeth)


def _splice() -> tuple[Shape, ...]:
    return (Line(0, MIDDLE, SYMBOL_WIDTH, MIDDLE, _PEN), Circle(20, MIDDLE, 3.2, _FULL))


def _battery() -> tuple[Shape, ...]:
    plates = (Line(17, MIDDLE - 10, 17, MIDDLE + 10, _PEN), Line(23, MIDDLE - 5, 23, MIDDLE + 5, Pen(width=3.0)))
    plus = (Line(8, MIDDLE - 7, 13, MIDDLE - 7, _PEN), Line(10.5, MIDDLE - 9.5, 10.5, MIDDLE - 4.5, _PEN))
    return (*_leads(17, 23), *plates, *plus)


def _supply() -> tuple[Shape, ...]:
    return (Circle(8, MIDDLE, 4, _PEN), Line(12, MIDDLE, SYMBOL_WIDTH, MIDDLE, _PEN))


def _connector() -> tuple[Shape, ...]:
    return (
        *_leads(17, 23),
        Polyline(((13, MIDDLE - 6), (20, MIDDLE), (13, MIDDLE + 6)), _PEN),
        Polyline(((20, MIDDLE - 6), (27, MIDDLE), (20, MIDDLE + 6)), _PEN),
    )


_SYMBOLS: dict[str, tuple[str, Callable[[], tuple[Shape, ...]]]] = {
    "supply": ("supply", _supply),
    "battery": ("battery", _battery),
    "alternator": ("alternator", _alternator),
    "fuse": ("fuse", _fuse),
    "switch": ("switch", _switch),
    "relay": ("relay", _relay),
    "relay coil": ("relay coil", _relay_coil),
    "relay contact": ("relay contact", _relay_contact),
    "splice": ("splice", _splice),
    "connector": ("connector", _connector),
    "lamp": ("lamp", _lamp),
    "led": ("light-emitting diode", _led),
    "motor": ("motor", _motor),
    "heater": ("heater", _heater),
    "resistor": ("resistor", _resistor),
    "electronics": ("electronic unit", _electronics),
    "coil": ("coil", _relay_coil),
    "horn": ("horn", _horn),
    "sender": ("sender", _sensor),
    "sensor": ("sensor", _sensor),
    "feeder": ("feed to other circuits", _supply),
    "ground": ("ground point", _ground),
    "chassis": ("chassis", _chassis),
}

SYMBOL_NAMES: tuple[str, ...] = tuple(_SYMBOLS)
"""Names that ``symbol`` knows; every ``Kind`` of load is one of them."""


@lru_cache(maxsize=64)
def symbol(name: str) -> Drawing:
    """The symbol of that name, ``SYMBOL_WIDTH`` by ``SYMBOL_HEIGHT``, its ends level with ``MIDDLE``.

    Raises
    ------
    DrawingError
        For a name not in ``SYMBOL_NAMES``.

    Examples
    --------
    >>> symbol("lamp").title
    'lamp'
    """
    try:
        title, strokes = _SYMBOLS[name]
    except KeyError:
        raise DrawingError(f"no symbol {name!r}; there are {', '.join(SYMBOL_NAMES)}") from None
    return Drawing(SYMBOL_WIDTH, SYMBOL_HEIGHT, strokes(), title)
