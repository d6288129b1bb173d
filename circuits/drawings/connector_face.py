"""A connector body cavity by cavity: a numbered cell for each, with its wire, its circuit and what of it is held.

Cells stand in the order in which the plan lists them, not as arranged on the body: of that a plan says nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from circuits.drawings.lettering import fitted
from circuits.drawings.shapes import Anchor, Drawing, Ink, Pen, Rect, Shape, Text
from circuits.drawings.strokes import sleeve
from circuits.fittings import Cavity, Connector, Half

_MARGIN = 8.0
_HEAD = 26.0
_CELL, _ROW = 158.0, 40.0
_TWO_COLUMNS_FROM = 4
_LABEL = 34.0
_FRAME = Pen(width=1.5)
_CELL_PEN = Pen(stroke=Ink.SECOND, width=0.75)
_FREE_PEN = Pen(stroke=Ink.SECOND, width=0.75, dash=(3.0, 3.0))
_QUIET = Pen(stroke=Ink.NONE, fill=Ink.SECOND)
_WORDS = {Half.PIN: "pins", Half.SOCKET: "sockets", Half.LEADS: "leads"}


@dataclass(frozen=True, slots=True)
class Seated:
    """One cavity with the colour of the wire that sits in it; empty where none does."""

    cavity: Cavity
    colour: str = ""


def connector_face(connector: Connector, seated: Sequence[Seated]) -> Drawing:
    """The body of a connector, or the leads of a unit.

    Parameters
    ----------
    connector : Connector
    seated : sequence of Seated
        Its cavities in their order.

    Examples
    --------
    >>> body = Connector("C1", "nose", "round", ways=2)
    >>> connector_face(body, [Seated(Cavity("C1", "1", "horn"), "GN")]).description
    '1: horn in, GN. 1 more not used.'
    """
    free = max(0, (connector.ways or 0) - len(seated))
    cells = len(seated) + free
    columns = 2 if cells >= _TWO_COLUMNS_FROM else 1
    rows = -(-cells // columns)
    width = 2 * _MARGIN + columns * _CELL
    shapes: list[Shape] = [
        Text(_MARGIN, 17.0, fitted(connector.name, 14.0, width - 84.0, is_bold=True), 14.0, is_bold=True),
        Text(width - _MARGIN, 17.0, _WORDS[connector.half], 11.0, Anchor.END, _QUIET),
    ]
    for index in range(cells):
        x, y = _MARGIN + index // rows * _CELL, _HEAD + index % rows * _ROW
        shapes += _cell(seated[index], x, y) if index < len(seated) else _free(x, y)
    if cells:
        shapes.append(Rect(_MARGIN, _HEAD, columns * _CELL, rows * _ROW, _FRAME, _radius(connector.half)))
    return Drawing(width, _HEAD + max(rows, 0) * _ROW + _MARGIN, tuple(shapes), _title(connector), _told(seated, free))


def _radius(half: Half) -> float:
    """A socket half has rounded corners, so that the two halves differ by shape too."""
    return 8.0 if half is Half.SOCKET else 0.0


def _title(connector: Connector) -> str:
    return f"Cavities of {connector.name}"


def _told(seated: Sequence[Seated], free: int) -> str:
    told = [f"{one.cavity.label}: {_held(one.cavity)}{f', {one.colour}' if one.colour else ''}." for one in seated]
    return " ".join([*told, f"{free} more not used."] if free else told)


def _held(cavity: Cavity) -> str:
    return f"{cavity.circuit} {cavity.holds}" if cavity.circuit else "not used"


def _cell(one: Seated, x: float, y: float) -> list[Shape]:
    cavity, room = one.cavity, _CELL - _LABEL - 8.0
    label = fitted(cavity.label, 13.0, _LABEL - 6.0, is_bold=True)
    shapes: list[Shape] = [
        Rect(x, y, _CELL, _ROW, _CELL_PEN),
        Text(x + 6.0, y + 24.0, label, 13.0, is_bold=True),
    ]
    if not cavity.circuit:
        return [*shapes, Text(x + _LABEL, y + 24.0, fitted("not used", 11.0, room), 11.0, pen=_QUIET)]
    shapes.append(Text(x + _LABEL, y + 16.0, fitted(cavity.circuit, 11.5, room), 11.5))
    if one.colour:
        shapes += sleeve(one.colour, x + _LABEL, y + 28.0, 26.0)
    words = " ".join(filter(None, (one.colour, str(cavity.holds))))
    return [*shapes, Text(x + _LABEL + 32.0, y + 32.0, fitted(words, 11.0, room - 32.0), 11.0, pen=_QUIET)]


def _free(x: float, y: float) -> list[Shape]:
    return [
        Rect(x + 3.0, y + 3.0, _CELL - 6.0, _ROW - 6.0, _FREE_PEN),
        Text(x + _LABEL, y + 24.0, "not used", 11.0, pen=_QUIET),
    ]
