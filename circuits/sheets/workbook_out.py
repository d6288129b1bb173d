"""Workbooks written: texts typed as text so that nothing runs, help and lists of choices on the headers."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping, Sequence

from openpyxl import Workbook
from openpyxl.cell.cell import Cell, MergedCell
from openpyxl.comments import Comment
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from circuits.plan import DEFAULT_ZONES_C, Plan, Vehicle, Zone
from circuits.sheets.columns import COLUMNS, Column
from circuits.sheets.limits import MAX_CIRCUITS
from circuits.sheets.neutral import is_risky
from circuits.sheets.plans import plan_rows
from circuits.sheets.tables import header_names
from circuits.units import exact

_NEEDS_ESCAPE = re.compile(r"_x[0-9A-Fa-f]{4}_|[\x00-\x08\x0b-\x1f\ufffe\uffff\ud800-\udfff]")
_MAX_LIST_CHARACTERS = 255
_KEY_HELP = "One key a row, as listed here; a blank value takes its default."
_COMMENT_WIDTH, _COMMENT_HEIGHT = 280, 110


def write_xlsx(plan: Plan) -> bytes:
    """Plan as a workbook; of the optional sheets those that have rows.

    Examples
    --------
    >>> write_xlsx(Plan(Vehicle(), (), (), ()))[:2]
    b'PK'
    """
    return _written(plan_rows(plan))


def _written(rows_of: Mapping[str, Sequence[Sequence[str]]]) -> bytes:
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    workbook.properties.creator = "Loomwright"
    for sheet, rows in rows_of.items():
        worksheet = workbook.create_sheet(sheet)
        _write_header(worksheet, sheet)
        for number, row in enumerate(rows, start=2):
            _write_row(worksheet, number, sheet, row)
        _add_lists(worksheet, sheet)
    file = io.BytesIO()
    workbook.save(file)
    return file.getvalue()


def write_template_xlsx() -> bytes:
    """Empty workbook to fill in: all sheets, headers with help, lists of choices, the default zones.

    Examples
    --------
    >>> write_template_xlsx()[:2]
    b'PK'
    """
    zones = tuple(Zone(name, ambient_c) for name, ambient_c in DEFAULT_ZONES_C.items())
    return _written(plan_rows(Plan(Vehicle(), zones, (), ()), with_empty=True))


def _write_header(worksheet: Worksheet, sheet: str) -> None:
    for position, name in enumerate(header_names(sheet), start=1):
        column = COLUMNS[sheet].get(name)
        cell = worksheet.cell(1, position, name)
        cell.font = Font(bold=True)
        help_text = _help(column) if column else _KEY_HELP
        cell.comment = Comment(help_text, "Loomwright", width=_COMMENT_WIDTH, height=_COMMENT_HEIGHT)
        worksheet.column_dimensions[get_column_letter(position)].width = max(12, len(name) + 4)
    worksheet.freeze_panes = "B2"


def _help(column: Column) -> str:
    lines = [column.help]
    if column.required:
        lines.append("Required.")
    elif column.default:
        lines.append(f"Blank: {column.default}.")
    if column.choices:
        lines.append("One of: " + ", ".join(column.choices) + ".")
    if column.suggestions:
        lines.append("Such as: " + ", ".join(column.suggestions) + ".")
    return "\n".join(lines)


def _write_row(worksheet: Worksheet, number: int, sheet: str, row: Sequence[str]) -> None:
    for position, (name, text) in enumerate(zip(header_names(sheet), row, strict=True), start=1):
        if text:
            column = COLUMNS[sheet].get(row[0] if name == "value" else name)
            _write_cell(worksheet.cell(number, position), text, is_number=column is not None and column.is_number)
    if sheet == "vehicle":
        worksheet.cell(number, 1).comment = Comment(
            _help(COLUMNS[sheet][row[0]]), "Loomwright", width=_COMMENT_WIDTH, height=_COMMENT_HEIGHT
        )


def _write_cell(cell: Cell | MergedCell, text: str, *, is_number: bool) -> None:
    """Numbers as numbers where the workbook's 16 digits give them back; else text that nothing runs."""
    if is_number and exact(float(f"{float(text):.16g}")) == text:
        cell.value = float(text)
        return
    cell.value = _NEEDS_ESCAPE.sub(_escape, text)
    cell.data_type = "s"
    if is_risky(text) or text != text.strip() or text.startswith("'"):
        cell.quotePrefix = True  # the spreadsheet's own mark for "text, whatever it looks like"


def _escape(match: re.Match[str]) -> str:
    """Escape of ISO/IEC 29500-1 (22.9.2.19, ST_Xstring) for what XML cannot hold, or reads as an escape."""
    found = match[0]
    return f"_x005F{found}" if len(found) > 1 else f"_x{ord(found):04X}_"


def _add_lists(worksheet: Worksheet, sheet: str) -> None:
    """Drop-down lists, to help: a word not in the list can still be typed and is named when the sheet is read."""
    cells: dict[str, Column] = {}
    if sheet == "vehicle":
        cells = {f"B{number}": key for number, key in enumerate(COLUMNS[sheet].values(), start=2)}
    else:
        letters = [get_column_letter(position) for position in range(1, len(COLUMNS[sheet]) + 1)]
        columns = COLUMNS[sheet].values()
        cells = {
            f"{letter}2:{letter}{MAX_CIRCUITS + 1}": column for letter, column in zip(letters, columns, strict=True)
        }
    for reference, column in cells.items():
        words = ",".join(column.choices or column.suggestions)
        if words and len(words) <= _MAX_LIST_CHARACTERS:
            listed = DataValidation(type="list", formula1=f'"{words}"', allow_blank=True, showErrorMessage=False)
            listed.add(reference)
            worksheet.add_data_validation(listed)
