"""A circuit sheet read, whatever its format: the format is told by content, not by the file's name."""

from __future__ import annotations

from pathlib import Path

from circuits.errors import CellFault
from circuits.plan import Plan
from circuits.sheets.archive import open_zip
from circuits.sheets.csv_files import read_csv_folder, read_csv_zip
from circuits.sheets.json_text import read_json
from circuits.sheets.limits import MAX_FILE_BYTES
from circuits.sheets.plans import build_plan
from circuits.sheets.refusal import refusal
from circuits.sheets.tables import Row
from circuits.sheets.workbook_in import read_workbook

_FORMATS = "a workbook (.xlsx), a zip or folder of CSV files, or a JSON file"
_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
"""First bytes of old binary workbooks, and of new ones that are locked with a password."""


def read_sheet(source: Path | tuple[str, bytes]) -> Plan:
    """Plan of a circuit sheet.

    Parameters
    ----------
    source : pathlib.Path, or tuple of str and bytes
        File or folder; or the name and content of an uploaded file.

    Returns
    -------
    Plan

    Raises
    ------
    UnreadableError
        With every fault found: sheet, row, column, the value and what was expected. No other
        error comes from content, however broken.

    Examples
    --------
    >>> read_sheet(("plan.json", b'{"circuits": [], "zones": [{"zone": "cabin", "ambient_c": "104 F"}]}')).zones
    (Zone(name='cabin', ambient_c=40.0),)
    """
    tables, faults = _read_tables(source)
    if "circuits" not in tables:
        name = source.name if isinstance(source, Path) else source[0]
        faults = [*faults, CellFault("circuits", 0, "", "no such sheet", f"a sheet named circuits in {name}")]
    return build_plan(tables, faults)


def _read_tables(source: Path | tuple[str, bytes]) -> tuple[dict[str, list[Row]], list[CellFault]]:
    if isinstance(source, tuple):
        return _read_bytes(*source)
    try:
        if source.is_dir():
            return read_csv_folder(source)
        if source.stat().st_size > MAX_FILE_BYTES:
            raise _too_large(source.name, source.stat().st_size)
        return _read_bytes(source.name, source.read_bytes())
    except OSError as error:
        raise refusal(source.name, error.strerror or "a file that cannot be opened", _FORMATS) from None


def _read_bytes(name: str, data: bytes) -> tuple[dict[str, list[Row]], list[CellFault]]:
    if len(data) > MAX_FILE_BYTES:
        raise _too_large(name, len(data))
    if not data.strip():
        raise refusal(name, "an empty file", _FORMATS)
    if data.startswith(b"PK"):
        is_workbook = "[Content_Types].xml" in open_zip(data, name).namelist()
        return read_workbook(data, name) if is_workbook else read_csv_zip(data, name)
    if data.startswith(_OLD_WORKBOOK):
        raise refusal(name, "an old or locked workbook", "a workbook saved as .xlsx without a password")
    if name.casefold().endswith(".json") or data.lstrip(b"\xef\xbb\xbf \t\r\n").startswith((b"{", b"[")):
        return read_json(data, name)
    if name.casefold().endswith((".csv", ".tsv", ".txt")):
        raise refusal(name, "one CSV file", "the four CSV files vehicle, zones, runs and circuits in one zip")
    raise refusal(name, "a file of another kind", _FORMATS)


def _too_large(name: str, size: int) -> Exception:
    return refusal(name, f"{size / 1024 / 1024:.1f} MB", f"a file of at most {MAX_FILE_BYTES // 1024 // 1024} MB")
