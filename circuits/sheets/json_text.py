"""The circuit sheet as one JSON file: lists of objects with the same columns."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence
from typing import Any

from circuits.errors import CellFault
from circuits.plan import Plan
from circuits.sheets.cells import hint, write_places, write_yes_no
from circuits.sheets.columns import COLUMNS, shown
from circuits.sheets.csv_text import decode
from circuits.sheets.limits import MAX_OTHER_ROWS, MAX_UNKNOWN_NAMES
from circuits.sheets.plans import plan_rows
from circuits.sheets.refusal import refusal
from circuits.sheets.tables import MAX_ROWS, Row, header_names, sheet_name, unknown_sheet


class _Object(dict[str, Any]):
    """A JSON object that remembers keys written twice."""

    def __init__(self, pairs: list[tuple[str, Any]]) -> None:
        super().__init__(pairs)
        self.twice = sorted(key for key, times in Counter(key for key, _ in pairs).items() if times > 1)


class _Number(str):
    """A JSON number as it was written."""

    __slots__ = ()


def _no_constant(text: str) -> Any:
    raise ValueError(f"{text} is no number")


def read_json(data: bytes, name: str) -> tuple[dict[str, list[Row]], list[CellFault]]:
    """Rows by sheet, and the faults found; rows count from 2, as if a header stood in row 1.

    Raises ``UnreadableError`` where it is no JSON at all.

    Examples
    --------
    >>> read_json(b'{"zones": [{"zone": "cabin", "ambient_c": 40}]}', "plan.json")
    ({'zones': [Row(number=2, cells={'zone': 'cabin', 'ambient_c': '40'}, spoiled=frozenset())]}, [])
    """
    expected = "a JSON object with lists vehicle, zones, runs and circuits"
    try:
        top = json.loads(
            decode(data, name),
            object_pairs_hook=_Object,
            parse_int=_Number,
            parse_float=_Number,
            parse_constant=_no_constant,
        )
    except RecursionError:
        raise refusal(name, "lists nested too deep", expected) from None
    except ValueError as error:
        raise refusal(name, f"JSON that cannot be read: {error}", expected) from None
    if not isinstance(top, _Object):
        raise refusal(name, "JSON of another shape", expected)
    if len(top) > MAX_UNKNOWN_NAMES:
        raise refusal(name, f"an object with {len(top)} keys", expected)
    faults = [CellFault(name, 0, "", shown(key), "each list once") for key in top.twice]
    tables: dict[str, list[Row]] = {}
    for key, value in top.items():
        sheet = sheet_name(key)
        if sheet is None:
            faults.append(unknown_sheet(key))
        elif sheet in tables:
            faults.append(CellFault(sheet, 0, "", shown(key), "each list once"))
        else:
            tables[sheet] = _rows(sheet, value, faults)
    return tables, faults


def _rows(sheet: str, value: Any, faults: list[CellFault]) -> list[Row]:
    if not isinstance(value, list):
        faults.append(CellFault(sheet, 0, "", _quoted(value), "a list of objects, one a row"))
        return []
    most = MAX_ROWS.get(sheet, MAX_OTHER_ROWS)
    if len(value) > most:
        faults.append(CellFault(sheet, most + 2, "", f"{len(value)} rows", f"at most {most} rows"))
    unknown: set[str] = set()
    return [_row(sheet, number, item, unknown, faults) for number, item in enumerate(value[:most], start=2)]


def _row(sheet: str, number: int, item: Any, unknown: set[str], faults: list[CellFault]) -> Row:
    """Cells of an object. An unknown key is reported where it is first met, like a column of a table."""
    if not isinstance(item, _Object):
        faults.append(CellFault(sheet, number, "", _quoted(item), "an object with the columns as keys"))
        return Row(number, {})
    faults.extend(
        CellFault(sheet, number, shown(key), shown(key), "each column once") for key in item.twice[:MAX_UNKNOWN_NAMES]
    )
    known = header_names(sheet)
    cells: dict[str, str] = {}
    spoiled: set[str] = set()
    for key, value in item.items():
        name = key.strip().casefold()
        if name not in known:
            if name not in unknown and len(unknown) < MAX_UNKNOWN_NAMES:
                unknown.add(name)
                faults.append(CellFault(sheet, number, shown(key), shown(key), f"a known column{hint(name, known)}"))
            continue
        text = _text(sheet, name, value)
        if name in cells:
            faults.append(CellFault(sheet, number, name, shown(key), "each column once"))
        elif text is None:
            faults.append(CellFault(sheet, number, name, _quoted(value), "a text, a number, true, false or null"))
            spoiled.add(name)
        else:
            cells[name] = text
    return Row(number, cells, frozenset(spoiled))


def _text(sheet: str, column: str, value: Any) -> str | None:
    if value is None:
        return ""
    if isinstance(value, bool):
        return write_yes_no(value)
    if isinstance(value, str):
        return str(value)
    known = COLUMNS[sheet].get(column)
    if known and known.is_list and isinstance(value, list) and all(isinstance(place, str) for place in value):
        return write_places(tuple(value))
    return None


def _quoted(value: Any) -> str:
    """A value of the wrong shape, for a message; nested ones are named, not written out."""
    if isinstance(value, list):
        return "a list"
    return "an object" if isinstance(value, dict) else shown(str(value))


def write_json(plan: Plan) -> bytes:
    """Plan as JSON, UTF-8. Blank cells are left out.

    Examples
    --------
    >>> from circuits.plan import Vehicle, Zone
    >>> print(write_json(Plan(Vehicle(), (Zone("cabin", 40.0),), (), ())).decode())
    {
      "vehicle": [
        {"key": "system_v", "value": 12},
    ...
    """
    sheets = ",\n".join(
        f'  "{sheet}": [\n{_lines(sheet, rows)}\n  ]' if rows else f'  "{sheet}": []'
        for sheet, rows in plan_rows(plan).items()
    )
    return f"{{\n{sheets}\n}}\n".encode()


def _lines(sheet: str, rows: Sequence[Sequence[str]]) -> str:
    names = header_names(sheet)
    objects: list[str] = []
    for row in rows:
        if sheet == "vehicle" and not row[1]:
            continue
        cells = zip(names, row, strict=True)
        objects.append(", ".join(f'"{name}": {_literal(sheet, row[0], name, text)}' for name, text in cells if text))
    return ",\n".join(f"    {{{members}}}" for members in objects)


def _literal(sheet: str, key: str, name: str, text: str) -> str:
    """Numbers stand as their exact digits: a float in between could lose the last one."""
    column = COLUMNS[sheet].get(key if name == "value" else name)
    return text if column is not None and column.is_number else json.dumps(text)
