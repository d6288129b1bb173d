"""The circuit sheet as CSV files, one a sheet: in a folder, or in a zip."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable, Mapping
from pathlib import Path, PurePosixPath

from circuits.errors import CellFault, UnreadableError
from circuits.plan import Plan
from circuits.sheets.archive import open_zip, unpack
from circuits.sheets.csv_text import decode, read_grid, write_grid
from circuits.sheets.limits import MAX_FILE_BYTES
from circuits.sheets.plans import plan_rows
from circuits.sheets.refusal import refusal
from circuits.sheets.tables import Row, named_rows, sheet_name, unknown_sheet

_FIXED_DATE = (2000, 1, 1, 0, 0, 0)
"""Date of the files within a zip: the same plan gives the same bytes."""


def read_csv_texts(files: Iterable[tuple[str, bytes]]) -> tuple[dict[str, list[Row]], list[CellFault]]:
    """Rows by sheet from file names and contents, and the faults found."""
    tables: dict[str, list[Row]] = {}
    faults: list[CellFault] = []
    for filename, data in files:
        sheet = sheet_name(PurePosixPath(filename).stem)
        if sheet is None or not filename.casefold().endswith(".csv"):
            faults.append(unknown_sheet(filename))
        elif sheet in tables:
            faults.append(CellFault(sheet, 0, "", filename, "each sheet once"))
        else:
            try:
                tables[sheet] = named_rows(sheet, read_grid(sheet, decode(data, filename), filename), faults)
            except UnreadableError as error:
                tables[sheet] = []
                faults.extend(error.faults)
    return tables, faults


def read_csv_zip(data: bytes, name: str) -> tuple[dict[str, list[Row]], list[CellFault]]:
    """Rows by sheet of a zip; its files lie at its top. Raises ``UnreadableError``."""
    contents = unpack(open_zip(data, name), name)
    for filename in contents:
        if "/" in filename or "\\" in filename or ":" in filename or filename.startswith("."):
            raise refusal(name, filename, "the CSV files at the top of the zip, in no folder")
    return read_csv_texts(sorted(contents.items()))


def read_csv_folder(folder: Path) -> tuple[dict[str, list[Row]], list[CellFault]]:
    """Rows by sheet of a folder; files other than CSV are passed over. Raises ``UnreadableError``."""
    paths = sorted(path for path in folder.iterdir() if path.suffix.casefold() == ".csv" and path.is_file())
    if sum(path.stat().st_size for path in paths) > MAX_FILE_BYTES:
        raise refusal(folder.name, "files that are too large", f"at most {MAX_FILE_BYTES} bytes together")
    return read_csv_texts([(path.name, path.read_bytes()) for path in paths])


def write_csv_files(plan: Plan) -> Mapping[str, bytes]:
    """CSV contents by file name."""
    return {f"{sheet}.csv": write_grid(sheet, rows) for sheet, rows in plan_rows(plan).items()}


def write_csv_zip(plan: Plan) -> bytes:
    """Plan as a zip of CSV files, one a sheet; the same plan gives the same bytes.

    Examples
    --------
    >>> from circuits.plan import Vehicle
    >>> write_csv_zip(Plan(Vehicle(), (), (), ()))[:2]
    b'PK'
    """
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for filename, data in write_csv_files(plan).items():
            archive.writestr(zipfile.ZipInfo(filename, _FIXED_DATE), data, zipfile.ZIP_DEFLATED)
    return file.getvalue()


def write_csv_folder(plan: Plan, folder: Path) -> None:
    """Plan as CSV files in a folder, made if it is not there."""
    folder.mkdir(parents=True, exist_ok=True)
    for filename, data in write_csv_files(plan).items():
        (folder / filename).write_bytes(data)
