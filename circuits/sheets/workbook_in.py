"""Workbooks read with care: values only; macros, links and whatever else they carry are passed over."""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Iterator, Mapping
from datetime import date, datetime, time, timedelta
from typing import Any

from openpyxl import DEFUSEDXML, load_workbook

from circuits.errors import CellFault
from circuits.sheets.archive import open_zip, unpack
from circuits.sheets.columns import shown
from circuits.sheets.limits import MAX_COLUMNS, MAX_XML_TAGS
from circuits.sheets.refusal import refusal
from circuits.sheets.tables import Row, Spoiled, named_rows, sheet_name, unknown_sheet
from circuits.units import exact

assert DEFUSEDXML, "openpyxl must read XML through defusedxml"

_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")
_NO_RESULT = re.compile(  # bounded and without overlap, so that hostile text cannot make it slow
    rb"<(?:\w{1,9}:)?c (?P<attributes>[^<>]{1,200})>\s{0,9}"
    rb"<(?:\w{1,9}:)?f\b[^<>]{0,200}(?:/>|>[^<>]{0,9000}</(?:\w{1,9}:)?f>)\s{0,9}"
    rb"(?:<(?:\w{1,9}:)?v\s{0,9}/>|<(?:\w{1,9}:)?v>\s{0,9}</(?:\w{1,9}:)?v>)?\s{0,9}</(?:\w{1,9}:)?c>"
)
_REFERENCE = re.compile(rb'\br="([A-Z]{1,3})([0-9]{1,7})"')
_DOCTYPE = re.compile(rb"<!\s*(?:DOCTYPE|ENTITY)", re.IGNORECASE)
_EXPECTED = "a workbook (.xlsx) with sheets vehicle, zones, runs and circuits"


def read_workbook(data: bytes, name: str) -> tuple[dict[str, list[Row]], list[CellFault]]:
    """Rows by sheet of a workbook, and the faults found.

    Raises ``UnreadableError`` where it cannot be opened or is built to do harm.
    """
    parts = unpack(open_zip(data, name), name)
    _refuse_harm(parts, name)
    tables: dict[str, list[Row]] = {}
    faults: list[CellFault] = []
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            _read_sheets(data, parts, tables, faults)
    except Exception as error:  # a workbook bent on purpose breaks its reader anywhere
        raise refusal(name, f"a workbook that cannot be read ({type(error).__name__})", _EXPECTED) from None
    return tables, faults


def _refuse_harm(parts: dict[str, bytes], name: str) -> None:
    """Refuse parts that swell or fetch when read: none of an honest workbook declares entities of its own."""
    if sum(content.count(b"<") for content in parts.values()) > MAX_XML_TAGS:
        raise refusal(name, "a workbook with too much in it", f"at most {MAX_XML_TAGS} tags")
    for filename, content in parts.items():
        if filename.endswith((".xml", ".rels", ".vml")):
            plain = content.replace(b"\0", b"")  # the declaration in UTF-16 or UTF-32
            if _DOCTYPE.search(plain):
                raise refusal(name, f"{filename} with a document type of its own", _EXPECTED)


def _read_sheets(
    data: bytes, parts: Mapping[str, bytes], tables: dict[str, list[Row]], faults: list[CellFault]
) -> None:
    workbook = load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False, keep_vba=False)
    paths = [getattr(worksheet, "_worksheet_path", "") for worksheet in workbook.worksheets]
    if len(set(paths)) < len(paths):
        raise ValueError("two sheets of one part")
    for title in workbook.sheetnames:
        worksheet = workbook[title]
        sheet = sheet_name(title)
        grid = _grid(worksheet, sheet or title, faults) if hasattr(worksheet, "iter_rows") else iter(())
        if sheet is None:
            if any(any(row) for row in grid):
                faults.append(unknown_sheet(title))
        elif sheet in tables:
            faults.append(CellFault(sheet, 0, "", shown(title), "each sheet once"))
        else:
            tables[sheet] = named_rows(sheet, grid, faults)
            faults += _formulas_without_result(sheet, parts.get(getattr(worksheet, "_worksheet_path", ""), b""))


def _formulas_without_result(sheet: str, xml: bytes) -> Iterator[CellFault]:
    """Cells whose formula was never worked out, as scripts write them: they would read as blank."""
    for match in _NO_RESULT.finditer(xml):
        reference = _REFERENCE.search(match["attributes"])
        if reference and b't="str"' not in match["attributes"]:  # a text result may well be empty
            expected = "a value, or a workbook saved by a program that works its formulas out"
            yield CellFault(sheet, int(reference[2]), reference[1].decode(), "a formula without result", expected)


def _grid(worksheet: Any, sheet: str, faults: list[CellFault]) -> Iterator[list[str]]:
    if hasattr(worksheet, "reset_dimensions"):
        worksheet.reset_dimensions()  # what the file says of its size need not be true
    for number, cells in enumerate(worksheet.iter_rows(), start=1):
        texts = [_text(cell) for cell in cells[:MAX_COLUMNS]]
        if len(cells) > MAX_COLUMNS and any(cell.value is not None for cell in cells[MAX_COLUMNS:]):
            texts.append("more")  # the header, or its absence, tells that this is too much
        for position, cell in enumerate(cells[: len(texts)]):
            expected = _spoilt(cell)
            if expected:
                faults.append(CellFault(sheet, number, cell.column_letter, shown(str(cell.value)), expected))
                texts[position] = Spoiled("spoiled")
        yield texts


def _spoilt(cell: Any) -> str:
    """What should stand in a cell that the spreadsheet program itself has spoilt; empty for all others."""
    if cell.data_type == "e" and cell.value is not None:
        return "a value, not a failed formula"
    if isinstance(cell.value, datetime | date | time | timedelta):
        return "text or a figure, not a date: format the cell as text and type it again"
    return ""


def _text(cell: Any) -> str:
    """Text of a cell; blanks at the ends fall away unless the cell is marked as text."""
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, str):
        text = _ESCAPED.sub(lambda match: chr(int(match[1], 16)), value) if "_x" in value else value
        return text if cell.style_array.quotePrefix else text.strip()
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float) and cell.has_style and "%" in cell.number_format:
        return f"{exact(float(value), 2)} %"  # typed as 3 %, stored as 0.03
    return exact(value) if isinstance(value, float) else str(value)
