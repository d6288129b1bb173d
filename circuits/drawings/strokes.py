"""A wire as it looks: a short stroke in its base colour, its tracer along the middle."""

from __future__ import annotations

from functools import lru_cache

from circuits.colours import COLOURS
from circuits.drawings.shapes import Drawing, Ink, Line, Pen, Polyline, Rect, Shape

STROKE_WIDTH = 30.0
STROKE_HEIGHT = 9.0
_UNKNOWN = Pen(stroke=Ink.SECOND, width=1.0, dash=(3.0, 2.0))


def base_and_tracer(colour: str) -> tuple[str, str]:
    """Hex of base and tracer of a canonical colour; empty strings where there is none.

    Examples
    --------
    >>> base_and_tracer("BK")[1], len(base_and_tracer("RD/BK")[1])
    ('', 7)
    """
    codes = colour.split("/") if colour else []
    tints = [COLOURS[code].hex if code in COLOURS else "" for code in codes[:2]]
    return (tints[0] if tints else "", tints[1] if len(tints) > 1 else "")


@lru_cache(maxsize=512)
def wire_stroke(colour: str) -> Drawing:
    """The stroke of a wire colour, ``RD`` or ``RD/BK``; a dashed outline where the colour is not known yet.

    The thin outline in the page's ink keeps black on dark and white on light paper visible. It has no title: the
    letters stand beside it.

    Examples
    --------
    >>> wire_stroke("RD/BK").width, len(wire_stroke("RD/BK").shapes), len(wire_stroke("RD").shapes)
    (30.0, 2, 1)
    """
    return Drawing(STROKE_WIDTH, STROKE_HEIGHT, sleeve(colour, 0.5, STROKE_HEIGHT / 2, STROKE_WIDTH - 1.0))


def sleeve(colour: str, x: float, y: float, length: float, thickness: float = 7.0) -> tuple[Shape, ...]:
    """Shapes of a level stretch of wire that starts at ``x`` with its middle at ``y``.

    Examples
    --------
    >>> len(sleeve("RD", 0.0, 5.0, 20.0)), len(sleeve("RD/BK", 0.0, 5.0, 20.0))
    (1, 2)
    """
    base, tracer = base_and_tracer(colour)
    top = y - thickness / 2
    if not base:
        return (Rect(x, top, length, thickness, _UNKNOWN),)
    body = Rect(x, top, length, thickness, Pen(stroke=Ink.SECOND, fill=base, width=0.75))
    if not tracer:
        return (body,)
    return (body, Line(x + 0.5, y, x + length - 0.5, y, Pen(stroke=tracer, width=thickness * 0.38)))


def cable(colour: str, points: tuple[tuple[float, float], ...], thickness: float = 4.5) -> tuple[Shape, ...]:
    """Shapes of a wire laid along ``points``: an outline that shows on any paper, the base colour, the tracer.

    Examples
    --------
    >>> [shape.pen.width for shape in cable("RD", ((0.0, 0.0), (9.0, 0.0)), thickness=4.0)]
    [5.5, 4.0]
    """
    base, tracer = base_and_tracer(colour)
    if not base:
        return (Polyline(points, Pen(stroke=Ink.SECOND, width=1.5, dash=(4.0, 3.0))),)
    outline = Polyline(points, Pen(stroke=Ink.SECOND, width=thickness + 1.5))
    body = Polyline(points, Pen(stroke=base, width=thickness))
    return (outline, body, *((Polyline(points, Pen(stroke=tracer, width=thickness * 0.36)),) if tracer else ()))
