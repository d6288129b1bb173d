"""What the papers of invoices, credit notes and changes have in common: the head, the lines, the look of the quote."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

from reportlab.platypus import Flowable

from circuits.paper.flow import Words
from circuits.paper.rows import Cell, Column, rows, side_by_side
from circuits.paper.styles import BODY, LABEL, QUIET, TITLE, Align, TextStyle
from estimating.pricing.price import LOT
from estimating.pricing.quote import TaxGroup
from estimating.quotes.paper_content import Letterhead
from estimating.quotes.paper_head import letterhead_row
from estimating.quotes.paper_words import InWords

_FIGURE = TextStyle(size_pt=14.0, leading_pt=18.0, is_bold=True)
_SMALL_FIGURE = TextStyle(size_pt=10.0, leading_pt=18.0, is_bold=True)
_ADDRESS = TextStyle(size_pt=9.5, leading_pt=13.0)
_FACT = TextStyle(size_pt=9.0, leading_pt=12.0)
_FACT_NAME = TextStyle(size_pt=8.0, leading_pt=12.0, colour=QUIET.colour)
_HALVES = (0.64, 0.36)


@dataclass(frozen=True, slots=True)
class Head:
    """What stands at the top."""

    title: str
    letterhead: Letterhead
    addressee: str
    vehicle: str
    facts: tuple[tuple[str, str], ...]


class Line(Protocol):
    """A line of a quote, change or invoice."""

    @property
    def text(self) -> str: ...  # noqa: D102
    @property
    def quantity(self) -> Decimal: ...  # noqa: D102
    @property
    def unit(self) -> str: ...  # noqa: D102
    @property
    def unit_price(self) -> Decimal: ...  # noqa: D102
    @property
    def net(self) -> Decimal: ...  # noqa: D102
    @property
    def tax_percent(self) -> Decimal: ...  # noqa: D102


def opening(head: Head, width_pt: float) -> list[Flowable]:
    """Shop and logo, addressee and facts, the title."""
    to: list[Flowable] = [Words("for", LABEL), Words(head.addressee or "–", _ADDRESS)]
    if head.vehicle:
        to += [Words("", LABEL), Words("vehicle", LABEL), Words(head.vehicle, _ADDRESS)]
    lines = [[Words(name, _FACT_NAME), Words(text, _FACT)] for name, text in head.facts if text]
    facts = side_by_side(lines, (0.36, 0.64), width_pt=width_pt * 0.36)
    middle = side_by_side([[to, facts]], _HALVES, width_pt=width_pt, space_pt=(14.0, 12.0))
    return [letterhead_row(head.letterhead, width_pt), middle, Words(head.title, TITLE)]


def figures(cells: Sequence[tuple[str, str]], width_pt: float) -> Flowable:
    """A box of the few figures that matter; the last is set smaller."""
    boxes = [
        [Words(label, LABEL), Words(text, _SMALL_FIGURE if index == len(cells) - 1 else _FIGURE)]
        for index, (label, text) in enumerate(cells)
    ]
    shares = (0.36, 0.32, 0.32)[: len(cells)]
    return side_by_side([boxes], shares, width_pt=width_pt, is_boxed=True, space_pt=(0.0, 8.0))


def lines_table(lines: Sequence[Line], said: InWords, width_pt: float) -> Flowable:
    """The lines with quantity, price, tax rate and net."""
    columns = [
        Column("", 5.6),
        Column("Quantity", 1.3, Align.RIGHT),
        Column("Price of one", 1.5, Align.RIGHT),
        Column("Tax", 0.9, Align.RIGHT),
        Column(f"Net, {said.currency}", 1.7, Align.RIGHT),
    ]
    cells: list[list[Cell]] = []
    for line in lines:
        is_lot = line.unit == LOT
        quantity = "" if is_lot else f"{said.quantity(line.quantity)} {line.unit}"
        each = "" if is_lot else said.unit_price(line.unit_price)
        cells.append([line.text, quantity, each, said.percent(line.tax_percent), said.amount(line.net)])
    return rows(columns, cells, width_pt=width_pt)


def sums_table(
    net: Decimal,
    taxes: Sequence[TaxGroup],
    sums: Sequence[tuple[str, Decimal]],
    said: InWords,
    width_pt: float,
) -> Flowable:
    """Net, tax by rate, then the sums in bold."""
    columns = [Column("Sum", 5.6), Column("On", 2.8, Align.RIGHT), Column(said.currency, 2.6, Align.RIGHT)]
    body = [[f"Tax {said.percent(tax.tax_percent)}", said.amount(tax.taxable), said.amount(tax.tax)] for tax in taxes]
    footer = [[name, "", said.amount(amount)] for name, amount in sums]
    return rows(columns, [["Net of all lines", "", said.amount(net)], *body], width_pt=width_pt, footer=footer)


def note(text: str) -> list[Flowable]:
    """A few words to the customer, where there are any."""
    return [Words(text, BODY)] if text.strip() else []
