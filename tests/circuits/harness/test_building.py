"""What connectors and parts to mount ask of the order of work, and plans that cannot be built."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.electrical.sizing import size_plan
from circuits.fittings import Cavity, Connector, Holds, Mounting
from circuits.harness.mounting import mounting_steps
from circuits.harness.order import OrderOfWork, PackageKey, WorkStage, order_of_work
from circuits.harness.pulling import Fitted, threadings
from circuits.patterns import expand
from circuits.plan import Plan, Return
from tests.circuits.cast import GAUGES, HORN, RUNS, TAIL, only
from tests.circuits.connected import with_connector
from tests.circuits.looms import woven_plans

SIGNAL = replace(HORN, switch_at="", switch="", return_by=Return.WIRED)
"""From the panel through the bulkhead, an opening of 32 mm, to the nose and back."""

BODY = Connector("C1", "nose", "horn 2", ways=2)
PLAN = replace(
    only(SIGNAL, GAUGES, TAIL),
    connectors=(BODY, Connector("C2", "panel", "panel 8")),
    cavities=(
        Cavity("C1", "1", "horn"), Cavity("C1", "2", "horn", Holds.RETURN), Cavity("C2", "1", "horn", Holds.OUT),
    ),
)  # fmt: skip
CODES = ("cannot-be-pulled", "mounting-")


def body(**changed: Any) -> Plan:
    return with_connector(PLAN, "C1", **changed)


def mounted(*parts: Mounting, plan: Plan = PLAN) -> Plan:
    return replace(plan, mountings=parts)


def told(plan: Plan) -> list[tuple[str, str, str]]:
    found = size_plan(plan).findings
    return [(one.code, one.figure, one.limit) for one in found if one.code.startswith(CODES)]


def order(plan: Plan) -> OrderOfWork:
    return order_of_work(expand(plan))


def notes(plan: Plan, stage: WorkStage, section: str) -> list[str]:
    key = PackageKey(stage, section)
    return [note for package in order(plan).packages if package.key == key for note in package.notes]


def whys(plan: Plan) -> dict[tuple[str, str], str]:
    return {(str(rule.first), str(rule.then)): rule.why for p in order(plan).packages for rule in p.after}


@pytest.mark.parametrize(
    ("body_mm", "fitted", "said"),
    [
        (31.0, Fitted.BENCH, "pull horn with C1 (31 mm) fitted at the bench, it passes."),
        (32.0, Fitted.BENCH, "pull horn with C1 (32 mm) fitted at the bench, it passes."),
        (33.0, Fitted.AFTER, "pull horn bare, then fit C1 (33 mm), which does not pass, at nose."),
        (None, Fitted.AFTER, "pull horn bare, then fit C1, whose size is not known, at nose."),
    ],
)
def test_a_body_goes_on_at_the_bench_if_it_passes_and_else_after_pulling(body_mm: float, fitted: Fitted, said: str):
    leads = threadings(expand(body(body_mm=body_mm)))
    assert {(lead.end.connector, lead.fitted) for lead in leads} == {("C1", fitted)}
    assert notes(body(body_mm=body_mm), WorkStage.PULL, "front") == [f"Through bulkhead to panel (32 mm): {said}"]


def test_a_section_waits_for_leads_of_another_only_where_a_body_goes_on_after_them():
    shared = replace(SIGNAL, name="marker", section="sides", load="horn")
    plan = replace(
        PLAN,
        circuits=(*PLAN.circuits, shared),
        cavities=(*PLAN.cavities, Cavity("C1", "3", "marker"), Cavity("C1", "4", "marker", Holds.RETURN)),
    )
    pair = ("pull: sides", "terminate: front")
    assert "before its connector body goes on at nose" in whys(with_connector(plan, "C1", body_mm=40.0, ways=4))[pair]
    found = whys(with_connector(plan, "C1", body_mm=20.0, ways=4))
    assert "nose" not in found.get(pair, "")


def test_a_moulded_body_that_does_not_pass_is_pulled_from_where_it_is():
    plan = body(body_mm=40.0, notes="Moulded plug")
    assert {(lead.end.place, lead.is_turned) for lead in threadings(expand(plan))} == {("panel", True)}
    assert told(plan) == []
    note = notes(plan, WorkStage.PULL, "front")[0]
    assert "pull horn from nose (C1 is on already) towards panel bare, then fit C2, whose size is not known" in note


BOTH = with_connector(body(body_mm=40.0, notes="moulded"), "C2", body_mm=36.0, notes="moulded")


def test_moulded_at_both_ends_and_too_large_cannot_be_pulled_until_the_opening_is_large_enough():
    assert told(BOTH) == [("cannot-be-pulled", "36 mm", "32 mm")]
    opened = replace(BOTH, runs=tuple(replace(run, opening_mm=36.0) if run.opening_mm else run for run in RUNS))
    assert told(opened) == []
    assert told(with_connector(BOTH, "C2", notes="")) == []
    pair = replace(
        BOTH,
        connectors=(*BOTH.connectors, Connector("C9", "bulkhead", in_loom=True)),
        cavities=(*BOTH.cavities, Cavity("C9", "1", "horn")),
    )
    assert told(pair) == [], "a pair in the loom parts the lead at the bulkhead"


def test_leads_between_the_same_two_bodies_are_told_once():
    twice = replace(
        BOTH,
        circuits=(*BOTH.circuits, replace(SIGNAL, name="second horn")),
        cavities=(*BOTH.cavities, Cavity("C1", "3", "second horn"), Cavity("C2", "2", "second horn", Holds.OUT)),
    )
    [one] = [one for one in size_plan(twice).findings if one.code == "cannot-be-pulled"]
    assert one.message.startswith("horn/1, second horn/1 cannot be pulled through bulkhead to panel: C1 and C2 are on")


def test_a_lead_between_two_parts_that_are_wired_at_the_bench_cannot_be_pulled_until_one_is_wired_after():
    horn, panel = Mounting("horn bracket", "nose", wired_first=True), Mounting("fuse panel", "panel", wired_first=True)
    plan = mounted(horn, panel, plan=replace(PLAN, connectors=(), cavities=()))
    assert {code for code, _, _ in told(plan)} == {"cannot-be-pulled"}
    assert told(mounted(horn, replace(panel, wired_first=False), plan=plan)) == []


def test_parts_are_mounted_after_what_they_hide_whatever_their_order_in_the_plan():
    top = Mounting("dash top", "dash", ("heater box", "C2"))
    heater = Mounting("heater box", "panel", ("tail",), wired_first=True)
    plan = mounted(top, heater)
    steps = mounting_steps(expand(plan))
    assert [step.mounting.part for step in steps] == ["heater box", "dash top"]
    assert (steps[0].own, steps[0].hidden) == (("horn", "gauges", "tail lamps"), ())
    assert (steps[1].hidden, steps[1].after) == (("horn",), ("heater box",))
    said = [
        note for stage in WorkStage for section in ("front", "dash", "rear") for note in notes(plan, stage, section)
    ]
    assert "Wire heater box at the bench, before it is mounted: gauges." in said
    assert (
        "Mount dash top at dash, number 2 of 2. Not before heater box mounted and horn terminated and proved: "
        "it hides heater box, C2."
    ) in said


def test_what_a_part_hides_is_terminated_and_what_is_behind_it_mounted_first():
    plan = mounted(Mounting("dash top", "dash", ("horn bracket", "left tail")), Mounting("horn bracket", "nose"))
    found = whys(plan)
    assert found["terminate: rear", "refit: dash"] == "dash top hides what tail lamps ends on"
    assert found["refit: front", "refit: dash"] == "dash top hides horn bracket"


WRONG = {
    "mounting-circle": (
        mounted(Mounting("a", hides=("b",)), Mounting("b", hides=("c",)), Mounting("c", hides=("a", "nose"))),
        mounted(Mounting("a"), Mounting("b", hides=("c",)), Mounting("c", hides=("a", "nose"))),
        "b",
    ),
    "mounting-hides-unknown": (
        mounted(Mounting("a", hides=("attic",))),
        mounted(Mounting("a", hides=("nose",))),
        "attic",
    ),
    "mounting-place-unknown": (mounted(Mounting("a", "attic")), mounted(Mounting("a", "nose")), "attic"),
}


@pytest.mark.parametrize("code", WRONG)
def test_what_cannot_be_mounted_is_told_and_the_cure_removes_it(code: str):
    wrong, cured, figure = WRONG[code]
    assert told(wrong) == [(code, figure, "")]
    assert told(cured) == []


def test_the_cure_of_a_circle_names_what_to_take_out():
    [one] = [one for one in size_plan(WRONG["mounting-circle"][0]).findings if one.code == "mounting-circle"]
    assert one.message == "a hides b, which hides c, which hides a: none of them can be mounted last"
    assert one.cure == "Take b out of what a hides, if it can be reached after all."


@st.composite
def buildings(draw: st.DrawFn) -> Plan:
    """A woven plan with openings, bodies and parts that hide places and each other."""
    plan = draw(woven_plans())
    sizes = st.one_of(st.none(), st.floats(5, 60))
    runs = tuple(replace(run, opening_mm=draw(sizes)) for run in plan.runs)
    names = [circuit.name for circuit in plan.circuits]
    notes = st.sampled_from(("", "moulded"))
    bodies = tuple(
        Connector(f"C{number}", draw(st.sampled_from(plan.places)), body_mm=draw(sizes), notes=draw(notes))
        for number in range(3)
    )
    cavities = tuple(
        Cavity(body.name, str(label), draw(st.sampled_from(names)), draw(st.sampled_from(Holds)))
        for body in bodies
        for label in range(3)
    )
    things = [*plan.places, "part 0", "part 1", "part 2", "C0"]
    parts = tuple(
        Mounting(
            f"part {number}",
            draw(st.sampled_from(("", *plan.places))),
            tuple(
                draw(st.lists(st.sampled_from([t for t in things if t != f"part {number}"]), unique=True, max_size=3))
            ),
            draw(st.booleans()),
        )
        for number in range(3)
    )
    return replace(plan, runs=runs, connectors=bodies, cavities=cavities, mountings=parts)


@given(buildings())
def test_every_package_comes_after_what_it_needs_and_no_part_before_what_it_hides(plan: Plan):
    found = order(plan)
    at = {package.key: number for number, package in enumerate(found.packages)}
    assert all(at[rule.first] < at[package.key] for package in found.packages for rule in package.after)
    steps = mounting_steps(expand(plan))
    assert {step.mounting.part for step in steps} == {mounting.part for mounting in plan.mountings}
    when = {step.mounting.part: number for number, step in enumerate(steps)}
    assert all(when[first] < when[step.mounting.part] for step in steps for first in step.after)


@given(buildings())
def test_a_body_that_goes_through_at_the_bench_passes_and_what_is_on_already_never_waits(plan: Plan):
    bodies = {connector.name: connector for connector in plan.connectors}
    for lead in threadings(expand(plan)):
        body = bodies.get(lead.end.connector)
        if lead.fitted is Fitted.BENCH:
            assert body is not None
            assert body.body_mm is not None
            assert body.body_mm <= lead.opening_mm
        if lead.fitted is Fitted.AFTER:
            assert "moulded" not in (body.notes if body else "")


def test_a_plan_without_bodies_and_parts_is_built_by_the_plain_rules():
    bare = replace(PLAN, connectors=(), cavities=())
    assert notes(bare, WorkStage.PULL, "front") == [
        "Through bulkhead to panel (32 mm): pull horn bare, then fit the connector bodies at nose.",
        "Through bulkhead to panel (32 mm): pull horn bare, then fit the connector bodies at panel.",
    ]
    assert told(bare) == []
