"""From what is seen at a vehicle to what is wrong, and to the next test, for scripts. Needs no database.

FILE of ``--seen`` is JSON: a list of entries, or an object with such a list under ``seen``. An entry says one thing:

    {"load": "horns", "state": "horn on", "does": "off"}            off, dim, on, flicker
    {"fuse": "horns", "state": "horn on", "is": "open"}             whole, open; with a sound one fitted: holds, opens
    {"fuse": "horns", "state": "horn on", "reading": "3.2 A"}       through an ammeter in its place
    {"point": "horns/1 end", "state": "horn on", "reading": "11.9 V"}   to battery minus, or to another point: "to"
    {"place": "joint at horns/1 end", "found": "bad"}               looked at closely: good, bad

``state`` names a state of the switches; ``switches`` (functions and positions) may stand in its place. ``unplugged``
and ``pulled`` list loads and fuses that were out. ``closed_faults`` beside ``seen`` counts the shop's own faults by
kind. The answer has the suspects in groups, and under ``next`` the questions worth asking; each is an entry that wants
its answer.

Exit status: 0 answered; 2 input that cannot be read or output that cannot be written.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from circuits.cautions import cautions
from circuits.diagnosis.diagnosis import Diagnosis
from circuits.diagnosis.exchange import diagnosis_dict, read_counted, read_seen
from circuits.diagnosis.finder import Finder
from circuits.electrical.sizing import size_plan
from circuits.errors import CellFault, LoomwrightError, UnreadableError
from circuits.sheets import read_sheet

STATUS_UNREADABLE = 2
STDOUT = "-"
MOST_BYTES = 1_000_000


class Command(BaseCommand):
    """``manage.py find_fault SHEET --seen FILE``."""

    help = "Finds what is wrong from what is seen, and proposes the next test."
    requires_system_checks: list[str] = []  # they may ask for a database

    def add_arguments(self, parser: CommandParser) -> None:
        parser.usage = "manage.py find_fault SHEET --seen FILE [--json FILE]"
        parser.formatter_class = argparse.RawDescriptionHelpFormatter
        parser.epilog = (__doc__ or "").partition("\n\n")[2]
        parser.add_argument("sheet", help="XLSX workbook, JSON file, zip or folder of CSV files")
        parser.add_argument("--seen", metavar="FILE", required=True, help="JSON of what was seen; - for standard input")
        parser.add_argument("--json", metavar="FILE", help="write the answer there; - for standard output")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            data = _json_of(options["seen"])
            sheet = Path(options["sheet"])
            if not sheet.exists():
                raise FileNotFoundError(f"{sheet}: no such file or folder; expected a circuit sheet")
            finder = Finder(size_plan(read_sheet(sheet)))
            found = finder.diagnose(read_seen(data, finder, name=options["seen"]), read_counted(data))
            self._write(found, options["json"])
        except (LoomwrightError, OSError) as error:
            self.stderr.write(_said(error))
            sys.exit(STATUS_UNREADABLE)
        if options["json"] != STDOUT:
            for line in _lines(found):
                self.stdout.write(line)

    def _write(self, found: Diagnosis, to: str | None) -> None:
        text = json.dumps(diagnosis_dict(found) | {"cautions": list(cautions())}, ensure_ascii=False, indent=2) + "\n"
        if to == STDOUT:
            self.stdout.write(text, ending="")
        elif to:
            Path(to).write_text(text, encoding="utf-8")


def _said(error: Exception) -> str:
    return f"{error.filename}: {error.strerror}" if isinstance(error, OSError) and error.strerror else str(error)


def _json_of(name: str) -> object:
    raw = sys.stdin.buffer.read(MOST_BYTES + 1) if name == STDOUT else Path(name).read_bytes()
    if len(raw) > MOST_BYTES:
        raise UnreadableError([CellFault(name, 0, "", f"{len(raw)} bytes or more", f"at most {MOST_BYTES} bytes")])
    try:
        return json.loads(raw)
    except (ValueError, RecursionError) as error:
        raise UnreadableError([CellFault(name, 0, "", str(error)[:80], "JSON of what was seen")]) from None


def _lines(found: Diagnosis) -> Iterator[str]:
    yield "Found" if found.is_isolated else "Suspects"
    for group in found.groups[:5]:
        for number, words in enumerate(group.words):
            yield f"  {f'{group.share:4.0%}' if not number else '  or'}  {words}"
    for proposal in found.proposals[:1]:
        yield f"Next, {proposal.offer.minutes:g} min: {proposal.offer.words}"
        for outcome in proposal.outcomes:
            leaves = "; ".join(f"{words} {share:.0%}" for words, share in outcome.leaves)
            yield f"  {outcome.answer} ({outcome.chance:.0%}): {leaves}"
    yield "Cautions"
    for caution in cautions():
        yield f"  {caution}"
