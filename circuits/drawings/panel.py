"""The fuse panel as it is fitted: positions in order, each fuse in its colour with its rating and what it feeds."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from circuits.drawings.fuses import FUSE_HEIGHT, FUSE_WIDTH, fuse_drawn
from circuits.drawings.lettering import fitted, wrapped
from circuits.drawings.shapes import Anchor, Drawing, Ink, Pen, Rect, Shape, Text, moved
from circuits.figures import format_current
from circuits.harness.panel_layout import FilledPosition, PanelLayout
from circuits.sized import Fuse

_MARGIN = 12.0
_HEAD = 30.0
_COLUMN = 300.0
_ROW = 38.0
_SIZE = 12.0
_LABEL_X, _FUSE_X, _WORDS_X = 36.0, 46.0, 90.0
_QUIET = Pen(stroke=Ink.NONE, fill=Ink.SECOND)
_FRAME = Pen(width=1.25)
_SPARE = Pen(stroke=Ink.SECOND, width=1.0, dash=(3.0, 3.0))


def panel_drawings(layout: PanelLayout) -> tuple[Drawing, ...]:
    """A panel as it is fitted: a drawing for each stretch of positions on one bus; spares dashed, heavy ones marked.

    Parameters
    ----------
    layout : PanelLayout

    Examples
    --------
    >>> from circuits.fittings import PanelPosition
    >>> from circuits.plan import FuseFamily
    >>> horn = Fuse("horn", FuseFamily.BLADE, 15.0, "panel", "horn", "blue", "")
    >>> filled = FilledPosition(PanelPosition("panel", "B1", "battery"), horn, 5.0)
    >>> [drawing.description for drawing in panel_drawings(PanelLayout("panel", (filled,), is_listed=False))]
    ['B1: 15 A blade, blue: horn.']
    """
    stretches = itertools.groupby(layout.positions, key=lambda filled: filled.position.bus)
    return tuple(_stretch(layout.panel, bus, tuple(filled)) for bus, filled in stretches)


def _stretch(panel: str, bus: str, positions: Sequence[FilledPosition]) -> Drawing:
    width, height = 2 * _MARGIN + _COLUMN, _HEAD + len(positions) * _ROW + 2 * _MARGIN
    shapes: list[Shape] = [
        Text(_MARGIN, 20.0, fitted(f"{bus} bus", 14.0, _COLUMN, is_bold=True), 14.0, is_bold=True),
        Rect(_MARGIN, _HEAD, _COLUMN, len(positions) * _ROW + _MARGIN, _FRAME),
    ]
    for row, filled in enumerate(positions):
        shapes += _position(filled, _MARGIN, _HEAD + _MARGIN / 2 + row * _ROW)
    told = " ".join(_told(filled) for filled in positions)
    return Drawing(width, height, tuple(shapes), f"{panel}, {bus} bus", told)


def _told(filled: FilledPosition) -> str:
    if filled.fuse is None:
        return f"{filled.position.label}: spare."
    heavy = ", heavy" if filled.is_heavy else ""
    return f"{filled.position.label}: {_rated(filled.fuse)}: {filled.fuse.name}{heavy}."


def _rated(fuse: Fuse) -> str:
    return f"{fuse.rating_a:g} A {fuse.family}" + (f", {fuse.colour}" if fuse.colour else "")


def _position(filled: FilledPosition, x: float, y: float) -> list[Shape]:
    middle, room = y + _ROW / 2, _COLUMN - _WORDS_X - 8.0
    label = fitted(filled.position.label, _SIZE, _LABEL_X - 4.0)
    number = Text(x + _LABEL_X, middle + 4.5, label, _SIZE, Anchor.END, _QUIET)
    if filled.fuse is None:
        empty = Rect(x + _FUSE_X + 3.0, middle - 10.0, FUSE_WIDTH - 6.0, 15.0, _SPARE, 2.0)
        kept = f"kept for {filled.position.circuit}" if filled.position.circuit else "spare"
        return [number, empty, Text(x + _WORDS_X, middle + 4.5, fitted(kept, _SIZE, room), _SIZE, pen=_QUIET)]
    fuse = filled.fuse
    name, *more = wrapped(fuse.name, _SIZE, room, max_lines=2)
    heavy = f"heavy: {format_current(filled.load_a)}, " if filled.is_heavy else ""
    below = more[0] if more else heavy + _rated(fuse)
    return [
        number,
        *moved(fuse_drawn(fuse.family.value, fuse.rating_a).shapes, x + _FUSE_X, middle - FUSE_HEIGHT / 2),
        Text(x + _WORDS_X, middle - 2.0, name, _SIZE, is_bold=filled.is_heavy),
        Text(x + _WORDS_X, middle + 12.0, fitted(below, 11.0, room), 11.0, pen=_QUIET),
    ]
