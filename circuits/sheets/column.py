"""What one column of the circuit sheet is: its header, its help, how its cells are read and written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from circuits.errors import CellFault
from circuits.sheets import limits
from circuits.sheets.cells import (
    YES_NO,
    CellError,
    choice,
    read_text,
    read_yes_no,
    write_number,
    write_yes_no,
)


@dataclass(frozen=True, slots=True)
class Column:
    """One column (of the vehicle sheet: one key).

    Parameters
    ----------
    name : str
        Header, as in the sheet.
    field : str
        Field of the plan value it fills.
    help : str
        One line for people: what to write.
    parse : callable
        Text that is not blank to value; raises ``CellError``.
    format : callable
        Value to text that parses back to the same value.
    required : bool
    blank : object
        Value of a blank cell.
    default : str
        What a blank cell means, in words; empty where it means nothing.
    choices : tuple of str
        The words it takes, where it takes no others.
    suggestions : tuple of str
        Words it often takes, among others.
    is_number : bool
        True where a plain number is stored as a number in a workbook.
    is_list : bool
        True where it takes several names parted by ``;``.
    """

    name: str
    field: str
    help: str
    parse: Callable[[str], Any] = read_text
    format: Callable[[Any], str] = str
    required: bool = False
    blank: Any = ""
    default: str = ""
    choices: tuple[str, ...] = ()
    suggestions: tuple[str, ...] = ()
    is_number: bool = False
    is_list: bool = False

    def read(self, text: str) -> Any:
        """Value of a cell, blank or not.

        Raises
        ------
        CellError
            If it cannot be read, or is blank and required.

        Examples
        --------
        >>> from circuits.plan import Duty
        >>> duty = words("duty", "How long.", Duty, blank=Duty.CONTINUOUS)
        >>> duty.read("Intermittent").value, duty.read("").value
        ('intermittent', 'continuous')
        """
        if self.is_blank(text):
            if self.required:
                raise CellError(f"a value: {self.help}")
            return self.blank
        return self.parse(text)

    def is_blank(self, text: str) -> bool:
        """True where the cell takes its default. Optional text may consist of spaces."""
        return not text or ((self.required or self.parse is not read_text) and not text.strip())

    def write(self, value: Any) -> str:
        """Text of a value; blank for None."""
        return "" if value is None else self.format(value)

    def fault(self, sheet: str, row: int, text: str, error: CellError) -> CellFault:
        """The fault to report for a cell that ``read`` refused."""
        return CellFault(sheet, row, self.name, shown(text), error.expected)


def shown(text: str) -> str:
    """Text short enough to quote, in characters that can be printed.

    Examples
    --------
    >>> shown("x" * 100)[-3:]
    'xx…'
    """
    cut = text if len(text) <= limits.MAX_SHOWN_CHARACTERS else text[: limits.MAX_SHOWN_CHARACTERS] + "…"
    return cut.encode("utf-8", "replace").decode("utf-8")


def number(name: str, help: str, parse: Callable[[str], float], field: str = "", **options: Any) -> Column:
    """A column of figures; blank is None."""
    options = {"format": write_number, "blank": None, "is_number": True} | options
    return Column(name, field or name, help, parse, **options)


def words(name: str, help: str, values: Any, field: str = "", **options: Any) -> Column:
    """A column that takes the words of an enumeration and no others."""
    named = tuple(member.value for member in values)
    return Column(name, field or name, help, choice(values), choices=named, **options)


def yes_no(name: str, help: str, blank: bool, field: str = "") -> Column:
    """A column of yes and no."""
    return Column(
        name, field or name, help, read_yes_no, write_yes_no, blank=blank, default=write_yes_no(blank), choices=YES_NO
    )
