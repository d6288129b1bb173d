"""The price book as a CSV file: reads it, naming every fault at once, and writes it back."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable
from decimal import Decimal
from functools import cache

from circuits.errors import CellFault, UnreadableError
from circuits.sheets.csv_text import decode
from circuits.sheets.neutral import guarded, unguarded
from estimating.pricing.book import PriceBook
from estimating.pricing.quote import PriceItem
from estimating.takeoff.parts import PartKind, Unit
from estimating.takeoff.tables import rows_of

SHEET = "price book"
COLUMNS = ("kind", "spec", "unit", "cost", "markup_percent", "price", "pack", "supplier")
REQUIRED = ("kind", "spec", "unit", "cost")

MAX_BYTES = 2_000_000
MAX_ROWS = 20_000
MAX_FAULTS = 200
MAX_TEXT = {"spec": 120, "supplier": 80}
DIGITS = {"cost": (8, 4), "markup_percent": (5, 2), "price": (8, 4), "pack": (7, 3)}
"""Most digits before and after the point, by column."""

_PLAIN_NUMBER = re.compile(r"0*([0-9]+)(?:\.([0-9]+?)0*)?", re.ASCII)


def read_price_book(content: bytes) -> tuple[PriceItem, ...]:
    r"""Reads a price book.

    Parameters
    ----------
    content : bytes
        CSV in UTF-8, UTF-16 or Windows-1252 with a header of ``COLUMNS`` in any order; cells parted by comma,
        semicolon or tab. Where they are not parted by comma, a decimal comma is understood.

    Returns
    -------
    tuple of PriceItem
        In the order of the file.

    Raises
    ------
    UnreadableError
        With every fault: cells, unknown or missing columns, rows given twice, a file too large.

    Examples
    --------
    >>> read_price_book(b"kind,spec,unit,cost\nwire,14 AWG *,m,0.60\n")[0].spec
    '14 AWG *'
    >>> read_price_book(b"kind,spec,unit,cost\nwire,14 AWG *,m,cheap\n")
    Traceback (most recent call last):
    circuits.errors.UnreadableError: price book, row 2, cost: found 'cheap', expected a number such as 1.25
    """
    table, delimiter = _table(content)
    header = [name.strip().casefold() for name in table[0]]
    _check_header(header)
    faults: list[CellFault] = []
    items: dict[tuple[str, str], PriceItem] = {}
    for number, cells in enumerate(table[1:], start=2):
        if not any(cell.strip() for cell in cells):
            continue
        row = _Row(number, dict(zip(header, cells, strict=False)), delimiter != ",")
        item = row.item() if len(cells) <= len(header) else None
        if len(cells) > len(header):
            row.fault("", f"{len(cells)} cells", f"at most {len(header)}, as in the header")
        elif item and (item.kind, item.spec) in items:
            row.fault("spec", item.spec, f"one row for each {item.kind} spec; this one is given twice")
        elif item:
            items[item.kind, item.spec] = item
        faults += row.faults
        if len(faults) >= MAX_FAULTS:
            break
    if faults:
        raise UnreadableError(faults)
    return tuple(items.values())


def write_price_book(items: Iterable[PriceItem]) -> bytes:
    """Writes a price book that ``read_price_book`` reads back to the same items.

    A text that a spreadsheet program would run as a formula gets an apostrophe before it, which reading takes off.

    Examples
    --------
    >>> item = PriceItem("clip", "6 mm", "piece", Decimal("0.50"))
    >>> read_price_book(write_price_book([item])) == (item,)
    True
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for item in items:
        writer.writerow([_cell(getattr(item, column)) for column in COLUMNS])
    return out.getvalue().encode("utf-8-sig")


@cache
def example_price_book() -> PriceBook:
    """A complete book of invented prices, so that every part of any plan finds one until the shop brings its own.

    Examples
    --------
    >>> example_price_book().find("fuse", "blade 15 A").supplier
    "example: replace with your supplier's"
    """
    rows = rows_of("estimating.pricing", "prices.csv")
    return PriceBook(
        PriceItem(
            kind=row["kind"],
            spec=row["spec"],
            unit=row["unit"],
            cost=Decimal(row["cost"]),
            pack=Decimal(row["pack"]),
            supplier=row["source"],
        )
        for row in rows
    )


class _Row:
    """One row while it is read: hands out its cells and gathers its faults."""

    def __init__(self, number: int, cells: dict[str, str], has_decimal_comma: bool) -> None:
        self._number, self._cells, self._has_decimal_comma = number, cells, has_decimal_comma
        self.faults: list[CellFault] = []

    def fault(self, column: str, value: str, expected: str) -> None:
        self.faults.append(CellFault(SHEET, self._number, column, value[:80], expected))

    def item(self) -> PriceItem | None:
        kind = self._word("kind", [kind.value for kind in PartKind])
        spec = self._text("spec", required=True)
        unit = self._word("unit", [unit.value for unit in Unit])
        cost, markup = self._number_in("cost"), self._number_in("markup_percent")
        price, pack = self._number_in("price"), self._number_in("pack")
        supplier = self._text("supplier")
        if cost is None and not self._cell("cost"):
            self.fault("cost", "", "a number such as 1.25")
        if pack is not None and pack <= 0:
            self.fault("pack", str(pack), "a pack size above 0")
        if self.faults or cost is None:
            return None
        return PriceItem(kind, spec, unit, cost, markup, price, Decimal(1) if pack is None else pack, supplier)

    def _cell(self, column: str) -> str:
        return unguarded(self._cells.get(column) or "")

    def _text(self, column: str, *, required: bool = False) -> str:
        text = self._cell(column)
        if required and text != "*" and not text.strip("* "):
            self.fault(column, text, "a spec such as 14 AWG *, or * for every part of the kind")
        if len(text) > MAX_TEXT[column] or not text.isprintable():
            self.fault(column, text, f"at most {MAX_TEXT[column]} characters that can be printed")
        return text

    def _word(self, column: str, words: list[str]) -> str:
        text = self._cell(column).casefold()
        if text not in words:
            self.fault(column, self._cell(column), "one of " + ", ".join(words))
        return text

    def _number_in(self, column: str) -> Decimal | None:
        text = self._cell(column)
        if not text:
            return None
        plain = text.replace(",", ".") if self._has_decimal_comma and "." not in text else text
        whole, decimals = DIGITS[column]
        match = _PLAIN_NUMBER.fullmatch(plain)
        if match is None:
            self.fault(column, text, "a number such as 1.25")
        elif len(match[1]) > whole or len(match[2] or "") > decimals:
            self.fault(column, text, f"0 or more, at most {whole} digits and {decimals} decimals")
        else:
            return Decimal(plain)
        return None


def _table(content: bytes) -> tuple[list[list[str]], str]:
    if len(content) > MAX_BYTES:
        raise _refused(f"{len(content):,} bytes", f"at most {MAX_BYTES:,} bytes")
    text = decode(content, SHEET)
    lines = text.splitlines()
    delimiter = max(",;\t", key=lines[0].count) if lines else ","
    try:
        table = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))
    except csv.Error as error:
        raise _refused(str(error), "a CSV file") from None
    if not table:
        raise _refused("", "a header: " + ", ".join(COLUMNS))
    if len(table) - 1 > MAX_ROWS:
        raise _refused(f"{len(table) - 1:,} rows", f"at most {MAX_ROWS:,} rows")
    return table, delimiter


def _check_header(header: list[str]) -> None:
    faults = [
        CellFault(SHEET, 1, name, name, "one of the columns " + ", ".join(COLUMNS))
        for name in header
        if name not in COLUMNS
    ]
    faults += [CellFault(SHEET, 1, name, "", "this column") for name in REQUIRED if name not in header]
    faults += [CellFault(SHEET, 1, name, name, "each column once") for name in COLUMNS if header.count(name) > 1]
    if faults:
        raise UnreadableError(faults)


def _refused(value: str, expected: str) -> UnreadableError:
    return UnreadableError([CellFault(SHEET, 0, "", value, expected)])


def _cell(value: Decimal | str | None) -> str:
    return f"{value:f}" if isinstance(value, Decimal) else guarded(value or "")
