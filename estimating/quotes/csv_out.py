"""CSV for spreadsheets: UTF-8 with its mark, and no text cell that a spreadsheet would run."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from decimal import Decimal

from circuits.sheets.neutral import guarded


def csv_bytes(header: Sequence[str], rows: Iterable[Sequence[str | Decimal | None]]) -> bytes:
    r"""A CSV file. Numbers stand as plain digits, None as a blank cell.

    Examples
    --------
    >>> csv_bytes(["a", "b"], [["=1+1", Decimal("1E+1")]])
    b"\xef\xbb\xbfa,b\r\n'=1+1,10\r\n"
    """
    file = io.StringIO(newline="")
    writer = csv.writer(file, lineterminator="\r\n")
    writer.writerow(header)
    for row in rows:
        writer.writerow([_cell(value) for value in row])
    return file.getvalue().encode("utf-8-sig")


def _cell(value: str | Decimal | None) -> str:
    if value is None:
        return ""
    return f"{value:f}" if isinstance(value, Decimal) else guarded(value)
