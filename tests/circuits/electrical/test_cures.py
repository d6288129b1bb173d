"""Each finding on a wire, a fuse or a drop comes with a cure, and the cure removes it: applied one by one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from circuits.electrical.sizing import size_plan
from circuits.findings import Finding
from circuits.plan import Circuit, Duty, FuseFamily, Kind, Plan, Run, Vehicle, Zone
from circuits.rules import BuildRules, SizingRules
from tests.circuits.electrical.cures import cured


def lamp(**changed: object) -> Circuit:
    values: dict[str, object] = {
        "name": "lamp",
        "section": "front",
        "feed": "ignition",
        "fed_at": "here",
        "load": "lamp",
        "load_at": ("there",),
        "kind": Kind.LAMP,
        "load_a": 9.0,
    }
    return Circuit(**(values | changed))  # type: ignore[arg-type]


def plan_of(*circuits: Circuit, length_m: float = 3.0, zone: str = "cabin") -> Plan:
    return Plan(Vehicle(), (Zone("oven", 130.0),), (Run("here", "there", length_m, zone),), circuits)


def found(plan: Plan, code: str, rules: BuildRules | None = None) -> list[Finding]:
    return [finding for finding in size_plan(plan, rules).findings if finding.code == code]


NAMED = {
    "no-fuse": plan_of(lamp(load_a=35.0)),
    "forced-fuse-low": plan_of(lamp(fuse_a=10.0)),
    "forced-fuse-below-load": plan_of(lamp(fuse_a=7.5)),
    "forced-fuse-over-wire": plan_of(lamp(fuse_a=40.0, size="18 AWG")),
    "forced-size-ampacity": plan_of(lamp(load_a=29.0, size="18 AWG")),
    "forced-size-fuse": plan_of(lamp(load_a=20.0, size="18 AWG")),
    "forced-size-mechanical": plan_of(lamp(load_a=1.0, size="22 AWG")),
    "forced-size-drop": plan_of(lamp(size="18 AWG"), length_m=9.0),
}
"""Plans whose cure names a size to fit or a fuse to use."""


@pytest.mark.parametrize("code", NAMED)
def test_the_size_or_fuse_that_a_cure_names_removes_the_finding(code: str):
    plan = NAMED[code]
    [told] = found(plan, code)
    ways = cured(plan, told)
    assert ways, told.cure
    for way in ways:
        assert not found(way, code), told.cure


def only(plan: Plan, **changed: object) -> Plan:
    return replace(plan, circuits=(replace(plan.circuits[0], **changed),))  # type: ignore[arg-type]


def split(plan: Plan, into: int = 8) -> Plan:
    """The first circuit split into several."""
    one, *others = plan.circuits
    assert one.load_a
    parts = tuple(replace(one, name=f"{one.name} {n}", load_a=one.load_a / into) for n in range(into))
    return replace(plan, circuits=(*parts, *others))


def moved(plan: Plan, **changed: object) -> Plan:
    return replace(plan, runs=tuple(replace(run, **changed) for run in plan.runs))  # type: ignore[arg-type]


FEEDER = lamp(
    name="main", fed_at="post", load_at=("here",), kind=Kind.FEEDER, load_a=10.0, max_drop_percent=8.0, feed="battery",
    fuse_family=FuseFamily.MAXI_BLADE,
)  # fmt: skip
FAR = Plan(Vehicle(), (), (Run("post", "here", 30.0), Run("here", "there", 3.0)), (FEEDER, lamp(feed="main")))
BARE, LONG = plan_of(lamp(fuse_family=FuseFamily.NONE)), plan_of(lamp(), length_m=400.0)
HOT, LARGE = (
    plan_of(lamp(), zone="oven"),
    plan_of(lamp(load_a=200.0, fuse_family=FuseFamily.BOLT_IN), zone="near exhaust"),
)

SPOKEN: list[tuple[str, Plan, str, Callable[[Plan], Plan]]] = [
    ("unprotected-wire", BARE, "Give the circuit a fuse", lambda plan: only(plan, fuse_family=None)),
    ("forced-fuse-not-standard", plan_of(lamp(fuse_a=17.0)), "Use 15 A or 20 A", lambda plan: only(plan, fuse_a=15.0)),
    ("forced-fuse-not-standard", plan_of(lamp(fuse_a=17.0)), "or 20 A", lambda plan: only(plan, fuse_a=20.0)),
    ("forced-size-unknown", plan_of(lamp(size="15 AWG")), "leave it to be chosen", lambda plan: only(plan, size="")),
    ("forced-size-unknown", plan_of(lamp(size="15 AWG")), "from 22 to 4/0", lambda plan: only(plan, size="14 AWG")),
    ("drop-over-limit", LONG, "Shorten the way", lambda plan: moved(plan, length_m=20.0)),
    ("drop-over-limit", LONG, "split the load", lambda plan: moved(split(plan), length_m=100.0)),
    ("too-hot", HOT, "Move the run out of oven", lambda plan: moved(plan, zone="cabin")),
    ("no-size", LARGE, "Split the circuit", split),
    ("no-size", LARGE, "move the run to a cooler place", lambda plan: moved(plan, zone="cabin")),
    ("drop-from-battery", FAR, "Fit a thicker feeder", lambda plan: replace(
        plan, circuits=(replace(FEEDER, max_drop_percent=2.0), *plan.circuits[1:]))),
    ("drop-from-battery", FAR, "feed it straight from the battery", lambda plan: replace(
        plan, circuits=(FEEDER, lamp(feed="battery", fed_at="post")))),
]  # fmt: skip


@pytest.mark.parametrize(("code", "plan", "said", "applied"), SPOKEN, ids=[f"{s[0]}: {s[2]}" for s in SPOKEN])
def test_what_a_cure_says_removes_the_finding(code: str, plan: Plan, said: str, applied: Callable[[Plan], Plan]):
    [told] = found(plan, code)
    assert said in told.cure
    assert not found(applied(plan), code)


def test_a_wire_of_the_class_named_bears_the_heat():
    [told] = found(HOT, "too-hot")
    assert "use a 200 °C class wire" in told.cure
    assert not found(HOT, "too-hot", BuildRules(SizingRules(insulation_class_c=200)))


def test_a_cranking_cable_is_noted_and_no_longer_with_a_fuse():
    cable = lamp(name="starter", feed="battery", kind=Kind.MOTOR, load_a=150.0, duty=Duty.INTERMITTENT,
                 fuse_family=FuseFamily.NONE)  # fmt: skip
    [told] = found(plan_of(cable), "cranking-unfused")
    assert "sleeve it" in told.cure
    assert not found(plan_of(replace(cable, fuse_family=FuseFamily.BOLT_IN)), "cranking-unfused")
