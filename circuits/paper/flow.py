"""What a paper is made of, from top to bottom: words, headings, pictures, notes in a frame, signature lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from reportlab.lib.colors import Color
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, Spacer

from circuits.drawings.pdf import paint_pdf
from circuits.drawings.shapes import Drawing
from circuits.paper.fonts import runs
from circuits.paper.styles import BODY, HEADING, INK_2, LABEL, MM, RULE, Align, TextStyle
from circuits.paper.writing import WrittenLine, written

_ROOM_UNDER_HEADING_PT = 30 * MM
PX_TO_PT = 72.0 / 96.0
_BULLET_INDENT_PT = 10.0


def draw_line(canvas: Canvas, line: WrittenLine, x_pt: float, y_pt: float, style: TextStyle) -> None:
    """Set one line with its base line at ``y_pt``."""
    text = canvas.beginText(x_pt, y_pt)
    text.setFillColor(style.colour)
    for run in runs(line.text, style.is_bold):
        text.setFont(run.font, style.size_pt)
        text.textOut(run.text)
    canvas.drawText(text)


class Words(Flowable):
    """A paragraph of plain text. It may break over pages between lines."""

    def __init__(self, text: str, style: TextStyle = BODY) -> None:
        super().__init__()
        self.text = text
        self.style = style
        self.lines: tuple[WrittenLine, ...] = ()
        self.width = 0.0

    def wrap(self, avail_width: float, _avail_height: float) -> tuple[float, float]:
        """Width taken and height needed."""
        style = self.style
        self.width = avail_width
        room = avail_width - style.indent_pt
        self.lines = written(self.text, style.size_pt, room, style.is_bold, style.max_lines)
        return avail_width, len(self.lines) * style.leading_pt

    def getSpaceBefore(self) -> float:  # noqa: N802 - reportlab's name
        """Space above."""
        return self.style.before_pt

    def getSpaceAfter(self) -> float:  # noqa: N802 - reportlab's name
        """Space below."""
        return self.style.after_pt

    def split(self, avail_width: float, avail_height: float) -> list[Flowable]:
        """Two paragraphs, the first filling ``avail_height``; never one line alone."""
        self.wrap(avail_width, avail_height)
        fit = int(avail_height // self.style.leading_pt)
        if fit < 2 or len(self.lines) - fit < 1:
            return []
        fit = min(fit, len(self.lines) - 2) or fit
        return [_SetLines(self.lines[:fit], self.style), _SetLines(self.lines[fit:], self.style)]

    def draw(self) -> None:
        """Set the lines."""
        _draw_lines(self.canv, self.lines, self.style, self.width)


class _SetLines(Words):
    """Part of a paragraph whose lines are already broken."""

    def __init__(self, lines: tuple[WrittenLine, ...], style: TextStyle) -> None:
        super().__init__("", style)
        self.lines = lines

    def wrap(self, avail_width: float, _avail_height: float) -> tuple[float, float]:
        """Width taken and height needed."""
        self.width = avail_width
        return avail_width, len(self.lines) * self.style.leading_pt


def _draw_lines(canvas: Canvas, lines: Sequence[WrittenLine], style: TextStyle, width: float) -> None:
    first = len(lines) * style.leading_pt - style.size_pt
    for index, line in enumerate(lines):
        room = width - line.width_pt
        at_right = style.align is Align.RIGHT or (line.is_rtl and style.align is Align.LEFT)
        x = room if at_right else room / 2 if style.align is Align.MIDDLE else style.indent_pt
        draw_line(canvas, line, x, first - index * style.leading_pt, style)


class Rule(Flowable):
    """A level line over the column."""

    def __init__(
        self, colour: Color = RULE, thickness_pt: float = 0.5, before_pt: float = 2.0, after_pt: float = 4.0
    ) -> None:
        super().__init__()
        self.colour, self.thickness_pt, self.before_pt, self.after_pt = colour, thickness_pt, before_pt, after_pt
        self.width = 0.0

    def wrap(self, avail_width: float, _avail_height: float) -> tuple[float, float]:
        """Width taken and height needed."""
        self.width = avail_width
        return avail_width, self.before_pt + self.after_pt

    def draw(self) -> None:
        """Draw it."""
        self.canv.setStrokeColor(self.colour)
        self.canv.setLineWidth(self.thickness_pt)
        self.canv.line(0, self.after_pt, self.width, self.after_pt)


class Picture(Flowable):
    """A drawing, made smaller where it would not fit the column."""

    def __init__(self, drawing: Drawing, max_width_pt: float | None = None) -> None:
        super().__init__()
        self.drawing = drawing
        self.max_width_pt = max_width_pt
        self.scale = PX_TO_PT

    def wrap(self, avail_width: float, avail_height: float) -> tuple[float, float]:
        """Width taken and height needed."""
        width = min(avail_width, self.max_width_pt or avail_width)
        self.scale = min(PX_TO_PT, width / self.drawing.width, max(avail_height, 50.0) / self.drawing.height)
        return self.drawing.width * self.scale, self.drawing.height * self.scale

    def draw(self) -> None:
        """Paint it."""
        paint_pdf(self.drawing, self.canv, 0.0, 0.0, self.scale)


class Framed(Flowable):
    """A note with a bar at its left: cautions (red is for danger to people), and what must be seen."""

    _PAD = 6.0
    _BAR = 3.0

    def __init__(self, parts: Sequence[Flowable], colour: Color = INK_2) -> None:
        super().__init__()
        self.parts = list(parts)
        self.colour = colour
        self.heights: list[float] = []
        self.width = self.height = 0.0

    def getSpaceAfter(self) -> float:  # noqa: N802 - reportlab's name
        """Space below."""
        return 8.0

    def wrap(self, avail_width: float, avail_height: float) -> tuple[float, float]:
        """Width taken and height needed."""
        inner = avail_width - 2 * self._PAD - self._BAR
        self.heights = [part.wrap(inner, avail_height)[1] + part.getSpaceAfter() for part in self.parts]
        self.width, self.height = avail_width, sum(self.heights) + 2 * self._PAD - self.parts[-1].getSpaceAfter()
        return self.width, self.height

    def split(self, avail_width: float, avail_height: float) -> list[Flowable]:
        """As many parts as fit, then the rest in a frame of its own."""
        self.wrap(avail_width, avail_height)
        used, fit = 2 * self._PAD, 0
        while fit < len(self.heights) and used + self.heights[fit] <= avail_height:
            used += self.heights[fit]
            fit += 1
        if not 0 < fit < len(self.parts):
            return []
        return [Framed(self.parts[:fit], self.colour), Framed(self.parts[fit:], self.colour)]

    def draw(self) -> None:
        """Draw bar, frame and parts."""
        canvas = self.canv
        canvas.setStrokeColor(self.colour)
        canvas.setFillColor(self.colour)
        canvas.setLineWidth(0.5)
        canvas.rect(0, 0, self.width, self.height, stroke=1, fill=0)
        canvas.rect(0, 0, self._BAR, self.height, stroke=0, fill=1)
        y = self.height - self._PAD
        for part, height in zip(self.parts, self.heights, strict=True):
            part.drawOn(canvas, self._PAD + self._BAR, y - height + part.getSpaceAfter())
            y -= height


class SignatureLines(Flowable):
    """Ruled lines to sign on, each with what belongs on it beneath."""

    def __init__(self, labels: Sequence[str], filled: Sequence[str] = ()) -> None:
        super().__init__()
        self.labels = list(labels)
        self.filled = [*filled, *[""] * (len(self.labels) - len(filled))]
        self.width = 0.0

    def wrap(self, avail_width: float, _avail_height: float) -> tuple[float, float]:
        """Width taken and height needed."""
        self.width = avail_width
        return avail_width, 40.0

    def draw(self) -> None:
        """Draw the lines."""
        gap = 14.0
        each = (self.width - gap * (len(self.labels) - 1)) / len(self.labels)
        entry = replace(BODY, max_lines=1)
        for index, (label, words) in enumerate(zip(self.labels, self.filled, strict=True)):
            x = index * (each + gap)
            self.canv.setStrokeColor(INK_2)
            self.canv.setLineWidth(0.6)
            self.canv.line(x, 14.0, x + each, 14.0)
            (below, *_) = written(label, LABEL.size_pt, each)
            draw_line(self.canv, below, x, 4.0, LABEL)
            if words:
                (above, *_) = written(words, entry.size_pt, each, max_lines=1)
                draw_line(self.canv, above, x, 18.0, entry)


def section(title: str, *parts: Flowable, room_pt: float = _ROOM_UNDER_HEADING_PT) -> list[Flowable]:
    """A heading with what follows it; the heading never stands alone at the foot of a page.

    Examples
    --------
    >>> len(section("Not included", Words("Paint work.")))
    3
    """
    style = HEADING
    return [CondPageBreak(room_pt + style.leading_pt + style.before_pt), Words(title, style), *parts]


def kept_section(title: str, *parts: Flowable) -> list[Flowable]:
    """A heading and its parts, all on one page.

    Examples
    --------
    >>> len(kept_section("To sign", SignatureLines(["Name"])))
    1
    """
    return [together(Words(title, HEADING), *parts)]


def together(*parts: Flowable) -> Flowable:
    """Parts that stay on one page where one page can hold them."""
    return KeepTogether(list(parts))


def gap(height_pt: float) -> Flowable:
    """Empty space."""
    return Spacer(1, height_pt)


def bullets(texts: Sequence[str], style: TextStyle = BODY) -> list[Flowable]:
    """One paragraph a text, each with a dash before it.

    Examples
    --------
    >>> [bullet.text for bullet in bullets(["no paint work"])]
    ['no paint work']
    """
    return [_Bullet(text, replace(style, indent_pt=_BULLET_INDENT_PT)) for text in texts]


class _Bullet(Words):
    """A paragraph with a dash before its first line."""

    def draw(self) -> None:
        """Set dash and lines."""
        super().draw()
        y = len(self.lines) * self.style.leading_pt - self.style.size_pt
        (dash,) = written("–", self.style.size_pt, _BULLET_INDENT_PT)
        draw_line(self.canv, dash, 0.0, y, self.style)
