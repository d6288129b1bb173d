"""Edits of a plan's rows as values: what somebody wants, and why it could not be had."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from circuits.errors import LoomwrightError
from circuits.planning.models import PlanRow

AT_END = -1
"""As ``after``: behind the last row."""
AT_TOP = 0
"""As ``after``: before the first row."""
FIRST_VERSION = 1


@dataclass(frozen=True, slots=True)
class Edit:
    """One row as somebody wants it.

    Parameters
    ----------
    key : str
        The editor's own name of the row, given back in answers. A new row's must be used for no other row ever.
    row_id : int or None
        None for a new row.
    version : int
        Version of the row that the edit was made on; 0 for a new row.
    value : Circuit, Run or Zone
    after : int or str
        Where a new row goes: behind the row of that id, or behind the new row of that key; ``AT_END``, ``AT_TOP``.
    """

    key: str
    row_id: int | None
    version: int
    value: Any
    after: int | str = AT_END


@dataclass(frozen=True, slots=True)
class EditFault:
    """A cell that the plan cannot hold."""

    key: str
    column: str
    value: str
    expected: str


class EditFaultsError(LoomwrightError, ValueError):
    """Cells that the plan cannot hold; nothing was stored. Carries all of them."""

    def __init__(self, faults: Sequence[EditFault]) -> None:
        self.faults = tuple(faults)
        super().__init__("; ".join(f"{f.column}: found {f.value!r}, expected {f.expected}" for f in faults))


@dataclass(frozen=True, slots=True)
class Conflict:
    """A row that somebody else changed since it was read; ``theirs`` is None where they took it out."""

    key: str
    row_id: int
    theirs: Any


class ConflictError(LoomwrightError):
    """Somebody else changed rows since they were read; nothing was stored. Carries every such row."""

    def __init__(self, conflicts: Sequence[Conflict]) -> None:
        self.conflicts = tuple(conflicts)
        super().__init__(f"{len(conflicts)} rows were changed by somebody else meanwhile")


@dataclass(frozen=True, slots=True)
class Changed:
    """What a change did: the plan's row and its stamp before, the rows by the editor's keys, other rows it altered."""

    plan_row: PlanRow
    stamp_before: str
    rows: dict[str, Any]
    others: tuple[Any, ...] = ()
