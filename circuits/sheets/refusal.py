"""Files that are not read at all: one fault that names the file, what it is and what would do."""

from __future__ import annotations

from circuits.errors import CellFault, UnreadableError
from circuits.sheets.columns import shown


def refusal(name: str, found: str, expected: str) -> UnreadableError:
    """The error for a whole file.

    Examples
    --------
    >>> print(refusal("plan.xls", "an old workbook", "a workbook saved as .xlsx"))
    plan.xls: found 'an old workbook', expected a workbook saved as .xlsx
    """
    return UnreadableError([CellFault(shown(name), 0, "", shown(found), expected)])
