"""Panels laid out: against every seating tried one by one, and each cure applied."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuits.electrical.sizing import size_plan
from circuits.findings import Finding
from circuits.fittings import PanelPosition
from circuits.harness.panel_buses import buses_of
from circuits.harness.panel_layout import PanelLayout, kept, lay_out_panels
from circuits.harness.panel_seating import PLUGGED, Seat, Sitter, seated, takes
from circuits.plan import Circuit, Duty, FuseFamily, Kind, Plan, Run, Vehicle
from circuits.sheets.starters import STARTERS, load_starter
from circuits.sized import Fuse, SizedPlan

RUNS = (Run("panel", "load", 1.0), Run("battery", "panel", 1.0))
BUSES = ("battery", "ignition")


def sitter(name: str, bus: str, rating_a: float, *, heavy: bool = False) -> Sitter:
    return Sitter(Fuse(name, FuseFamily.BLADE, rating_a, "panel", name, "", ""), rating_a / 2, (bus,), heavy)


def worth(seats: list[Seat], sat: dict[str, str]) -> tuple[int, int, int]:
    """Fuses placed, less heavy neighbours, less fuses moved."""
    sitting = [seat for seat in seats if seat.sitter is not None]
    beside = sum(
        bool(one.sitter and other.sitter and one.sitter.is_heavy and other.sitter.is_heavy)
        for one, other in itertools.pairwise(seats)
    )
    moved = sum(sat.get(s.sitter.fuse.name, s.position.label) != s.position.label for s in sitting if s.sitter)
    return len(sitting), -beside, -moved


def best_by_trying(positions: list[PanelPosition], sitters: list[Sitter], sat: dict[str, str]) -> tuple[int, int, int]:
    """Worth of the best seating, every one tried."""
    found = []
    for who in itertools.product((None, *sitters), repeat=len(positions)):
        named = [one.fuse.name for one in who if one is not None]
        if len(set(named)) == len(named) and all(o is None or takes(p, o) for p, o in zip(positions, who, strict=True)):
            found.append(worth([Seat(p, o) for p, o in zip(positions, who, strict=True)], sat))
    return max(found)


@st.composite
def small_panels(draw: st.DrawFn) -> tuple[list[PanelPosition], list[Sitter], dict[str, str]]:
    positions = [
        PanelPosition("panel", str(n), draw(st.sampled_from(BUSES)), max_a=draw(st.sampled_from((None, 10.0, 30.0))))
        for n in range(draw(st.integers(1, 5)))
    ]
    sitters = [
        sitter(f"c{n}", draw(st.sampled_from(BUSES)), draw(st.sampled_from((5.0, 20.0))), heavy=draw(st.booleans()))
        for n in range(draw(st.integers(1, 4)))
    ]
    sat = {one.fuse.name: draw(st.sampled_from([p.label for p in positions])) for one in sitters if draw(st.booleans())}
    return positions, sitters, sat


@settings(max_examples=60)
@given(small_panels())
def test_no_seating_is_better_than_the_one_found(panel: tuple[list[PanelPosition], list[Sitter], dict[str, str]]):
    positions, sitters, sat = panel
    seats = seated(positions, sitters, sat)
    assert all(seat.sitter is None or takes(seat.position, seat.sitter) for seat in seats)
    assert worth(seats, sat) == best_by_trying(positions, sitters, sat)
    assert seated(positions, sitters, sat) == seats


def blade(name: str, amps: float, bus: str = "battery", **changed: object) -> Circuit:
    given_: dict[str, object] = {"load_a": amps, "fuse_family": FuseFamily.BLADE} | changed
    return Circuit(name, "s", bus, "panel", name, ("load",), Kind.HEATER, **given_)  # type: ignore[arg-type]


def plan_of(*circuits: Circuit, positions: tuple[PanelPosition, ...] = ()) -> Plan:
    return Plan(Vehicle(), (), RUNS, circuits, positions=positions)


def spot(label: str, bus: str = "battery", **more: object) -> PanelPosition:
    return PanelPosition("panel", label, bus, **more)  # type: ignore[arg-type]


def found(plan: Plan, code: str) -> list[Finding]:
    return [finding for finding in size_plan(plan).findings if finding.code == code]


@pytest.mark.parametrize("starter", sorted(STARTERS))
def test_panels_made_for_a_plan_hold_every_fuse_with_spares_and_no_heavy_neighbours(starter: str):
    sized = size_plan(load_starter(starter))
    layouts = lay_out_panels(sized)
    assert sorted(f.fuse.name for lay in layouts for f in lay.positions if f.fuse) == sorted(
        f.name for f in sized.fuses
    )
    for layout in layouts:
        plugged = [filled for filled in layout.positions if filled.fuse and filled.fuse.family in PLUGGED]
        assert layout.spares >= len(plugged) / 5
        assert len({filled.position.label for filled in layout.positions}) == len(layout.positions)
        for one, other in itertools.pairwise(layout.positions):
            together = one.position.bus == other.position.bus
            assert not (together and one.is_heavy and other.is_heavy)


@pytest.mark.parametrize("starter", sorted(STARTERS))
def test_a_circuit_more_or_less_moves_no_other(starter: str):
    plan = load_starter(starter)
    before = lay_out_panels(size_plan(plan))
    first = plan.circuits[0].fed_at
    more = replace(plan, circuits=(_added(first), *plan.circuits))
    after = lay_out_panels(size_plan(more), before)
    assert [layout.moved for layout in after] == [()] * len(after)
    fewer = lay_out_panels(size_plan(plan), after)
    assert [layout.moved for layout in fewer] == [()] * len(fewer)


@pytest.mark.parametrize("starter", sorted(STARTERS))
def test_a_layout_that_is_kept_stays_as_it_is_whatever_is_added(starter: str):
    plan = load_starter(starter)
    before = {fuse: layout.label_of(fuse) for layout in lay_out_panels(size_plan(plan)) for fuse in _seated(layout)}
    listed = replace(plan, positions=kept(lay_out_panels(size_plan(plan))))
    sized = size_plan(replace(listed, circuits=(_added(plan.circuits[-1].fed_at), *listed.circuits)))
    assert _panel_codes(size_plan(listed)) == set()
    assert _panel_codes(sized) <= {"panel-few-spares"}  # the one added took a spare
    after = {fuse: layout.label_of(fuse) for layout in lay_out_panels(sized) for fuse in _seated(layout)}
    assert {fuse: label for fuse, label in after.items() if fuse != "added"} == before
    assert after["added"]


def _panel_codes(sized: SizedPlan) -> set[str]:
    return {finding.code for finding in sized.findings if finding.code.startswith("panel-")}


def _seated(layout: PanelLayout) -> list[str]:
    return [filled.fuse.name for filled in layout.positions if filled.fuse is not None]


def _added(fed_at: str) -> Circuit:
    return Circuit("added", "s", "battery", fed_at, "added", (fed_at,), Kind.LED, load_a=1.0)


def test_a_circuit_stays_where_the_plan_puts_it():
    spots = tuple(spot(str(n), circuit="b" if n == 3 else "") for n in range(5))
    [layout] = lay_out_panels(size_plan(plan_of(blade("a", 2.0), blade("b", 2.0), positions=spots)))
    assert (layout.label_of("b"), layout.label_of("a"), layout.is_listed) == ("3", "0", True)


def test_a_fuse_sits_on_the_bus_of_its_unswitched_feeder_and_on_that_of_a_switched_one():
    main = Circuit("main", "s", "battery", "battery", "panel", ("panel",), Kind.FEEDER, load_a=20.0)
    key = Circuit("key feed", "s", "main", "panel", "panel", ("panel",), Kind.FEEDER, load_a=9.0, switch_at="load",
                  switch="ignition:run")  # fmt: skip
    buses = buses_of(plan_of(main, key, blade("coil", 2.0, "key feed"), blade("horn", 2.0, "main")))
    assert buses["horn"] == ("battery", "main")
    assert buses["coil"] == ("ignition", "key feed")


def test_a_full_bus_is_told_and_the_position_asked_for_cures_it():
    plan = plan_of(
        blade("a", 2.0), blade("b", 16.0), positions=(spot("1"), spot("2", max_a=10.0), spot("3", "ignition"))
    )
    plan = replace(plan, circuits=(*plan.circuits, blade("c", 16.0)))
    [told] = found(plan, "panel-no-position")
    asked = re.fullmatch(r"Add a position on the (\w+) bus of panel that takes a ([\d.]+) A blade fuse\.", told.cure)
    assert asked
    cured = replace(plan, positions=(*plan.positions, spot("4", asked[1], max_a=float(asked[2]))))
    assert not found(cured, "panel-no-position")


@pytest.mark.parametrize("wrong", [{"max_a": 3.0}, {"family": "glass"}, {"bus": "lighting"}])
def test_a_circuit_put_where_it_does_not_suit_is_told_and_leaving_it_blank_cures_it(wrong: dict[str, object]):
    kept = PanelPosition("panel", "1", **({"bus": "battery", "circuit": "a"} | wrong))  # type: ignore[arg-type]
    plan = plan_of(blade("a", 8.0), positions=(kept, spot("2"), spot("3")))
    assert found(plan, "panel-misfit")
    cured = replace(plan, positions=(replace(kept, circuit=""), *plan.positions[1:]))
    assert not found(cured, "panel-misfit")


def test_a_position_kept_for_nobody_is_told_and_leaving_it_blank_cures_it():
    plan = plan_of(blade("a", 2.0), positions=(spot("1", circuit="ghost"), spot("2"), spot("3")))
    assert found(plan, "panel-position-kept")
    cured = replace(plan, positions=(spot("1"), *plan.positions[1:]))
    assert not found(cured, "panel-position-kept")


def test_heavy_neighbours_are_told_only_where_no_order_parts_them_and_a_spare_between_cures_them():
    two = (blade("a", 18.0), blade("b", 18.0))
    plan = plan_of(*two, positions=(spot("1"), spot("2")))
    assert found(plan, "panel-heavy-neighbours")
    cured = replace(plan, positions=(spot("1"), spot("1a"), spot("2")))
    assert not found(cured, "panel-heavy-neighbours")
    short = tuple(replace(circuit, duty=Duty.INTERMITTENT) for circuit in two)
    assert not found(replace(plan, circuits=short), "panel-heavy-neighbours")
    assert not found(
        plan_of(*two, blade("c", 2.0), positions=(spot("1"), spot("2"), spot("3"))), "panel-heavy-neighbours"
    )


def test_too_few_spares_are_told_and_as_many_as_asked_for_cure_it():
    plan = plan_of(*(blade(f"c{n}", 2.0) for n in range(6)), positions=tuple(spot(str(n)) for n in range(6)))
    [told] = found(plan, "panel-few-spares")
    asked = re.match(r"Add (\d+) position", told.cure)
    assert asked
    assert int(asked[1]) == 2  # a fifth of six, rounded up
    cured = replace(plan, positions=(*plan.positions, spot("7"), spot("8")))
    assert not found(cured, "panel-few-spares")
