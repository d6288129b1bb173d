"""The order of work: what must come before what, and that it can always be done."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.harness.order import WHOLE_VEHICLE, Before, OrderOfWork, PackageKey, WorkStage, order_of_work
from circuits.patterns import expand
from circuits.plan import Circuit, Covering, Disposition, Kind, Plan, Run, Vehicle
from circuits.sheets.starters import STARTERS, load_starter

RUNS = (
    Run("panel", "bulkhead", 0.8, "cabin", Covering.TAPE),
    Run("bulkhead", "headlamp", 1.6, "engine bay", Covering.SPLIT_LOOM, opening_mm=30.0),
    Run("panel", "column", 0.6, "cabin"),
    Run("panel", "tail", 3.0, "cabin", Covering.TAPE),
)
BEAM = Circuit(
    "low beam", "front", "lighting", "panel", "low beam", ("headlamp",), Kind.LAMP, load_w=55.0,
    switch_at="column", switch="headlamp:low",
)  # fmt: skip
TAIL = Circuit(
    "tail lamp", "rear", "lighting", "panel", "tail lamp", ("tail",), Kind.LAMP, load_w=5.0,
    switch_at="column", switch="headlamp:side",
)  # fmt: skip


def ordered(*circuits: Circuit, own: tuple[Before, ...] = ()) -> OrderOfWork:
    return order_of_work(expand(Plan(Vehicle(), (), RUNS, circuits)), own)


def place(order: OrderOfWork, stage: WorkStage, section: str) -> int:
    return [package.key for package in order.packages].index(PackageKey(stage, section))


def rules(order: OrderOfWork) -> dict[tuple[str, str], str]:
    return {(str(rule.first), str(rule.then)): rule.why for package in order.packages for rule in package.after}


def test_stages_of_a_section_follow_one_another():
    order = ordered(BEAM)
    mine = [package.key.stage for package in order.packages if package.key.section == "front"]
    assert mine == ["strip out", "pull", "terminate", "prove", "cover", "refit"]


def test_the_battery_comes_off_before_anything_else():
    first = ordered(BEAM, TAIL).packages[0]
    assert first.key == PackageKey(WorkStage.STRIP_OUT, WHOLE_VEHICLE)
    assert "Isolate the battery" in first.notes[0]


def test_a_lead_is_pulled_through_its_opening_before_its_connector_body_goes_on():
    order = ordered(BEAM)
    [pull] = [p for p in order.packages if p.key.stage is WorkStage.PULL]
    assert any(
        note.startswith("Through bulkhead to headlamp (30 mm): pull low beam bare") and "at headlamp" in note
        for note in pull.notes
    )


def test_no_opening_no_note():
    shut = tuple(replace(run, opening_mm=None) for run in RUNS)
    order = order_of_work(expand(Plan(Vehicle(), (), shut, (BEAM,))))
    assert not [note for p in order.packages if p.key.stage is WorkStage.PULL for note in p.notes]


def test_leads_of_another_section_through_an_opening_are_pulled_before_the_shared_device_gets_its_bodies():
    """One switch beyond the bulkhead carries circuits of two sections: its body waits for the leads of both."""
    nose = replace(BEAM, switch_at="headlamp", switch="level:on")
    marker = replace(nose, name="marker", section="sides", load="marker", load_at=("tail",))
    why = rules(ordered(nose, marker))["pull: sides", "terminate: front"]
    assert "passes an opening before its connector body goes on at headlamp" in why
    inside = (replace(one, switch_at="panel") for one in (nose, marker))
    assert ("pull: sides", "terminate: front") not in rules(ordered(*inside))


def test_a_device_is_wired_by_every_section_before_it_is_mounted():
    """The headlamp switch carries circuits of both sections; it is mounted with the front."""
    found = rules(ordered(BEAM, TAIL))
    assert "wired before it is mounted" in found["terminate: rear", "refit: front"]


def test_a_shared_run_is_covered_after_all_its_wires_are_pulled():
    other = replace(BEAM, name="horn", section="nose", switch_at="", switch="")
    found = rules(ordered(BEAM, other))
    assert "before it is covered" in found["pull: nose", "cover: front"]


def test_nothing_is_closed_up_before_the_vehicle_is_proved():
    order = ordered(BEAM, TAIL)
    power = place(order, WorkStage.PROVE, WHOLE_VEHICLE)
    assert all(place(order, WorkStage.REFIT, section) > power for section in ("front", "rear"))


def test_a_circuit_is_proved_after_its_feeder_is_terminated():
    feeder = Circuit("main feed", "supply", "battery", "panel", "main", ("bulkhead",), Kind.FEEDER, load_a=30.0)
    fed = replace(BEAM, feed="main feed", fed_at="bulkhead")
    assert "is fed by main feed" in rules(ordered(feeder, fed))["terminate: supply", "prove: front"]


def test_a_kept_circuit_is_only_proved_and_a_removed_one_only_stripped_out():
    keep, gone = replace(BEAM, disposition=Disposition.KEEP), replace(TAIL, disposition=Disposition.REMOVE)
    keys = {str(package.key) for package in ordered(keep, gone).packages if package.circuits}
    assert keys == {"prove: front", "strip out: rear"}


def test_own_order_is_kept():
    own = Before(PackageKey(WorkStage.REFIT, "rear"), PackageKey(WorkStage.COVER, "front"), "the seat hides it")
    order = ordered(BEAM, TAIL, own=(own,))
    assert not order.findings
    assert place(order, WorkStage.REFIT, "rear") < place(order, WorkStage.COVER, "front")


def test_own_order_that_contradicts_is_a_finding_and_the_rest_still_has_an_order():
    own = Before(PackageKey(WorkStage.REFIT, "front"), PackageKey(WorkStage.PULL, "front"), "whim")
    order = ordered(BEAM, TAIL, own=(own,))
    assert [finding.code for finding in order.findings] == ["order-contradiction"]
    assert "pull: front, then terminate: front" in order.findings[0].message
    assert len(order.packages) == len(ordered(BEAM, TAIL).packages)


def test_own_orders_that_contradict_each_other_keep_the_first():
    a, b = PackageKey(WorkStage.COVER, "front"), PackageKey(WorkStage.COVER, "rear")
    order = ordered(BEAM, TAIL, own=(Before(a, b, "x"), Before(b, a, "y")))
    assert [finding.code for finding in order.findings] == ["order-contradiction"]
    assert place(order, *(WorkStage.COVER, "front")) < place(order, *(WorkStage.COVER, "rear"))


def test_own_order_of_a_package_that_is_not_there_is_a_finding():
    own = Before(PackageKey(WorkStage.PULL, "roof"), PackageKey(WorkStage.PULL, "front"), "x")
    assert [finding.code for finding in ordered(BEAM, own=(own,)).findings] == ["order-unknown"]


def test_a_plan_without_circuits_has_no_work():
    assert ordered().packages == ()


@pytest.mark.parametrize("starter", sorted(STARTERS))
def test_every_package_comes_after_what_it_needs(starter: str):
    order = order_of_work(expand(load_starter(starter)))
    at = {package.key: n for n, package in enumerate(order.packages)}
    assert all(at[rule.first] < at[package.key] for package in order.packages for rule in package.after)
    assert not order.findings


@given(st.permutations(range(6)))
def test_the_order_of_the_own_rules_never_hides_a_package(seed: list[int]):
    keys = [package.key for package in ordered(BEAM, TAIL).packages]
    own = tuple(Before(keys[seed[i]], keys[seed[i + 1]], "x") for i in range(5))
    order = ordered(BEAM, TAIL, own=own)
    assert {package.key for package in order.packages} == set(keys)
    at = {package.key: n for n, package in enumerate(order.packages)}
    assert all(at[rule.first] < at[package.key] for package in order.packages for rule in package.after)
