"""Small sheets for tests: a sound one, changed in one place."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Callable, Mapping
from typing import Any

from openpyxl import Workbook

from circuits.errors import CellFault, UnreadableError
from circuits.plan import Plan
from circuits.sheets import read_sheet

CIRCUIT: dict[str, Any] = {
    "circuit": "horn",
    "section": "front",
    "feed": "battery",
    "fed_at": "panel",
    "load": "horn",
    "load_at": "left wing",
    "load_a": 5,
    "kind": "motor",
}


def circuit_json(**cells: Any) -> bytes:
    """A sheet of one circuit with some cells changed; None takes a cell out."""
    row = {name.removesuffix("_"): value for name, value in (CIRCUIT | cells).items() if value is not None}
    return json.dumps({"circuits": [row]}).encode()


def read_json(data: Any) -> Plan:
    """Plan of a JSON value or text."""
    return read_sheet(("plan.json", data if isinstance(data, bytes) else json.dumps(data).encode()))


def faults_of(source: tuple[str, bytes]) -> tuple[CellFault, ...]:
    """Faults of a sheet that cannot be read; none if it can."""
    try:
        read_sheet(source)
    except UnreadableError as error:
        return error.faults
    return ()


def csv_zip(files: Mapping[str, str | bytes]) -> tuple[str, bytes]:
    """A zip of files by name."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in files.items():
            archive.writestr(name, text)
    return "plan.zip", file.getvalue()


def workbook(sheets: Mapping[str, list[list[Any]]]) -> tuple[str, bytes]:
    """A workbook of rows by sheet, made without our writer."""
    book = Workbook()
    book.remove(book.worksheets[0])
    for title, rows in sheets.items():
        worksheet = book.create_sheet(title)
        for row in rows:
            worksheet.append(row)
    file = io.BytesIO()
    book.save(file)
    return "plan.xlsx", file.getvalue()


CIRCUITS_CSV = "circuit,section,feed,fed_at,load,load_at,load_a,kind\nhorn,front,battery,panel,horn,left wing,5,motor\n"


def rezipped(data: bytes, change: Callable[[str, bytes], bytes], extra: dict[str, bytes] | None = None) -> bytes:
    """The zip with its parts changed, and more added."""
    file = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.namelist():
            new.writestr(part, change(part, old.read(part)))
        for name, content in (extra or {}).items():
            new.writestr(name, content)
    return file.getvalue()
