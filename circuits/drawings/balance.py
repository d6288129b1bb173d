"""Supply against load: for each case what the loads take, by kind, and where the alternator's output ends."""

from __future__ import annotations

import math
from collections.abc import Sequence

from circuits.drawings.lettering import fitted, text_width
from circuits.drawings.shapes import Anchor, Drawing, Ink, Line, Pen, Polyline, Rect, Shape, Text
from circuits.electrical.supply import Balance
from circuits.figures import format_current

_WIDTH = 372.0
_LEFT, _RIGHT = 10.0, 362.0
_TOP, _ROW, _BAR = 6.0, 66.0, 22.0
_SIZE = 12.0
_SMALL = 10.5
_QUIET = Pen(stroke=Ink.NONE, fill=Ink.SECOND)
_FRAME = Pen(width=1.25)
_OUTPUT = Pen(stroke=Ink.ACCENT, width=2.5)
_OUTPUT_WORDS = Pen(stroke=Ink.NONE, fill=Ink.ACCENT)
_SHORT = Pen(stroke=Ink.SECOND, width=0.75)
_STEPS_A = (2.0, 5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 200.0, 500.0, 1000.0)
_MOST_TICKS = 6


def balance_drawing(balances: Sequence[Balance]) -> Drawing:
    """A bar of loads for each case, the alternator's output as a mark across it, what is short hatched.

    Parameters
    ----------
    balances : sequence of Balance
        At least one.

    Examples
    --------
    >>> from circuits.electrical.duties import Case
    >>> from circuits.plan import Kind
    >>> balance_drawing([Balance(Case.IDLE_NIGHT, 30.0, 42.0, {Kind.LAMP: 42.0})]).description
    'idle, night: loads take 42 A, the alternator gives 30 A, 12 A short.'
    """
    top_a = max([1.0, *(one.load_a for one in balances), *(one.output_a or 0.0 for one in balances)]) * 1.04
    shapes: list[Shape] = []
    for row, balance in enumerate(balances):
        shapes += _row(balance, _TOP + row * _ROW, top_a)
    base = _TOP + len(balances) * _ROW
    shapes += _axis(top_a, base)
    told = " ".join(f"{balance.case.value}: {_told(balance)}." for balance in balances)
    return Drawing(_WIDTH, base + 24.0, tuple(shapes), "Supply against load", told)


def _told(balance: Balance) -> str:
    taken = f"loads take {format_current(balance.load_a)}"
    if balance.output_a is None or balance.left_a is None:
        return f"{taken}, the alternator is not known"
    left = f"{format_current(abs(balance.left_a))} {'left' if balance.left_a >= 0 else 'short'}"
    return f"{taken}, the alternator gives {format_current(balance.output_a)}, {left}"


def _x(current_a: float, top_a: float) -> float:
    return _LEFT + (_RIGHT - _LEFT) * current_a / top_a


def _row(balance: Balance, y: float, top_a: float) -> list[Shape]:
    bar_y = y + 20.0
    shapes: list[Shape] = [
        Text(_LEFT, y + 13.0, balance.case.value, _SIZE, is_bold=True),
        Text(_RIGHT, y + 13.0, _left_words(balance), _SIZE, Anchor.END, _QUIET),
        *_hatching(balance, bar_y, top_a),
    ]
    at_a = 0.0
    for kind, drawn_a in balance.by_kind.items():
        x, width = _x(at_a, top_a), _x(drawn_a, top_a) - _LEFT
        shapes.append(Rect(x, bar_y, width, _BAR, _FRAME))
        words = fitted(kind.value, _SMALL, width - 8.0)
        if width > 24.0 and "…" not in words:
            shapes += [
                Rect(x + 3.0, bar_y + 4.0, text_width(words, _SMALL) + 2.0, 14.0, Pen(stroke=Ink.NONE, fill=Ink.PAPER)),
                Text(x + 4.0, bar_y + 15.0, words, _SMALL),
            ]
        at_a += drawn_a
    return [*shapes, *_output(balance, bar_y, top_a)]


def _left_words(balance: Balance) -> str:
    if balance.left_a is None:
        return f"{format_current(balance.load_a)}, output not known"
    word = "left for the battery" if balance.left_a >= 0 else "from the battery"
    return f"{format_current(abs(balance.left_a))} {word}"


def _hatching(balance: Balance, bar_y: float, top_a: float) -> list[Shape]:
    """Slanted strokes over what the alternator does not give."""
    if balance.left_a is None or balance.left_a >= 0:
        return []
    start, end = _x(balance.output_a or 0.0, top_a), _x(balance.load_a, top_a)
    strokes = range(1, int((end - start) / 6.0) + 1)
    return [Line(max(start, start + 6.0 * n - 6.0), bar_y + _BAR, start + 6.0 * n, bar_y, _SHORT) for n in strokes]


def _output(balance: Balance, bar_y: float, top_a: float) -> list[Shape]:
    if balance.output_a is None:
        return []
    x = _x(balance.output_a, top_a)
    words = f"alternator {format_current(balance.output_a)}"
    is_left = x + text_width(words, _SMALL) + 8.0 < _RIGHT
    anchor, label_x = (Anchor.START, x + 5.0) if is_left else (Anchor.END, x - 5.0)
    arrow = ((x - 4.0, bar_y + _BAR + 9.0), (x, bar_y + _BAR + 3.0), (x + 4.0, bar_y + _BAR + 9.0))
    return [
        Line(x, bar_y - 4.0, x, bar_y + _BAR + 10.0, _OUTPUT),
        Polyline(arrow, _OUTPUT),
        Text(label_x, bar_y + _BAR + 12.0, words, _SMALL, anchor, _OUTPUT_WORDS),
    ]


def _axis(top_a: float, base: float) -> list[Shape]:
    step = next((step for step in _STEPS_A if top_a / step <= _MOST_TICKS), top_a / _MOST_TICKS)
    shapes: list[Shape] = [Line(_LEFT, base, _RIGHT, base, Pen(stroke=Ink.SECOND, width=1.0))]
    for count in range(math.floor(top_a / step) + 1):
        x = _x(count * step, top_a)
        anchor = Anchor.START if count == 0 else Anchor.END if x > _RIGHT - 20.0 else Anchor.MIDDLE
        shapes += [
            Line(x, base, x, base + 4.0, Pen(stroke=Ink.SECOND, width=1.0)),
            Text(x, base + 17.0, f"{count * step:g} A", _SMALL, anchor, _QUIET),
        ]
    return shapes
