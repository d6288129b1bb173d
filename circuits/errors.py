"""The errors this house raises on purpose: each names the place, the value found and what was expected."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


class LoomwrightError(Exception):
    """Root of every error raised on purpose, so that a caller can catch ours and nothing else."""


@dataclass(frozen=True, slots=True)
class CellFault:
    """One cell (or form field) that cannot be read.

    Parameters
    ----------
    sheet : str
        Sheet, file or form the cell stands in, e.g. ``circuits``.
    row : int
        Row as a spreadsheet counts it: the header is row 1. 0 where the fault has no row.
    column : str
        Column name, e.g. ``load_a``.
    value : str
        What was found, as text.
    expected : str
        What would have been accepted, in words.
    """

    sheet: str
    row: int
    column: str
    value: str
    expected: str

    def __str__(self) -> str:
        """One line for people.

        Examples
        --------
        >>> print(CellFault("circuits", 4, "load_a", "lots", "a current such as 5 or 380 mA"))
        circuits, row 4, load_a: found 'lots', expected a current such as 5 or 380 mA
        """
        row = f", row {self.row}" if self.row else ""
        column = f", {self.column}" if self.column else ""
        return f"{self.sheet}{row}{column}: found {self.value!r}, expected {self.expected}"


class UnreadableError(LoomwrightError, ValueError):
    """Input that cannot be read. Carries every fault found, not only the first."""

    def __init__(self, faults: Iterable[CellFault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class QuantityError(LoomwrightError, ValueError):
    """Text that is not a quantity of the wanted kind, e.g. ``5 ft`` where a current is wanted.

    ``expected`` says alone what would have been accepted; empty where the raiser did not say.
    """

    def __init__(self, message: str, *, expected: str = "") -> None:
        self.expected = expected
        super().__init__(message)


class PlanError(LoomwrightError, ValueError):
    """A plan value outside what the model can hold, e.g. a run of negative length."""


class TableError(LoomwrightError, LookupError):
    """A size, family or class that no data table holds."""
