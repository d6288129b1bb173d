"""The fuse chart alone, on one sheet of paper that folds twice to a quarter of it, for the glovebox.

Printed on one side. First fold the upper half behind the lower, then the left half behind the right: the quarter at
the lower right is then in front. A4 folds to A6, and a third fold across the middle to A7.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from io import BytesIO
from typing import Any

from babel.dates import format_date
from django.utils import timezone
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, FrameBreak, PageTemplate

from circuits.drawings.fuses import fuse_drawn
from circuits.drawings.strokes import wire_stroke
from circuits.paper.flow import Framed, Picture, Words, bullets, section
from circuits.paper.fonts import PLAIN, font
from circuits.paper.rows import Column, rows, side_by_side
from circuits.paper.sheet import Paper
from circuits.paper.styles import BODY, DANGER, INK, LABEL, MM, QUIET, RULE, STRONG, TextStyle
from estimating.quotes.papers import paper_of
from shop.handover.code import code_drawing
from shop.handover.content import Chart, FusePanel, FusePosition

_PAD_PT = 7 * MM
_TICK_PT = 3 * MM
_CELL = TextStyle(size_pt=7.5, leading_pt=9.5, max_lines=3)
_QUIET_CELL = replace(_CELL, colour=QUIET.colour, max_lines=2)
_TITLE = TextStyle(size_pt=15.0, leading_pt=19.0, is_bold=True, after_pt=3.0)
_SMALL = TextStyle(size_pt=7.5, leading_pt=9.5, after_pt=2.0)


def card_pdf(chart: Chart) -> bytes:
    """The card as a PDF: the same bytes for the same chart. A long chart goes on over the quarters of further sheets.

    Parameters
    ----------
    chart : Chart
    """
    paper = paper_of(chart.locale)
    out = BytesIO()
    document = BaseDocTemplate(
        out,
        pagesize=paper.value,
        title=f"Fuse chart {chart.job}",
        author=chart.shop.name,
        subject=chart.vehicle,
        creator="Loomwright",
        invariant=1,
    )
    quarters = _quarters(paper)
    document.addPageTemplates(
        [
            PageTemplate("cover", quarters, onPage=_draw_folds, autoNextPageTemplate="more"),
            PageTemplate("more", _quarters(paper), onPage=_draw_folds),
        ]
    )
    width = quarters[0]._width  # type: ignore[attr-defined]
    story: list[Flowable] = [*_cover(chart, width), FrameBreak()]
    for panel in chart.panels:
        story += [*section(panel.place, room_pt=20 * MM), _panel(panel, width)]
    if not chart.panels:
        story.append(Words("No fuses.", BODY))
    document.build(story, canvasmaker=_canvas_of(chart))
    return out.getvalue()


def _canvas_of(chart: Chart) -> Any:
    def canvas(*args: Any, **kwargs: Any) -> Canvas:
        made = Canvas(*args, **(kwargs | {"initialFontName": font(PLAIN).fontName}))
        made.setCatalogEntry("Lang", chart.locale.replace("_", "-"))
        return made

    return canvas


def _quarters(paper: Paper) -> list[Frame]:
    """The lower right first: it is the cover; then from the upper left on."""
    width, height = paper.value
    corners = ((width / 2, 0.0), (0.0, height / 2), (width / 2, height / 2), (0.0, 0.0))
    return [
        Frame(
            x + _PAD_PT, y + _PAD_PT, width / 2 - 2 * _PAD_PT, height / 2 - 2 * _PAD_PT,
            leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0,
        )
        for x, y in corners
    ]  # fmt: skip


def _draw_folds(canvas: Canvas, document: Any) -> None:
    """Dashed lines where it is folded to a quarter; marks at the edges for the third fold."""
    width, height = document.pagesize
    canvas.saveState()
    canvas.setStrokeColor(RULE)
    canvas.setLineWidth(0.5)
    canvas.setDash([3, 3])
    canvas.line(0, height / 2, width, height / 2)
    canvas.line(width / 2, 0, width / 2, height)
    canvas.setDash([])
    canvas.setStrokeColor(INK)
    for y in (height / 4, 3 * height / 4):
        canvas.line(0, y, _TICK_PT, y)
        canvas.line(width - _TICK_PT, y, width, y)
    canvas.restoreState()


def _cover(chart: Chart, width: float) -> list[Flowable]:
    day = format_date(timezone.localdate(chart.made_at), "long", locale=chart.locale)
    facts = [
        ("vehicle", chart.vehicle),
        ("plate", chart.plate),
        ("chassis number", chart.chassis_number),
        ("job", f"{chart.job}, revision {chart.revision}"),
        ("date", day),
        ("by", "\n".join(filter(None, [chart.shop.name, chart.shop.phone]))),
    ]
    told = [[Words(name, LABEL), Words(value, _SMALL)] for name, value in facts if value]
    code = [Picture(code_drawing(chart.job_url), 62.0), Words("opens this job", LABEL)]
    cautions = [Words("For the safety of people", STRONG), *bullets(chart.cautions, _SMALL)]
    return [
        Words("Fuse chart", _TITLE),
        side_by_side([[side_by_side(told, (0.36, 0.64), width_pt=width - 68), code]], (width - 68, 68), width_pt=width),
        *([Framed(cautions, DANGER)] if chart.cautions else []),
        Words("Fold the upper half behind, then the left half behind.", QUIET),
    ]


def _panel(panel: FusePanel, width: float) -> Flowable:
    columns = [Column("No.", 0.7), Column("Fuse", 0.95), Column("Circuit, what it feeds", 4.0), Column("Wire", 2.7)]
    cells: Sequence[Sequence[Any]] = [
        [one.at, Picture(fuse_drawn(one.family, one.rating_a), 21.0), _feeds(one), _wires(one)]
        for one in panel.positions
    ]
    return rows(columns, cells, width_pt=width, style=_CELL)


def _feeds(one: FusePosition) -> Flowable:
    fuse = f"{one.rating_a:g} A {one.family}" + (f", {one.colour}" if one.colour else "")
    words = one.feeds if one.feeds != one.circuit else ""
    below = "; ".join(filter(None, [fuse, words]))
    lines = [Words(one.circuit, replace(_CELL, is_bold=True)), Words(below, _QUIET_CELL)]
    return side_by_side([[lines]], (1,), width_pt=118)


def _wires(one: FusePosition) -> Flowable:
    lines: list[list[Flowable]] = [
        [Picture(wire_stroke(kind.colour), 14.0), Words(f"{kind.colour} {kind.size}", _CELL)] for kind in one.wires[:3]
    ]
    return side_by_side(lines, (18, 62), width_pt=74) if lines else Words("", _CELL)
