"""A drawing as frozen values: shapes on a sheet of given size. Laid out here, painted by ``svg`` and ``pdf``.

Lengths are drawing units, one unit one CSS pixel on the page (1/96 inch); ``y`` runs downward.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from circuits.drawings.lettering import text_width
from circuits.errors import LoomwrightError


class DrawingError(LoomwrightError, ValueError):
    """A shape or drawing that cannot be drawn, e.g. of negative size."""


class Ink(StrEnum):
    """Inks that follow the page (light, dark, paper). Any other colour is given as ``#rrggbb``."""

    INK = "ink"
    SECOND = "second"
    ACCENT = "accent"
    DANGER = "danger"
    PAPER = "paper"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Pen:
    """How a shape is drawn.

    Parameters
    ----------
    stroke, fill : str
        An ``Ink`` or ``#rrggbb``.
    width : float
        Of the stroke [unit].
    dash : tuple of float
        Lengths of dashes and gaps; empty = unbroken.
    name : str
        Class name on the page; empty = none.
    """

    stroke: str = Ink.INK
    fill: str = Ink.NONE
    width: float = 1.25
    dash: tuple[float, ...] = ()
    name: str = ""

    def __post_init__(self) -> None:
        if not self.width >= 0:
            raise DrawingError(f"pen width must be 0 or more, got {self.width}")


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle that something takes up."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Right edge."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """Lower edge."""
        return self.y + self.height

    def overlaps(self, other: Box, slack: float = 0.01) -> bool:
        """True where the two share more than ``slack`` in both directions.

        Examples
        --------
        >>> Box(0, 0, 10, 10).overlaps(Box(10, 0, 5, 5)), Box(0, 0, 10, 10).overlaps(Box(9, 9, 5, 5))
        (False, True)
        """
        return (
            min(self.right, other.right) - max(self.x, other.x) > slack
            and min(self.bottom, other.bottom) - max(self.y, other.y) > slack
        )

    def holds(self, other: Box, slack: float = 0.01) -> bool:
        """True where ``other`` lies within this box."""
        return (
            other.x >= self.x - slack
            and other.y >= self.y - slack
            and other.right <= self.right + slack
            and other.bottom <= self.bottom + slack
        )


@dataclass(frozen=True, slots=True)
class Line:
    """A straight stroke."""

    x1: float
    y1: float
    x2: float
    y2: float
    pen: Pen = Pen()

    @property
    def box(self) -> Box:
        """Space taken up, the pen's width left out."""
        return _around(((self.x1, self.y1), (self.x2, self.y2)))

    def moved(self, dx: float, dy: float) -> Line:
        """The same stroke elsewhere."""
        return replace(self, x1=self.x1 + dx, y1=self.y1 + dy, x2=self.x2 + dx, y2=self.y2 + dy)


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle; ``radius`` rounds its corners."""

    x: float
    y: float
    width: float
    height: float
    pen: Pen = Pen()
    radius: float = 0.0

    def __post_init__(self) -> None:
        if self.width < 0 or self.height < 0:
            raise DrawingError(f"a rectangle must have a size of 0 or more, got {self.width} × {self.height}")

    @property
    def box(self) -> Box:
        """Space taken up."""
        return Box(self.x, self.y, self.width, self.height)

    def moved(self, dx: float, dy: float) -> Rect:
        """The same rectangle elsewhere."""
        return replace(self, x=self.x + dx, y=self.y + dy)


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle around ``x``, ``y``."""

    x: float
    y: float
    radius: float
    pen: Pen = Pen()

    @property
    def box(self) -> Box:
        """Space taken up."""
        return Box(self.x - self.radius, self.y - self.radius, 2 * self.radius, 2 * self.radius)

    def moved(self, dx: float, dy: float) -> Circle:
        """The same circle elsewhere."""
        return replace(self, x=self.x + dx, y=self.y + dy)


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle, from ``start_deg`` over ``sweep_deg`` (0 = right, 90 = down; at most 359)."""

    x: float
    y: float
    radius: float
    start_deg: float
    sweep_deg: float
    pen: Pen = Pen()

    def at(self, deg: float) -> tuple[float, float]:
        """Point of the circle at an angle."""
        return (
            self.x + self.radius * math.cos(math.radians(deg)),
            self.y + self.radius * math.sin(math.radians(deg)),
        )

    @property
    def box(self) -> Box:
        """Space the whole circle would take up."""
        return Box(self.x - self.radius, self.y - self.radius, 2 * self.radius, 2 * self.radius)

    def moved(self, dx: float, dy: float) -> Arc:
        """The same arc elsewhere."""
        return replace(self, x=self.x + dx, y=self.y + dy)


@dataclass(frozen=True, slots=True)
class Polyline:
    """Strokes from point to point; ``is_closed`` joins the last to the first."""

    points: tuple[tuple[float, float], ...]
    pen: Pen = Pen()
    is_closed: bool = False

    @property
    def box(self) -> Box:
        """Space taken up, the pen's width left out."""
        return _around(self.points)

    def moved(self, dx: float, dy: float) -> Polyline:
        """The same strokes elsewhere."""
        return replace(self, points=tuple((x + dx, y + dy) for x, y in self.points))


class Anchor(StrEnum):
    """Which point of a text ``x`` names."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Text:
    """One line of lettering; ``y`` is its base line.

    Parameters
    ----------
    x, y : float
    text : str
    size : float
        Height of the lettering [unit].
    anchor : Anchor
    pen : Pen
        Its ``fill`` letters the text.
    is_bold : bool
    """

    x: float
    y: float
    text: str
    size: float = 12.0
    anchor: Anchor = Anchor.START
    pen: Pen = Pen(stroke=Ink.NONE, fill=Ink.INK)
    is_bold: bool = False

    @property
    def box(self) -> Box:
        """Space the lettering takes up at most."""
        width = text_width(self.text, self.size, is_bold=self.is_bold)
        left = {Anchor.START: 0.0, Anchor.MIDDLE: width / 2, Anchor.END: width}[self.anchor]
        return Box(self.x - left, self.y - 0.8 * self.size, width, self.size)

    def moved(self, dx: float, dy: float) -> Text:
        """The same text elsewhere."""
        return replace(self, x=self.x + dx, y=self.y + dy)


Shape = Line | Rect | Circle | Arc | Polyline | Text


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes on a sheet.

    Parameters
    ----------
    width, height : float
        Of the sheet [unit].
    shapes : tuple of Shape
        Painted in order.
    title : str
        What a person who cannot see it is told first; empty where words beside it say the same.
    description : str
        The longer account of what it shows; empty where there is none.
    """

    width: float
    height: float
    shapes: tuple[Shape, ...]
    title: str = ""
    description: str = ""

    def __post_init__(self) -> None:
        if not (self.width > 0 and self.height > 0):
            raise DrawingError(f"a drawing must have a size above 0, got {self.width} × {self.height}")

    @property
    def box(self) -> Box:
        """The whole sheet."""
        return Box(0.0, 0.0, self.width, self.height)


def moved(shapes: tuple[Shape, ...], dx: float, dy: float) -> tuple[Shape, ...]:
    """All shapes, elsewhere.

    Examples
    --------
    >>> moved((Line(0, 0, 1, 0),), 2, 3)[0].box
    Box(x=2, y=3, width=1, height=0)
    """
    return tuple(shape.moved(dx, dy) for shape in shapes)


def _around(points: tuple[tuple[float, float], ...]) -> Box:
    xs = [x for x, _ in points]
    ys = [y for _, y in points]
    return Box(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
