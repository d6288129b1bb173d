"""Colours that are chosen: apart wherever wires lie together or sit in one connector, and steady."""

from __future__ import annotations

import time
from collections import Counter
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given

from circuits.colours import parse_colour
from circuits.electrical.sizing import size_plan
from circuits.fittings import Cavity, Connector, Holds
from circuits.harness.colours import Group, assign
from circuits.patterns import expand
from circuits.patterns.colouring import BASES, palette
from circuits.patterns.nets import nets
from circuits.plan import BUSES, Circuit, FuseFamily, Plan
from circuits.rules import BuildRules, ColourBy, ColourRules
from circuits.sheets.starters import STARTERS, load_starter
from circuits.wiring import Wiring
from tests.circuits.cast import DIP, FUEL, GAUGES, HORN, MAIN, TAIL, only
from tests.circuits.connected import connected
from tests.circuits.looms import woven_plans
from tests.circuits.patterns.test_fitted import fitted_plans

CLASHES = ("colour-repeated", "colour-repeated-in-connector")


def colours(plan: Plan) -> dict[str, str]:
    """Colour of the last live wire of each circuit: the circuit's own."""
    return {wire.circuit: wire.colour for wire in expand(plan).wires if wire.colour != "BK"}


def horns(count: int, **changed: str) -> list[Circuit]:
    return [replace(HORN, name=f"horn {number}", **changed) for number in range(count)]  # type: ignore[arg-type]


def alike(wiring: Wiring) -> set[tuple[str, str]]:
    """Pairs of circuits that share a colour and a run, or a colour and a connector; grounds do not count."""
    found = set()
    for one, other in combinations((wire for wire in wiring.wires if wire.colour not in ("", "BK")), 2):
        bodies = [{end.connector for end in (wire.start, wire.end)} - {""} for wire in (one, other)]
        together = set(one.path.runs) & set(other.path.runs) or bodies[0] & bodies[1]
        if one.colour == other.colour and one.circuit != other.circuit and together:
            found.add((one.circuit, other.circuit))
    return found


def test_every_bus_has_a_base_and_no_two_share_one():
    assert BASES.keys() == set(BUSES)
    bases = [base for pair in BASES.values() for base in pair]
    assert len(bases) == len(set(bases))
    assert "BK" not in bases


@pytest.mark.parametrize("bus", BUSES)
def test_a_palette_repeats_no_colour_and_keeps_green_from_yellow(bus: str):
    offered = palette(bus)
    assert len(offered) == len(set(offered))
    assert all(parse_colour(colour) == colour for colour in offered)
    assert not {"GN/YE", "YE/GN"} & set(offered)


@pytest.mark.parametrize("bus", BUSES)
def test_a_bundle_takes_the_whole_palette_of_its_bus_and_only_then_another(bus: str):
    full = len(palette(bus))
    assert Counter(colours(only(*horns(full, feed=bus))).values()) == Counter(palette(bus))
    more = list(colours(only(*horns(full + 1, feed=bus))).values())
    assert len(set(more)) == full + 1


def test_a_colour_is_repeated_only_where_every_one_is_taken_and_the_finding_says_where():
    every = sum(len(palette(bus)) for bus in BUSES)
    wiring = expand(only(*horns(every + 1)))
    [repeated] = [finding for finding in wiring.findings if finding.code in CLASHES]
    assert repeated.message.endswith("in run bulkhead to panel")
    assert alike(wiring)
    assert not alike(expand(only(*horns(every))))


def test_the_first_circuit_of_a_bus_is_plain_and_the_next_get_tracers():
    first, *others = colours(only(*horns(3))).values()
    assert first == "RD"
    assert all(colour.startswith("RD/") for colour in others)


def test_circuits_that_lie_nowhere_together_may_share_a_colour_and_others_may_not_whatever_their_section():
    rear = replace(GAUGES, name="rear", section="rear", feed="battery", fed_at="tail", load_at=("left tail",))
    front = replace(rear, name="front", section="front", fed_at="bulkhead", load_at=("nose",))
    assert colours(only(rear, front)) == {"rear": "RD", "front": "RD"}
    assert len(set(colours(only(rear, replace(front, load_at=("left tail",)))).values())) == 2


def test_a_forced_colour_is_kept_and_avoided_by_all_others():
    first, second, third = horns(3)
    for plan in (only(replace(first, colour="rd"), second, third), only(second, third, replace(first, colour="rd"))):
        found = colours(plan)
        assert found.pop(first.name) == "RD"
        assert "RD" not in found.values()


def test_an_unreadable_colour_is_replaced_by_a_chosen_one():
    assert colours(only(replace(HORN, colour="ruby"))) == {"horn": "RD"}


def test_a_circuit_takes_the_base_of_the_bus_that_its_feed_hangs_on():
    found = colours(only(MAIN, GAUGES, FUEL, replace(TAIL, feed="main feed")))
    assert {name: colour[:2] for name, colour in found.items()} == {
        "main feed": "RD",
        "gauges": "GN",
        "fuel level": "GN",
        "tail lamps": "RD",
    }


def test_a_ground_strap_may_be_black():
    strap = replace(MAIN, name="ground strap", fuse_family=FuseFamily.NONE, colour="BK")
    wiring = expand(only(strap))
    assert (wiring.findings, wiring.wires[0].colour) == ((), "BK")


def test_wires_to_ground_are_black_and_no_other_wire_is():
    for wire in expand(only(MAIN, DIP, TAIL, HORN, GAUGES, FUEL)).wires:
        assert (wire.colour == "BK") == (wire.end.lands == "ground point")


def test_to_and_from_a_switch_look_alike_along_a_bundle_but_not_in_its_connector():
    horn = replace(HORN, colour="GN")
    assert len({wire.colour for wire in expand(only(horn)).wires[:2]}) == 1
    body, cavities = Connector("C1", "dash"), (Cavity("C1", "1", "horn"), Cavity("C1", "2", "horn", Holds.OUT))
    feed, switched = expand(replace(only(horn), connectors=(body,), cavities=cavities)).wires[:2]
    assert switched.colour == "GN", "the traditional colour goes on to the load"
    assert feed.colour == "RD"


BY_NET = BuildRules(colours=ColourRules(ColourBy.NET))


def test_by_net_each_side_of_a_switch_gets_a_colour_and_the_load_keeps_the_given_one():
    feed, switched, *legs = (w for w in expand(only(replace(TAIL, colour="WH")), BY_NET).wires if w.colour != "BK")
    assert (feed.colour, {wire.colour for wire in (switched, *legs)}) == ("BU", {"WH"})
    power, to_switch, to_coil, *loads = (w for w in expand(only(DIP), BY_NET).wires if w.colour != "BK")
    assert len({power.colour, to_coil.colour}) == len({to_switch.colour, to_coil.colour}) == 2
    assert len({wire.colour for wire in loads}) == 1


@given(fitted_plans())
def test_by_net_no_two_wires_of_a_run_or_connector_look_alike_unless_they_are_one_conductor(plan: Plan):
    wiring = expand(plan, BY_NET)
    told = {finding.circuit for finding in wiring.findings if finding.code in CLASHES}
    pulled = [wire for wire in wiring.wires if not wire.is_existing]
    net_of = {
        wire.name: number
        for circuit in plan.circuits
        for number, net in enumerate(nets([wire for wire in pulled if wire.circuit == circuit.name]))
        for wire in net
    }
    for one, other in combinations((wire for wire in pulled if wire.colour != "BK"), 2):
        bodies = [{end.connector for end in (wire.start, wire.end)} - {""} for wire in (one, other)]
        is_same = one.circuit == other.circuit and net_of[one.name] == net_of[other.name]
        together = set(one.path.runs) & set(other.path.runs) or bodies[0] & bodies[1]
        if one.colour == other.colour and not is_same and together:
            assert {one.circuit, other.circuit} & told


@pytest.mark.parametrize("code", CLASHES)
def test_two_given_colours_clash_with_a_finding_that_leaving_one_blank_removes(code: str):
    plan = connected() if code.endswith("connector") else only(DIP, TAIL)
    forced = replace(plan, circuits=tuple(replace(c, colour="BU") if c.name in ("dip beam", "tail lamps") else c
                                          for c in plan.circuits))  # fmt: skip
    [clash] = [finding for finding in size_plan(forced).findings if finding.code in CLASHES]
    assert (clash.code, clash.figure) == (code, "BU")
    cured = replace(forced, circuits=tuple(replace(c, colour="") if c.name == clash.circuit else c
                                           for c in forced.circuits))  # fmt: skip
    assert not [finding for finding in size_plan(cured).findings if finding.code in CLASHES]


@given(fitted_plans())
def test_no_two_circuits_look_alike_unless_a_finding_says_so(plan: Plan):
    wiring = expand(plan)
    told = {finding.circuit for finding in wiring.findings if finding.code in CLASHES}
    assert {one for pair in alike(wiring) for one in pair} >= told
    assert all(set(pair) & told for pair in alike(wiring))
    given = {circuit.name for circuit in plan.circuits if circuit.colour}
    assert told <= given, "only given colours may clash in so small a plan"


@given(woven_plans())
def test_colours_read_and_stay_when_rows_without_one_are_added_at_the_end(plan: Plan):
    plan = replace(plan, circuits=(*plan.circuits[:-1], replace(plan.circuits[-1], colour="")))
    whole = colours(plan)
    assert all(not colour or parse_colour(colour) == colour for colour in whole.values())
    part = colours(replace(plan, circuits=plan.circuits[:-1]))
    assert part == {name: whole[name] for name in part}


@pytest.mark.parametrize("key", STARTERS)
def test_to_take_out_a_circuit_recolours_few_others(key: str):
    plan = load_starter(key)
    blank = tuple(replace(circuit, colour="") for circuit in plan.circuits)
    before = colours(replace(plan, circuits=blank))
    for out in range(0, len(blank), 5):
        after = colours(replace(plan, circuits=blank[:out] + blank[out + 1 :]))
        assert sum(before[name] != colour for name, colour in after.items()) <= len(blank) // 4


def test_a_hundred_and_twenty_circuits_are_coloured_in_a_tenth_of_a_second():
    areas = [frozenset({number % 7, 7 + number % 3}) for number in range(120)]
    groups = [Group(f"g{number}", area, palette(BUSES[number % 5])) for number, area in enumerate(areas)]
    spare = tuple(colour for bus in BUSES for colour in palette(bus))
    assign(groups, spare)
    start = time.process_time()
    found = assign(groups, spare)
    assert time.process_time() - start < 0.1
    assert len(found) == 120


def test_what_first_fit_cannot_colour_is_tried_again_from_the_graph():
    """Four in a row, the ends first: first fit gives both ends one colour and has none left for the last in between."""
    row = {"a": {0}, "d": {2}, "b": {0, 1}, "c": {1, 2}}
    found = assign([Group(name, frozenset(areas), ("RD", "RD/BK")) for name, areas in row.items()], ("PK",))
    assert set(found.values()) == {"RD", "RD/BK"}
    assert all(found[one] != found[other] for one, other in ("ab", "bc", "cd"))
