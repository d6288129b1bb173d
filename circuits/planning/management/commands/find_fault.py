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

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.core.management.base import CommandParser

from circuits.cautions import cautions
from circuits.diagnosis.diagnosis import Diagnosis
from circuits.diagnosis.exchange import diagnosis_dict, read_counted, read_seen
from circuits.diagnosis.finder import Finder
from circuits.electrical.sizing import size_plan
from circuits.errors import CellFault, UnreadableError
from circuits.planning.scripts import STDOUT, ScriptCommand, add_epilog, add_sheet, caution_lines, plan_at

MOST_BYTES = 1_000_000


class Command(ScriptCommand):
    """``manage.py find_fault SHEET --seen FILE``."""

    help = "Finds what is wrong from what is seen, and proposes the next test."

    def add_arguments(self, parser: CommandParser) -> None:
        add_epilog(parser, "manage.py find_fault SHEET --seen FILE [--json FILE]", __doc__)
        add_sheet(parser)
        parser.add_argument("--seen", metavar="FILE", required=True, help="JSON of what was seen; - for standard input")

    def work(self, options: dict[str, Any]) -> Diagnosis:
        """Suspects and the next questions."""
        data = _json_of(options["seen"])
        finder = Finder(size_plan(plan_at(options["sheet"])))
        found = finder.diagnose(read_seen(data, finder, name=options["seen"]), read_counted(data))
        told = diagnosis_dict(found) | {"cautions": list(cautions())}
        self.write_json(json.dumps(told, ensure_ascii=False, indent=2) + "\n", options["json"])
        return found

    def tell(self, found: Diagnosis) -> Iterator[str]:
        """The likeliest groups, the next test and what each outcome would mean."""
        return _lines(found)


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
    yield from caution_lines()
