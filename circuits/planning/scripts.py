"""What the commands for scripts have in common: no database, one exit status a meaning, one message for bad input.

Exit status: 0 sound; 1 worked out, but something must be cured; 2 input that cannot be read or output that cannot be
written.
"""

from __future__ import annotations

import argparse
import io
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from circuits.cautions import cautions
from circuits.errors import LoomwrightError
from circuits.plan import Plan
from circuits.rules import Series
from circuits.sheets import read_sheet

STATUS_FINDINGS, STATUS_UNREADABLE = 1, 2
STDOUT = "-"
SERIES = {"awg": Series.AWG, "mm2": Series.MM2}
"""Size series by the word a command takes."""


class ScriptCommand(BaseCommand):
    """A command for scripts. What it does stands in ``work``; what it says to people in ``tell``."""

    requires_system_checks: list[str] = []  # they may ask for a database

    def handle(self, *args: Any, **options: Any) -> None:
        """Work, tell, and end with the status that says how it went."""
        _tolerate_narrow_terminals()
        try:
            found = self.work(options)
        except (LoomwrightError, OSError) as error:
            self.stderr.write(_said(error))
            sys.exit(STATUS_UNREADABLE)
        if options.get("json") != STDOUT:
            for line in self.tell(found):
                self.stdout.write(line)
        if self.must_be_cured(found):
            sys.exit(STATUS_FINDINGS)

    def work(self, options: dict[str, Any]) -> Any:
        """What the command finds, written to the files it was asked for."""
        raise NotImplementedError

    def tell(self, found: Any) -> Iterable[str]:
        """Lines for people."""
        raise NotImplementedError

    def must_be_cured(self, found: Any) -> bool:
        """True where a finding of severity error stands."""
        return False

    def write_json(self, text: str, to: str | None) -> None:
        """To the file that ``--json`` named, to standard output, or nowhere."""
        if to == STDOUT:
            self.stdout.write(text, ending="")
        elif to:
            Path(to).write_text(text, encoding="utf-8")


def add_epilog(parser: CommandParser, usage: str, doc: str | None) -> None:
    """Usage in one line, and what follows the first paragraph of a command's own text."""
    parser.usage = usage
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = (doc or "").partition("\n\n")[2]


def add_sheet(parser: CommandParser) -> None:
    """The circuit sheet to read, and where the answer goes."""
    parser.add_argument("sheet", help="XLSX workbook, JSON file, zip or folder of CSV files")
    parser.add_argument("--json", metavar="FILE", help="write the answer there; - for standard output")


def plan_at(path: str) -> Plan:
    """Plan of the circuit sheet there.

    Raises
    ------
    FileNotFoundError
        If nothing is there.
    UnreadableError
        If it is no circuit sheet; with all faults.
    """
    sheet = Path(path)
    if not sheet.exists():
        raise FileNotFoundError(f"{sheet}: no such file or folder; expected a circuit sheet")
    return read_sheet(sheet)


def caution_lines() -> Iterable[str]:
    """The cautions that stand with every electrical figure."""
    return ("Cautions", *(f"  {caution}" for caution in cautions()))


def _tolerate_narrow_terminals() -> None:
    """A terminal that lacks a sign such as ² shows its number instead of failing."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _said(error: Exception) -> str:
    if isinstance(error, OSError) and error.strerror:
        return f"{error.filename}: {error.strerror}"
    return str(error)
