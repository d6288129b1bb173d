"""Paints a drawing as SVG for the page. Inks follow the page by CSS custom properties, so it turns dark with it."""

from __future__ import annotations

import hashlib
from html import escape

from circuits.drawings.shapes import Arc, Circle, Drawing, Ink, Line, Pen, Polyline, Rect, Shape, Text

_INKS: dict[str, str] = {
    Ink.INK: "currentColor",
    Ink.SECOND: "var(--ink-2, currentColor)",
    Ink.ACCENT: "var(--accent, currentColor)",
    Ink.DANGER: "var(--danger, currentColor)",
    Ink.PAPER: "var(--paper, #fff)",
    Ink.NONE: "none",
}


def svg(drawing: Drawing) -> str:
    """The drawing as one ``<svg>`` element, every text escaped.

    A drawing with a title is an image with that name; one without is hidden from assistive technology, as words
    beside it say the same.

    Examples
    --------
    >>> svg(Drawing(10, 4, (Line(0, 2, 10, 2),)))[:71]
    '<svg xmlns="http://www.w3.org/2000/svg" width="10" height="4" viewBox="'
    >>> "&lt;b&gt;" in svg(Drawing(90, 20, (Text(0, 12, "<b>"),)))
    True
    """
    body = "".join(_shape(shape) for shape in drawing.shapes)
    size = f'width="{_n(drawing.width)}" height="{_n(drawing.height)}"'
    view = f'viewBox="0 0 {_n(drawing.width)} {_n(drawing.height)}"'
    opening = f'<svg xmlns="http://www.w3.org/2000/svg" {size} {view} fill="none"'
    if not drawing.title:
        return f'{opening} aria-hidden="true" focusable="false">{body}</svg>'
    ident = "d" + hashlib.sha256(repr(drawing).encode()).hexdigest()[:12]
    names = f"{ident}t {ident}d" if drawing.description else f"{ident}t"
    described = f'<desc id="{ident}d">{escape(drawing.description)}</desc>' if drawing.description else ""
    titled = f'<title id="{ident}t">{escape(drawing.title)}</title>{described}'
    return f'{opening} role="img" aria-labelledby="{names}">{titled}{body}</svg>'


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".") if value else "0"


def _ink(colour: str) -> str:
    return _INKS.get(colour) or escape(colour)


def _pen(pen: Pen) -> str:
    parts = [f' class="{escape(pen.name)}"'] if pen.name else []
    if pen.fill != Ink.NONE:
        parts.append(f' fill="{_ink(pen.fill)}"')
    if pen.stroke != Ink.NONE and pen.width:
        parts.append(f' stroke="{_ink(pen.stroke)}" stroke-width="{_n(pen.width)}"')
    if pen.dash:
        parts.append(f' stroke-dasharray="{" ".join(_n(d) for d in pen.dash)}"')
    return "".join(parts)


def _shape(shape: Shape) -> str:
    pen = _pen(shape.pen)
    match shape:
        case Line():
            return f'<path d="M{_n(shape.x1)} {_n(shape.y1)}L{_n(shape.x2)} {_n(shape.y2)}"{pen}/>'
        case Rect():
            round_ = f' rx="{_n(shape.radius)}"' if shape.radius else ""
            at = f'x="{_n(shape.x)}" y="{_n(shape.y)}" width="{_n(shape.width)}" height="{_n(shape.height)}"'
            return f"<rect {at}{round_}{pen}/>"
        case Circle():
            return f'<circle cx="{_n(shape.x)}" cy="{_n(shape.y)}" r="{_n(shape.radius)}"{pen}/>'
        case Arc():
            return _arc(shape, pen)
        case Polyline():
            points = "L".join(f"{_n(x)} {_n(y)}" for x, y in shape.points)
            return f'<path d="M{points}{"Z" if shape.is_closed else ""}"{pen}/>'
        case Text():
            return _text(shape, pen)


def _arc(arc: Arc, pen: str) -> str:
    x1, y1 = arc.at(arc.start_deg)
    x2, y2 = arc.at(arc.start_deg + arc.sweep_deg)
    large, sweep = int(abs(arc.sweep_deg) > 180), int(arc.sweep_deg > 0)
    radius = _n(arc.radius)
    return f'<path d="M{_n(x1)} {_n(y1)}A{radius} {radius} 0 {large} {sweep} {_n(x2)} {_n(y2)}"{pen}/>'


def _text(text: Text, pen: str) -> str:
    anchor = "" if text.anchor == "start" else f' text-anchor="{text.anchor}"'
    weight = ' font-weight="600"' if text.is_bold else ""
    at = f'x="{_n(text.x)}" y="{_n(text.y)}" font-size="{_n(text.size)}"'
    return f"<text {at}{anchor}{weight}{pen}>{escape(text.text)}</text>"
