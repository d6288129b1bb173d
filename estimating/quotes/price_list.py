"""What the page of prices shows: a part of the price book, with what each row sells at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimating.pricing.book import selling_price
from estimating.pricing.price_book_csv import example_price_book
from estimating.pricing.quote import PriceItem, Terms
from estimating.quotes.models import PriceRow
from estimating.quotes.store import price_item_of

PAGE = 50


@dataclass(frozen=True, slots=True)
class PriceLine:
    """One row; ``row_id`` is None for the packaged example."""

    item: PriceItem
    row_id: int | None
    sells_at: Decimal


@dataclass(frozen=True, slots=True)
class PriceList:
    """One page of the book. ``is_example`` where the shop has no rows of its own yet."""

    lines: tuple[PriceLine, ...]
    number: int
    has_more: bool
    is_example: bool


def price_line(row: PriceRow, terms: Terms) -> PriceLine:
    """One row as the page shows it."""
    item = price_item_of(row)
    return PriceLine(item, row.pk, selling_price(item, terms))


def price_list(words: str, number: int, terms: Terms) -> PriceList:
    """Page ``number`` (from 1) of the rows that match ``words``, without counting them."""
    start = (number - 1) * PAGE
    rows = list(PriceRow.objects.matching(words)[start : start + PAGE + 1])
    if rows or PriceRow.objects.exists():
        lines = tuple(price_line(row, terms) for row in rows[:PAGE])
        return PriceList(lines, number, len(rows) > PAGE, is_example=False)
    items = _matching(example_price_book().items, words)[start : start + PAGE + 1]
    example = tuple(PriceLine(item, None, selling_price(item, terms)) for item in items[:PAGE])
    return PriceList(example, number, len(items) > PAGE, is_example=True)


def _matching(items: Sequence[PriceItem], words: str) -> list[PriceItem]:
    wanted = words.casefold().split()
    return [
        item for item in items if all(word in f"{item.kind} {item.spec} {item.supplier}".casefold() for word in wanted)
    ]
