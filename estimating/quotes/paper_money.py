"""The figures of a quote: lines by class, tax, and how the hours were arrived at."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from reportlab.platypus import Flowable

from circuits.drawings.distribution import hours_drawing
from circuits.paper.flow import Picture, Words, together
from circuits.paper.rows import Cell, Column, rows
from circuits.paper.styles import BODY, CELL, Align, TextStyle
from estimating.pricing.price import LOT
from estimating.pricing.quote import LineClass, QuoteLine
from estimating.quotes.paper_content import QuoteContent
from estimating.quotes.paper_words import InWords, basis_words

_CLASS_TITLES = {
    LineClass.LABOUR: "Labour",
    LineClass.PARTS: "Parts",
    LineClass.SUNDRIES: "Sundries",
    LineClass.CARRIAGE: "Carriage",
}
_CLASS = replace(CELL, is_bold=True)
_CLASS_SUM = replace(_CLASS, align=Align.RIGHT)
_LINE = replace(CELL, indent_pt=8.0)


def lines_tables(content: QuoteContent, width_pt: float) -> list[Flowable]:
    """The lines class by class, each class of several lines headed by its sum; then the totals."""
    said, quote = InWords(content.quote.currency, content.locale), content.quote
    columns = [
        Column("", 5.6),
        Column("Quantity", 1.3, Align.RIGHT),
        Column("Price of one", 1.5, Align.RIGHT),
        Column("Tax", 0.9, Align.RIGHT),
        Column(f"Net, {quote.currency}", 1.7, Align.RIGHT),
    ]
    cells: list[list[Cell]] = []
    heads = []
    for line_class, title in _CLASS_TITLES.items():
        lines = [line for line in quote.lines if line.line_class is line_class]
        if len(lines) > 1:
            heads.append(len(cells))
            net = sum((line.net for line in lines), Decimal(0))
            cells.append([Words(title, _CLASS), "", "", "", Words(said.amount(net), _CLASS_SUM)])
            cells += [_line(line, said, CELL, Words(line.text.removeprefix(f"{title}: "), _LINE)) for line in lines]
        else:
            cells += [_line(line, said, _CLASS_SUM, Words(line.text, _CLASS)) for line in lines]
    return [rows(columns, cells, width_pt=width_pt, with_next=heads), together(_totals(content, said, width_pt))]


def _line(line: QuoteLine, said: InWords, figure: TextStyle, words: Words) -> list[Cell]:
    is_lot = line.unit == LOT
    quantity = "" if is_lot else said.quantity(line.quantity, line.unit)
    each = "" if is_lot else said.unit_price(line.unit_price)
    net = Words(said.amount(line.net), replace(figure, align=Align.RIGHT))
    return [words, quantity, each, said.percent(line.tax_percent), net]


def _totals(content: QuoteContent, said: InWords, width_pt: float) -> Flowable:
    quote = content.quote
    columns = [Column("Sum", 5.6), Column("On", 2.8, Align.RIGHT), Column(quote.currency, 2.6, Align.RIGHT)]
    taxes = [
        [f"Tax {said.percent(tax.tax_percent)}", said.amount(tax.taxable), said.amount(tax.tax)] for tax in quote.taxes
    ]
    sums = [
        ["Total with tax", "", said.amount(quote.total)],
        ["Deposit on acceptance, part of the total", "", said.amount(quote.deposit)],
    ]
    return rows(columns, [["Net of all lines", "", said.amount(quote.net)], *taxes], width_pt=width_pt, footer=sums)


def labour(content: QuoteContent, width_pt: float) -> list[Flowable]:
    """The hours as a distribution, with what was sold of it in plain words."""
    said, hours = InWords(content.quote.currency, content.locale), content.hours
    rate = f" Our rate is {said.money(content.rate_per_h)} an hour." if content.rate_per_h is not None else ""
    words = f"The labour in this quote is {basis_words(content.basis)}.{rate}"
    if not hours.p50_h > 0:
        return [Words(words, BODY)]
    picture = Picture(hours_drawing(hours.p50_h, hours.p80_h, hours.p90_h, sold=content.basis), width_pt * 0.62)
    return [Words(words, BODY), together(picture)]
