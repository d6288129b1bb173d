"""The sheet every paper is printed on: thin frame with centring marks, title block at its foot, page n of m."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from io import BytesIO
from typing import Any

from babel.dates import format_date
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate

from circuits.paper.flow import draw_line
from circuits.paper.fonts import PLAIN, font
from circuits.paper.styles import INK, LABEL, MM, RULE, TextStyle
from circuits.paper.title_block import TitleBlock
from circuits.paper.writing import one_line

_MARGIN_PT = 10 * MM
_FILING_MARGIN_PT = 20 * MM  # ISO 5457: left margin wide enough to file the sheet
_INSET_PT = 5 * MM
_BLOCK_HEIGHT_PT = 24.0
_MARK_PT = 3 * MM
_VALUE = TextStyle(size_pt=8.5, leading_pt=11.0)


class Paper(Enum):
    """Sizes of paper, width and height [pt]."""

    A4 = (210 * MM, 297 * MM)
    LETTER = (8.5 * 72, 11 * 72)


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle on the page [pt], ``y`` upward."""

    x: float
    y: float
    width: float
    height: float


def frame_area(paper: Paper) -> Area:
    """The frame of the sheet.

    Examples
    --------
    >>> round(frame_area(Paper.A4).x / MM), round(frame_area(Paper.A4).y / MM)
    (20, 10)
    """
    width, height = paper.value
    return Area(_FILING_MARGIN_PT, _MARGIN_PT, width - _FILING_MARGIN_PT - _MARGIN_PT, height - 2 * _MARGIN_PT)


def text_width(paper: Paper) -> float:
    """Width that text and tables have [pt].

    Examples
    --------
    >>> round(text_width(Paper.A4) / MM)
    170
    """
    return frame_area(paper).width - 2 * _INSET_PT


def pdf(
    block: TitleBlock,
    story: Sequence[Flowable],
    *,
    paper: Paper = Paper.A4,
    author: str = "",
    locale: str = "en",
) -> bytes:
    """The paper as a PDF, the same bytes for the same input.

    Parameters
    ----------
    block : TitleBlock
        Stands at the foot of every page; its title also names the document.
    story : sequence of Flowable
        From ``circuits.paper.flow`` and ``circuits.paper.rows``; used up by the call.
    paper : Paper
    author : str
        The shop, for the document's properties.
    locale : str
        For the date in the title block, e.g. ``de`` or ``en_GB``.

    Examples
    --------
    >>> from circuits.paper.flow import Words
    >>> pdf(TitleBlock("Plan"), [Words("One line.")])[:5]
    b'%PDF-'
    """
    out = BytesIO()
    area = frame_area(paper)
    document = BaseDocTemplate(
        out,
        pagesize=paper.value,
        title=" ".join(filter(None, [block.title, block.number])),
        author=author or block.by,
        subject=block.subject,
        creator="Loomwright",
        invariant=1,
        allowSplitting=1,
    )
    body = Frame(
        area.x + _INSET_PT,
        area.y + _BLOCK_HEIGHT_PT + 2 * MM,
        area.width - 2 * _INSET_PT,
        area.height - _BLOCK_HEIGHT_PT - _INSET_PT - 2 * MM,
        leftPadding=0,
        rightPadding=0,
        topPadding=0,
        bottomPadding=0,
    )
    document.addPageTemplates([PageTemplate("sheet", [body])])

    def canvas(*args: Any, **kwargs: Any) -> _SheetCanvas:
        return _SheetCanvas(*args, block=block, area=area, locale=locale, **kwargs)

    document.build(list(story), canvasmaker=canvas)
    return out.getvalue()


class _SheetCanvas(Canvas):
    """Holds pages back until their number is known, then frames each."""

    def __init__(self, *args: Any, block: TitleBlock, area: Area, locale: str, **kwargs: Any) -> None:
        kwargs |= {"initialFontName": font(PLAIN).fontName, "initialFontSize": _VALUE.size_pt}
        super().__init__(*args, **kwargs)
        self._block, self._area, self._locale = block, area, locale
        self._held: list[dict[str, Any]] = []
        self.setCatalogEntry("Lang", locale.replace("_", "-"))

    def showPage(self) -> None:  # noqa: N802 - reportlab's name
        """Hold the page back."""
        self._held.append(dict(self.__dict__))
        self._startPage()  # type: ignore[attr-defined]

    def save(self) -> None:
        """Frame and show every page held, then write the document."""
        held = self._held
        for number, state in enumerate(held, start=1):
            self.__dict__.update(state)
            _draw_frame(self, self._area)
            _draw_block(self, self._area, _cells(self._block, self._locale, number, len(held)))
            super().showPage()
        self._held = held
        super().save()


def _cells(block: TitleBlock, locale: str, number: int, count: int) -> list[tuple[str, str, float]]:
    """Label, value and share of the width of each cell that has something to say."""
    day = format_date(block.date, "d MMM y", locale=locale) if block.date else ""
    cells = [
        ("title", block.title, 2.2),
        ("job and vehicle", block.subject, 4.6),
        ("number", block.number, 2.0),
        ("revision", block.revision, 1.1),
        ("date", day, 1.7),
        ("by", block.by, 2.4),
        ("sheet", f"{number} of {count}", 1.2),
    ]
    return [cell for cell in cells if cell[1]]


def _draw_frame(canvas: Canvas, area: Area) -> None:
    canvas.saveState()
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.7)
    canvas.rect(area.x, area.y, area.width, area.height)
    middle_x, middle_y = area.x + area.width / 2, area.y + area.height / 2
    top, right = area.y + area.height, area.x + area.width
    canvas.line(middle_x, top + _MARK_PT, middle_x, top - _MARK_PT / 2)
    canvas.line(middle_x, area.y - _MARK_PT, middle_x, area.y)
    canvas.line(area.x - _MARK_PT, middle_y, area.x + _MARK_PT / 2, middle_y)
    canvas.line(right - _MARK_PT / 2, middle_y, right + _MARK_PT, middle_y)
    canvas.restoreState()


def _draw_block(canvas: Canvas, area: Area, cells: list[tuple[str, str, float]]) -> None:
    canvas.saveState()
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.7)
    canvas.line(area.x, area.y + _BLOCK_HEIGHT_PT, area.x + area.width, area.y + _BLOCK_HEIGHT_PT)
    total = sum(share for _, _, share in cells)
    x = area.x
    for index, (label, value, share) in enumerate(cells):
        width = area.width * share / total
        if index:
            canvas.setStrokeColor(RULE)
            canvas.setLineWidth(0.5)
            canvas.line(x, area.y, x, area.y + _BLOCK_HEIGHT_PT)
        room = width - 8.0
        draw_line(canvas, one_line(label, LABEL.size_pt, room), x + 4, area.y + 15.5, LABEL)
        draw_line(canvas, one_line(value, _VALUE.size_pt, room), x + 4, area.y + 5.0, _VALUE)
        x += width
    canvas.restoreState()
