"""Power up a circuit sheet on paper: every load in each state of the switches, for scripts. Needs no database.

``--state`` names a state (``--states`` lists them), or gives switches: ``"horn=on, ignition=run"``. Without it all
sensible states are answered. ``--fault`` puts a fault in, and may stand several times:

    "lost ground: tail"      "open wire: horn/1"      "blown fuse: horn"      "short to ground: horn/1 end"
    "corroded joint: joint at horn/1 end"      "reversed battery"
    "short to a neighbour: horn/1 end & tail/1 end"
    "two cavities swapped: joint at horn/1 end & joint at tail/1 end"

``--rank KIND`` tries every single fault of that kind in each state, and lists what they do, the gravest first;
``--rank look-alikes`` swaps each two connectors that look alike, ``--rank "two cavities swapped"`` each two cavities of
a connector.

Exit status: 0 nothing is as the plan does not want it; 1 findings of severity error; 2 input that cannot be read or
output that cannot be written.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any

from django.core.management.base import CommandParser

from circuits.cautions import cautions
from circuits.electrical.sizing import size_plan
from circuits.network.build import PlanNetwork, build_network
from circuits.network.crossed import look_alikes_swapped, swaps_within
from circuits.network.elements import NetworkError
from circuits.network.faults import FaultKind, single_faults, what_if
from circuits.network.power_sheet import power_sheet, ranked_rows
from circuits.network.states import State, sensible_states
from circuits.network.wording import read_fault, read_state
from circuits.planning.scripts import ScriptCommand, add_epilog, add_sheet, caution_lines, plan_at
from circuits.units import format_current, format_voltage

LOOK_ALIKES = "look-alikes"


class Command(ScriptCommand):
    """``manage.py power_sheet SHEET --state NAME --fault FAULT --json FILE``."""

    help = "Says what every load of a circuit sheet does in each state of the switches, as designed or with faults."

    def add_arguments(self, parser: CommandParser) -> None:
        usage = "manage.py power_sheet SHEET [--state NAME ...] [--fault FAULT ...] [--rank KIND] [--json FILE]"
        add_epilog(parser, usage, __doc__)
        add_sheet(parser)
        parser.add_argument("--state", metavar="NAME", action="extend", nargs="+", default=[], help="may be repeated")
        parser.add_argument("--fault", metavar="FAULT", action="extend", nargs="+", default=[], help="may be repeated")
        parser.add_argument("--rank", metavar="KIND", help="try every single fault of that kind, e.g. lost ground")
        parser.add_argument("--states", action="store_true", help="list the names of the sensible states, and stop")

    def work(self, options: dict[str, Any]) -> list[str] | dict[str, Any]:
        """Names of the states where only they are asked for; else what every load does."""
        built = build_network(size_plan(plan_at(options["sheet"])))
        if options["states"]:
            options["json"] = None  # names alone are for people
            return [state.name for state in sensible_states(built.plan)]
        found = _answer(built, options)
        text = json.dumps(found | {"cautions": list(cautions())}, ensure_ascii=False, indent=2) + "\n"
        self.write_json(text, options["json"])
        return found

    def tell(self, found: list[str] | dict[str, Any]) -> Iterable[str]:
        """What is on or should be, and what is not as the plan wants it."""
        return found if isinstance(found, list) else _lines(found)

    def must_be_cured(self, found: list[str] | dict[str, Any]) -> bool:
        """True where a state has a finding of severity error."""
        states = [] if isinstance(found, list) else found["states"]
        return any(one["severity"] == "error" for state in states for one in state["findings"])


def _answer(built: PlanNetwork, options: dict[str, Any]) -> dict[str, Any]:
    states = [read_state(text, built) for text in options["state"]] or list(sensible_states(built.plan))
    found = power_sheet(built, states, [read_fault(text, built) for text in options["fault"]])
    if options["rank"]:
        found["ranked"] = {state.name: _ranked(built, state, options["rank"]) for state in states}
    return found


def _ranked(built: PlanNetwork, state: State, kind: str) -> list[dict[str, Any]]:
    kinds = [LOOK_ALIKES, *(one.value for one in FaultKind)]
    if kind == LOOK_ALIKES:
        swapped = look_alikes_swapped(built, state.positions)
        names = [f"{pair.first.name} and {pair.second.name} swapped" for pair, _ in swapped]
        rows = ranked_rows([happening for _, happening in swapped])
        return [row | {"fault": name} for row, name in zip(rows, names, strict=True)]
    if kind == FaultKind.SWAPPED:
        cases = [(fault,) for one in built.plan.wiring.plan.connectors for fault in swaps_within(built, one.name)]
    else:
        cases = [(fault,) for fault in single_faults(built.branches.network) if fault.kind.value == kind]
    if not cases:
        raise NetworkError(f"--rank: found {kind!r}, expected one of {', '.join(kinds)} that the plan can have")
    return ranked_rows(what_if(built, state.positions, cases))


def _lines(found: dict[str, Any]) -> Iterator[str]:
    for state in found["states"]:
        yield state["state"]
        for one in state["loads"]:
            if one["showing"] != "off" or one["wanted"]:
                volts = "floats" if one["voltage_v"] is None else format_voltage(one["voltage_v"])
                yield f"  {one['showing']:3}  {one['load']}: {volts}, {format_current(one['current_a'])}"
        for one in state["findings"]:
            yield f"  {one['severity']}: {one['message']}"
        for one in found.get("ranked", {}).get(state["state"], ()):
            if one["danger"]:
                said = "; ".join(finding["message"] for finding in one["findings"][:3])
                yield f"  {one['danger']:3}  {one['fault']}: {said}"
    yield from caution_lines()
