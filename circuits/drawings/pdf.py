"""Paints a drawing on paper: the same description as ``svg``, in black ink, its lettering in the embedded typefaces."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from reportlab.lib.colors import Color, HexColor

from circuits.drawings.shapes import Anchor, Arc, Circle, Drawing, Ink, Line, Pen, Polyline, Rect, Shape, Text
from circuits.paper.fonts import runs, text_width_pt
from circuits.paper.writing import one_line

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

_INKS: dict[str, str] = {
    Ink.INK: "#14191f",
    Ink.SECOND: "#55606c",
    Ink.ACCENT: "#1d4f8f",
    Ink.DANGER: "#b00d1e",
    Ink.PAPER: "#ffffff",
}


def paint_pdf(drawing: Drawing, canvas: Canvas, x_pt: float, y_pt: float, scale: float = 0.75) -> None:
    """Paint ``drawing`` with its lower left corner at ``x_pt``, ``y_pt``.

    Parameters
    ----------
    drawing : Drawing
    canvas : Canvas
        Of reportlab; its state is left as it was.
    x_pt, y_pt : float
        From the lower left corner of the page [pt].
    scale : float
        Points a drawing unit; 0.75 is natural size (a unit is 1/96 inch).

    Examples
    --------
    >>> from io import BytesIO
    >>> from reportlab.pdfgen.canvas import Canvas
    >>> canvas = Canvas(BytesIO(), invariant=1)
    >>> paint_pdf(Drawing(10, 10, (Line(0, 5, 10, 5),)), canvas, 0, 0)
    """
    canvas.saveState()
    canvas.translate(x_pt, y_pt + drawing.height * scale)
    canvas.scale(scale, -scale)
    for shape in drawing.shapes:
        _paint(shape, canvas)
    canvas.restoreState()


def _colour(ink: str) -> Color | None:
    return None if ink == Ink.NONE else HexColor(_INKS.get(ink, ink))


def _take_up(pen: Pen, canvas: Canvas) -> tuple[int, int]:
    """Set the pen; returns reportlab's stroke and fill flags."""
    stroke, fill = _colour(pen.stroke), _colour(pen.fill)
    if stroke is not None:
        canvas.setStrokeColor(stroke)
        canvas.setLineWidth(pen.width)
        canvas.setDash(list(pen.dash) if pen.dash else [])
    if fill is not None:
        canvas.setFillColor(fill)
    return int(stroke is not None and pen.width > 0), int(fill is not None)


def _paint(shape: Shape, canvas: Canvas) -> None:
    stroke, fill = _take_up(shape.pen, canvas)
    match shape:
        case Line():
            canvas.line(shape.x1, shape.y1, shape.x2, shape.y2)
        case Rect():
            canvas.roundRect(shape.x, shape.y, shape.width, shape.height, shape.radius, stroke, fill)
        case Circle():
            canvas.circle(shape.x, shape.y, shape.radius, stroke, fill)
        case Arc() | Polyline():
            _paint_path(shape, canvas, stroke, fill)
        case Text():
            _letter(shape, canvas)
        case _:  # pragma: no cover - every shape is named above
            assert_never(shape)


def _paint_path(shape: Arc | Polyline, canvas: Canvas, stroke: int, fill: int) -> None:
    path = canvas.beginPath()
    if isinstance(shape, Arc):
        left, top = shape.x - shape.radius, shape.y - shape.radius
        right, bottom = shape.x + shape.radius, shape.y + shape.radius
        # The stubs ask for whole degrees; reportlab takes any.
        path.arc(left, top, right, bottom, shape.start_deg, shape.sweep_deg)  # type: ignore[arg-type]
    else:
        path.moveTo(*shape.points[0])
        for point in shape.points[1:]:
            path.lineTo(*point)
        if shape.is_closed:
            path.close()
    canvas.drawPath(path, stroke=stroke, fill=fill)


def _letter(text: Text, canvas: Canvas) -> None:
    """The canvas runs downward here, so each text is turned upright around its base line."""
    line = one_line(text.text, text.size, 1e6, text.is_bold)
    width = text_width_pt(line.text, text.size, text.is_bold)
    shift = {Anchor.START: 0.0, Anchor.MIDDLE: -width / 2, Anchor.END: -width}[text.anchor]
    canvas.saveState()
    canvas.translate(text.x + shift, text.y)
    canvas.scale(1, -1)
    written = canvas.beginText(0, 0)
    for run in runs(line.text, text.is_bold):
        written.setFont(run.font, text.size)
        written.textOut(run.text)
    canvas.drawText(written)
    canvas.restoreState()
