"""Hours as a distribution: a lognormal density with P50, P80 and P90 marked. Takes plain figures only."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from statistics import NormalDist

from circuits.drawings.shapes import Anchor, Drawing, DrawingError, Ink, Line, Pen, Polyline, Shape, Text

_Z80 = NormalDist().inv_cdf(0.8)
_POINTS = 97
_WIDTH, _HEIGHT = 332.0, 150.0
_LEFT, _RIGHT = 8.0, 324.0
_BASE, _PEAK = 126.0, 52.0
_LABEL_ROWS = (13.0, 27.0, 41.0)
_TICK_STEPS = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1e3, 2e3, 5e3, 1e4, 2e4)
_MOST_TICKS = 6
_AXIS = Pen(stroke=Ink.SECOND, width=1.0)
_QUIET = Pen(stroke=Ink.NONE, fill=Ink.SECOND)
_INK = Pen(stroke=Ink.NONE, fill=Ink.INK)
_ACCENT = Pen(stroke=Ink.NONE, fill=Ink.ACCENT)
_NARROWEST_SIGMA = 0.01


@dataclass(frozen=True, slots=True)
class _Scale:
    """Hours to ``x``."""

    low_h: float
    high_h: float

    def x(self, hours_h: float) -> float:
        return _LEFT + (_RIGHT - _LEFT) * (hours_h - self.low_h) / (self.high_h - self.low_h)


def hours_drawing(p50_h: float, p80_h: float, p90_h: float, sold: str = "") -> Drawing:
    """The distribution of hours.

    Parameters
    ----------
    p50_h, p80_h, p90_h : float
        Rising, above 0 [h]. The curve is the lognormal through P50 and P80.
    sold : str
        ``P50`` or ``P80``: the figure that is sold, drawn in the accent; empty = none.

    Raises
    ------
    DrawingError
        If the figures do not rise or are not above 0.

    Examples
    --------
    >>> hours_drawing(40.0, 46.0, 50.0, sold="P80").title
    'Hours: P50 40.0 h, P80 46.0 h, P90 50.0 h'
    """
    if not 0 < p50_h <= p80_h <= p90_h or not math.isfinite(p90_h):
        raise DrawingError(f"P50, P80 and P90 must rise from above 0, got {p50_h}, {p80_h}, {p90_h}")
    sigma = max(math.log(p80_h / p50_h) / _Z80, _NARROWEST_SIGMA)
    scale = _Scale(p50_h * math.exp(-3.0 * sigma), max(p50_h * math.exp(3.2 * sigma), p90_h * 1.02))
    marks = (("P50", p50_h), ("P80", p80_h), ("P90", p90_h))
    curve = _curve(p50_h, sigma, scale)
    shapes = (*_shaded(curve, dict(marks).get(sold), scale), *_axis(scale), *_marks(marks, sold, curve, scale))
    title = "Hours: " + ", ".join(f"{name} {hours_h:.1f} h" for name, hours_h in marks)
    description = "Likelihood of the hours needed. " + (f"{sold} is the figure sold." if sold else "")
    return Drawing(_WIDTH, _HEIGHT, shapes, title, description.strip())


def _curve(p50_h: float, sigma: float, scale: _Scale) -> tuple[tuple[float, float], ...]:
    hours = [scale.low_h + (scale.high_h - scale.low_h) * i / (_POINTS - 1) for i in range(_POINTS)]
    density = [math.exp(-((math.log(h / p50_h) / sigma) ** 2) / 2) / h for h in hours]
    top = max(density)
    return tuple((scale.x(h), _BASE - (_BASE - _PEAK) * d / top) for h, d in zip(hours, density, strict=True))


def _height_at(x: float, curve: tuple[tuple[float, float], ...]) -> float:
    """``y`` of the curve at ``x``, between its points."""
    for (x1, y1), (x2, y2) in pairwise(curve):
        if x1 <= x <= x2:
            return y1 + (y2 - y1) * (x - x1) / (x2 - x1)
    return _BASE


def _shaded(curve: tuple[tuple[float, float], ...], sold_h: float | None, scale: _Scale) -> tuple[Shape, ...]:
    """The curve, and hatching under it as far as the figure that is sold: the share of jobs that it covers."""
    outline = Polyline(curve, Pen(width=1.5))
    if sold_h is None:
        return (outline,)
    end = scale.x(sold_h)
    hatch = Pen(stroke=Ink.ACCENT, width=0.75)
    steps = range(1, int((end - _LEFT) / 5.0) + 1)
    return (
        *(Line(end - 5.0 * i, _BASE, end - 5.0 * i, _height_at(end - 5.0 * i, curve), hatch) for i in steps),
        outline,
    )


def _axis(scale: _Scale) -> tuple[Shape, ...]:
    span = scale.high_h - scale.low_h
    step = next((step for step in _TICK_STEPS if span / step <= _MOST_TICKS), span / _MOST_TICKS)
    shapes: list[Shape] = [Line(_LEFT, _BASE, _RIGHT, _BASE, _AXIS)]
    for count in range(math.ceil(scale.low_h / step), int(scale.high_h / step) + 1):
        x = scale.x(count * step)
        label = Text(x, _BASE + 17, f"{count * step:g} h", 11.0, Anchor.MIDDLE, _QUIET)
        if _LEFT + 14 <= x <= _RIGHT - 14 and label.box.x >= 0 and label.box.right <= _WIDTH:
            shapes += [Line(x, _BASE, x, _BASE + 4, _AXIS), label]
    return tuple(shapes)


def _marks(
    marks: tuple[tuple[str, float], ...], sold: str, curve: tuple[tuple[float, float], ...], scale: _Scale
) -> tuple[Shape, ...]:
    """A line down from each label; labels stand in rows of their own, as P80 and P90 lie close."""
    shapes: list[Shape] = []
    for (name, hours_h), row in zip(marks, _LABEL_ROWS, strict=True):
        x, is_sold = scale.x(hours_h), name == sold
        pen = Pen(stroke=Ink.ACCENT if is_sold else Ink.SECOND, width=1.75 if is_sold else 1.0)
        words = f"{name}  {hours_h:.1f} h" + ("  sold" if is_sold else "")
        shapes.append(Line(x, row - 9, x, _BASE, pen))
        label = Text(x + 5, row, words, 12.0, Anchor.START, _ACCENT if is_sold else _INK, is_sold)
        if label.box.right > _WIDTH:
            label = replace(label, x=x - 5, anchor=Anchor.END)
        shapes.append(label)
    return tuple(shapes)
