"""CSV text: encodings and delimiters found out, cells guarded against being run."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence

from circuits.sheets.columns import COLUMNS
from circuits.sheets.limits import MAX_COLUMNS, MAX_FILE_BYTES
from circuits.sheets.neutral import guarded, unguarded
from circuits.sheets.refusal import refusal
from circuits.sheets.tables import header_names

_DELIMITERS = (",", ";", "\t")
MAX_HEAD_CHARACTERS = 10_000
"""Only so much of the header is looked at to tell the delimiter."""
_BYTE_ORDER_MARKS = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))


def decode(data: bytes, name: str) -> str:
    """Text of a CSV file: UTF-8 or UTF-16 by its mark, else UTF-8, else Windows-1252.

    Raises ``UnreadableError`` where it is none of them.

    Examples
    --------
    >>> decode("60 Ω".encode(), "x.csv"), decode("Größe".encode("cp1252"), "x.csv")
    ('60 Ω', 'Größe')
    """
    marked = [encoding for mark, encoding in _BYTE_ORDER_MARKS if data.startswith(mark)]
    for encoding in marked or ("utf-8", "cp1252"):
        try:
            text = data.decode(encoding)
        except UnicodeError:
            continue
        if "\0" not in text:
            return text
    raise refusal(name, "bytes that are no text", "a CSV file in UTF-8, UTF-16 or Windows-1252")


def read_grid(sheet: str, text: str, name: str, delimiter: str = "") -> Iterator[list[str]]:
    r"""Rows of a CSV text; the delimiter is the one under which most column names are known.

    One row at a time. Raises ``UnreadableError`` where quoting is broken.

    Examples
    --------
    >>> list(read_grid("zones", "zone;ambient_c\ncabin;40,5\n", "zones.csv"))
    [['zone', 'ambient_c'], ['cabin', '40,5']]
    """
    csv.field_size_limit(MAX_FILE_BYTES)
    number = 0
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter or _delimiter(sheet, text), strict=True)
    try:
        for row in reader:
            number += 1
            yield [unguarded(cell) for cell in row[: MAX_COLUMNS + 1]]
    except csv.Error as error:
        raise refusal(
            name, f"broken quoting after row {number} ({error})", 'a cell with " in it in quotes, each " within doubled'
        ) from None


def _delimiter(sheet: str, text: str) -> str:
    known = set(header_names(sheet))
    head = text.lstrip()[:MAX_HEAD_CHARACTERS].split("\n", 1)[0]

    def names_known(delimiter: str) -> int:
        return sum(cell.strip().strip('"').strip().casefold() in known for cell in head.split(delimiter))

    return max(_DELIMITERS, key=names_known)


def write_grid(sheet: str, rows: Iterable[Sequence[str]]) -> bytes:
    """CSV of a sheet with its header: UTF-8 with its mark, so that spreadsheet programs see it is."""
    file = io.StringIO(newline="")
    writer = csv.writer(file, lineterminator="\r\n")
    writer.writerow(header_names(sheet))
    for row in rows:
        writer.writerow(_guarded_row(sheet, row))
    return file.getvalue().encode("utf-8-sig", "replace")


def _guarded_row(sheet: str, row: Sequence[str]) -> list[str]:
    """Plain numbers stay as they are: a minus sign in front of digits runs nothing."""
    if sheet == "vehicle":
        return [row[0], row[1] if COLUMNS[sheet][row[0]].is_number else guarded(row[1])]
    return [
        text if column.is_number else guarded(text) for column, text in zip(COLUMNS[sheet].values(), row, strict=True)
    ]
