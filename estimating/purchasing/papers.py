"""Papers of purchasing: the order, the cut list with its pick list, and wire labels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from reportlab.platypus import Flowable

from circuits.paper.flow import Words, gap, section
from circuits.paper.rows import Column, rows, side_by_side
from circuits.paper.sheet import pdf, text_width
from circuits.paper.styles import BODY, LABEL, QUIET, STRONG, TITLE, Align, TextStyle
from circuits.paper.title_block import TitleBlock
from estimating.purchasing.cut_list import CutEnd, CutRow
from estimating.purchasing.kits import Kit
from estimating.purchasing.models import OrderLineRow, OrderRow
from estimating.purchasing.states import OrderState
from estimating.quotes.paper_content import Letterhead
from estimating.quotes.paper_head import letterhead_row
from estimating.quotes.paper_words import InWords
from estimating.quotes.papers import paper_of

_LABEL_COLUMNS = 4
_LABEL_NUMBER = TextStyle(size_pt=9.0, leading_pt=11.0, is_bold=True, max_lines=2)
_LABEL_TEXT = TextStyle(size_pt=7.0, leading_pt=8.5, max_lines=2)
_STRIP = (
    "Strip lengths are for the usual barrels: the terminal maker's figure goes before them. Test-crimp and pull first."
)
_SMALL = TextStyle(size_pt=7.5, leading_pt=9.5, max_lines=4)


def order_pdf(order: OrderRow, lines: Sequence[OrderLineRow], letterhead: Letterhead, said: InWords) -> bytes:
    """The order as the supplier gets it.

    Parameters
    ----------
    order : OrderRow
    lines : sequence of OrderLineRow
    letterhead : Letterhead
    said : InWords
    """
    said = replace(said, currency=order.currency)
    paper = paper_of(said.locale)
    width = text_width(paper)
    columns = [
        Column("Their number", 1.1),
        Column("Material", 2.8, is_bold=True),
        Column("Pack", 1.3),
        Column("Packs", 0.7, Align.RIGHT),
        Column("Price", 0.9, Align.RIGHT),
        Column(f"Net, {order.currency}", 1.0, Align.RIGHT),
        Column("Expected", 1.8),
    ]
    cells = [
        [
            line.part_number,
            line.material.key,
            line.pack_words,
            str(line.packs),
            said.unit_price(line.price),
            said.amount(line.net),
            said.day(line.arrives),
        ]
        for line in lines
    ]
    sums = [("Goods", order.goods), ("Carriage", order.carriage), ("Total", order.total)]
    footer = [["", name, "", "", "", said.amount(amount), ""] for name, amount in sums]
    state = "Draft, not sent" if order.state == OrderState.DRAFT else said.moment(order.sent_at)
    story: list[Flowable] = [
        letterhead_row(letterhead, width),
        gap(10.0),
        Words("to", LABEL),
        Words(order.addressee, BODY),
        Words(f"Purchase order {order.number}", TITLE),
        Words(f"{state or 'Withdrawn'}. Please name the order's number on delivery note and invoice.", QUIET),
        *([Words(order.note, BODY)] if order.note else []),
        rows(columns, cells, width_pt=width, footer=footer),
    ]
    day = (order.sent_at or order.made_at).date()
    block = TitleBlock("Purchase order", order.supplier.name, order.number, date=day, by=order.sent_by or order.made_by)
    return pdf(block, story, paper=paper, author=letterhead.name, locale=said.locale)


def cut_list_pdf(block: TitleBlock, cuts: Sequence[CutRow], kit: Kit, said: InWords) -> bytes:
    """The cut list of a job in the order of the bench, after it what is fetched from which bin.

    Parameters
    ----------
    block : TitleBlock
    cuts : sequence of CutRow
    kit : Kit
    said : InWords
    """
    paper = paper_of(said.locale)
    width = text_width(paper)
    cut_columns = [
        Column("Wire", 1.4, is_bold=True),
        Column("Size and colour", 1.2),
        Column("Cut", 0.8, Align.RIGHT),
        Column("From", 2.5),
        Column("To", 2.5),
        Column("Roll", 1.1),
        Column("Done", 0.65),
    ]
    cut_cells = [
        [
            cut.number,
            "\n".join(filter(None, [f"{cut.size} {cut.colour}", cut.note])),
            cut.length,
            _end_words(cut.start),
            _end_words(cut.end),
            " ".join(filter(None, [cut.roll, f"bin {cut.bin}" if cut.bin else ""])) or "not reserved",
            "",
        ]
        for cut in cuts
    ]
    pick_columns = [
        Column("Bin", 0.8, is_bold=True),
        Column("Material", 3.0),
        Column("Roll", 1.0),
        Column("Amount", 0.9, Align.RIGHT),
        Column("For", 1.2),
        Column("Done", 0.65),
    ]
    pick_cells = [[line.bin or "none", line.given, line.roll, line.says, line.cut, ""] for line in kit.to_pick]
    picking = rows(pick_columns, pick_cells, width_pt=width) if pick_cells else Words("Nothing lies ready.", BODY)
    story: list[Flowable] = [
        Words(f"Cut list, {len(cuts)} wires", TITLE),
        Words(_STRIP, QUIET),
        rows(cut_columns, cut_cells, width_pt=width, style=_SMALL) if cut_cells else Words("No wire to cut.", BODY),
        *section("To fetch, by bin", picking),
    ]
    return pdf(block, story, paper=paper, locale=said.locale)


def _end_words(end: CutEnd) -> str:
    return f"{end.place}: {end.device}\n{end.terminal}, strip {end.strip_mm} mm"


def labels_pdf(block: TitleBlock, labels: Sequence[tuple[str, str, str]], said: InWords) -> bytes:
    """Wire labels to cut out: number, wire, from and to.

    Parameters
    ----------
    block : TitleBlock
    labels : sequence of (str, str, str)
        Number, size and colour, from and to.
    said : InWords
    """
    paper = paper_of(said.locale)
    width = text_width(paper)
    story: list[Flowable] = [Words(f"Wire labels, {len(labels)}", STRONG)]
    for first in range(0, len(labels), _LABEL_COLUMNS):
        line = labels[first : first + _LABEL_COLUMNS]
        cells = [
            [Words(number, _LABEL_NUMBER), Words(wire, _LABEL_TEXT), Words(ends, _LABEL_TEXT)]
            for number, wire, ends in line
        ]
        cells += [[Words("", _LABEL_TEXT)]] * (_LABEL_COLUMNS - len(line))
        story.append(side_by_side([cells], (1.0,) * _LABEL_COLUMNS, width_pt=width, is_boxed=True))
    return pdf(block, story, paper=paper, locale=said.locale)
