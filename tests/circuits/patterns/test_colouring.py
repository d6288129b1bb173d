"""Colours that are chosen: apart within a section, and steady."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given

from circuits.colours import parse_colour
from circuits.patterns import expand
from circuits.patterns.colouring import BASES, palette
from circuits.plan import BUSES, Circuit, FuseFamily, Plan
from tests.circuits.cast import DIP, FUEL, GAUGES, HORN, MAIN, TAIL, only
from tests.circuits.looms import woven_plans


def colours(plan: Plan) -> dict[str, str]:
    """Colour of the first wire of each circuit."""
    found: dict[str, str] = {}
    for wire in expand(plan).wires:
        found.setdefault(wire.circuit, wire.colour)
    return found


def horns(count: int, **changed: str) -> list[Circuit]:
    return [replace(HORN, name=f"horn {number}", **changed) for number in range(count)]  # type: ignore[arg-type]


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
def test_a_section_repeats_no_colour_until_its_palette_runs_out(bus: str):
    full = len(palette(bus))
    chosen = colours(only(*horns(full, feed=bus)))
    assert Counter(chosen.values()) == Counter(palette(bus))
    wiring = expand(only(*horns(full + 1, feed=bus)))
    [repeated] = [finding for finding in wiring.findings if finding.code == "colour-repeated"]
    assert repeated.circuit == f"horn {full}"
    assert repeated.message == f"horn {full} is {palette(bus)[0]}, as is horn 0 in front"


def test_the_first_circuit_of_a_bus_is_plain_and_the_next_get_tracers():
    assert list(colours(only(*horns(3))).values()) == ["RD", "RD/BK", "RD/WH"]


def test_sections_are_coloured_apart_from_each_other():
    assert colours(only(HORN, replace(HORN, name="rear horn", section="rear"))) == {"horn": "RD", "rear horn": "RD"}


def test_a_forced_colour_is_kept_and_avoided_by_later_rows():
    first, second, third = horns(3)
    plan = only(replace(first, colour="rd/bk"), second, third)
    assert list(colours(plan).values()) == ["RD/BK", "RD", "RD/WH"]


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


@given(woven_plans())
def test_colours_read_and_stay_when_rows_are_added_at_the_end(plan: Plan):
    whole = colours(plan)
    assert all(not colour or parse_colour(colour) == colour for colour in whole.values())
    part = colours(replace(plan, circuits=plan.circuits[:-1]))
    assert part == {name: whole[name] for name in part}
