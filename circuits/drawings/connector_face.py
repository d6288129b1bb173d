"""A connector body cavity by cavity: a numbered cell for each, with its wire, its circuit and what of it is held.

Cells stand in the order in which the plan lists them, not as arranged on the body: of that a plan says nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from circuits.drawings.lettering import fitted, text_width
from circuits.drawings.shapes import Anchor, Drawing, Ink, Pen, Rect, Shape, Text
from circuits.drawings.strokes import sleeve
from circuits.fittings import Cavity, Connector, Half

_MARGIN = 8.0
_HEAD = 26.0
_SIZE = 13.0
_SLEEVE = 32.0
_WIDTH, _ROW = 336.0, 40.0
_TWO_COLUMNS_FROM = 4
_LABEL, _LONG_LABEL = 34.0, 92.0
_FRAME = Pen(width=1.5)
_CELL_PEN = Pen(stroke=Ink.SECOND, width=0.75)
_FREE_PEN = Pen(stroke=Ink.SECOND, width=0.75, dash=(3.0, 3.0))
_QUIET = Pen(stroke=Ink.NONE, fill=Ink.SECOND)
_WORDS = {Half.PIN: "pins", Half.SOCKET: "sockets", Half.LEADS: "leads"}


@dataclass(frozen=True, slots=True)
class Seated:
    """One cavity with the colour of the loom's wire in it; empty where there is none, or it has no colour."""

    cavity: Cavity
    colour: str = ""

    @property
    def colours(self) -> tuple[str, ...]:
        """Colour of the unit's own lead, where it has one, and of the loom's wire."""
        return tuple(filter(None, (self.cavity.colour, self.colour)))


@dataclass(frozen=True, slots=True)
class _Box:
    """Width of one cell, and of it what the label takes up."""

    width: float
    label: float


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
    labels = max((text_width(one.cavity.label, _SIZE, is_bold=True) for one in seated), default=0.0)
    columns = 1 if labels > _LABEL - 10.0 else columns
    rows = -(-cells // columns)
    box = _Box(_WIDTH / columns, _LONG_LABEL if labels > _LABEL - 10.0 else _LABEL)
    width = 2 * _MARGIN + _WIDTH
    shapes: list[Shape] = [
        Text(_MARGIN, 17.0, fitted(connector.name, 14.0, width - 84.0, is_bold=True), 14.0, is_bold=True),
        Text(width - _MARGIN, 17.0, _WORDS[connector.half], 11.0, Anchor.END, _QUIET),
    ]
    for index in range(cells):
        x, y = _MARGIN + index // rows * box.width, _HEAD + index % rows * _ROW
        shapes += _cell(seated[index], box, x, y) if index < len(seated) else _free(box, x, y)
    if cells:
        shapes.append(Rect(_MARGIN, _HEAD, _WIDTH, rows * _ROW, _FRAME, _radius(connector.half)))
    return Drawing(width, _HEAD + rows * _ROW + _MARGIN, tuple(shapes), _title(connector), _told(seated, free))


def _radius(half: Half) -> float:
    """A socket half has rounded corners, so that the two halves differ by shape too."""
    return 8.0 if half is Half.SOCKET else 0.0


def _title(connector: Connector) -> str:
    return f"Cavities of {connector.name}"


def _told(seated: Sequence[Seated], free: int) -> str:
    told = [f"{one.cavity.label}: {', '.join((_held(one.cavity), *one.colours))}." for one in seated]
    return " ".join([*told, f"{free} more not used."] if free else told)


def _held(cavity: Cavity) -> str:
    return f"{cavity.circuit} {cavity.holds}" if cavity.circuit else "not used"


def _cell(one: Seated, box: _Box, x: float, y: float) -> list[Shape]:
    cavity, room = one.cavity, box.width - box.label - 8.0
    words_x = x + box.label
    label = fitted(cavity.label, _SIZE, box.label - 8.0, is_bold=True)
    shapes: list[Shape] = [
        Rect(x, y, box.width, _ROW, _CELL_PEN),
        Text(x + 6.0, y + 24.0, label, _SIZE, is_bold=True),
    ]
    if not cavity.circuit:
        return [*shapes, Text(words_x, y + 24.0, fitted("not used", 11.0, room), 11.0, pen=_QUIET)]
    size = 11.5 if text_width(cavity.circuit, 11.5) <= room else 10.0
    shapes.append(Text(words_x, y + 16.0, fitted(cavity.circuit, size, room), size))
    for number, colour in enumerate(one.colours):
        shapes += sleeve(colour, words_x + number * _SLEEVE, y + 28.0, _SLEEVE - 6.0)
    drawn = _SLEEVE * len(one.colours)
    words = " ".join(filter(None, (" to ".join(one.colours), str(cavity.holds))))
    return [*shapes, Text(words_x + drawn, y + 32.0, fitted(words, 11.0, room - drawn), 11.0, pen=_QUIET)]


def _free(box: _Box, x: float, y: float) -> list[Shape]:
    return [
        Rect(x + 3.0, y + 3.0, box.width - 6.0, _ROW - 6.0, _FREE_PEN),
        Text(x + box.label, y + 24.0, "not used", 11.0, pen=_QUIET),
    ]
