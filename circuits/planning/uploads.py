"""Circuit sheets as the browser uploads them: one file, or several CSV files at once."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from dataclasses import replace

from django.core.files.uploadedfile import UploadedFile

from circuits.errors import CellFault, UnreadableError
from circuits.plan import Plan
from circuits.sheets.columns import OPTIONAL_SHEETS
from circuits.sheets.limits import MAX_FILE_BYTES
from circuits.sheets.reading import read_sheet


def read_uploads(files: Sequence[UploadedFile]) -> Plan:
    """The plan that uploaded files hold.

    Raises
    ------
    UnreadableError
        With every fault; also where there is no file, or more than the size allowed.
    """
    if not files:
        raise UnreadableError([CellFault("upload", 0, "", "no file", "a workbook, a zip, CSV files or a JSON file")])
    size = sum(file.size or 0 for file in files)
    if size > MAX_FILE_BYTES:
        found, most = f"{size / 1e6:.1f} MB", f"at most {MAX_FILE_BYTES / 1e6:.1f} MB"
        raise UnreadableError([CellFault("upload", 0, "", found, most)])
    named = [(file.name or "sheet", file.read()) for file in files]
    is_csv = all(name.lower().endswith(".csv") for name, _ in named)
    if len(named) == 1 and not is_csv:
        return read_sheet(named[0])
    if not is_csv:
        others = ", ".join(name for name, _ in named if not name.lower().endswith(".csv"))
        raise UnreadableError([CellFault("upload", 0, "", others, "CSV files, where several files are chosen")])
    return read_sheet(("the chosen files", _zipped(named)))


def _zipped(named: Sequence[tuple[str, bytes]]) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        for name, data in named:
            archive.writestr(name, data)
    return held.getvalue()


def with_fittings_of(present: Plan, new: Plan) -> Plan:
    """The new plan with the connectors, cavities, parts to mount and panel positions of the present one."""
    return replace(new, **{sheet: getattr(present, sheet) for sheet in OPTIONAL_SHEETS})


def has_fittings(plan: Plan) -> bool:
    """True where a plan says anything of its fittings."""
    return any(getattr(plan, sheet) for sheet in OPTIONAL_SHEETS)


def with_loom_of(present: Plan, new: Plan) -> Plan:
    """The new plan's circuits on the present plan's vehicle, zones and runs."""
    return replace(new, vehicle=present.vehicle, zones=present.zones, runs=present.runs)
