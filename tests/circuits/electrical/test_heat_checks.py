"""Bundles that their real loads overheat."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings

from circuits.electrical.sizing import size_plan
from circuits.findings import Finding, Severity
from circuits.plan import Circuit, Duty, FuseFamily, Kind, Plan, Run, Vehicle
from circuits.rules import BuildRules, SizingRules
from circuits.sheets import STARTERS, load_starter
from tests.circuits.electrical.cures import fitted
from tests.circuits.looms import woven_plans

CODE = "bundle-too-hot"


def heaters(count: int, load_a: float, zone: str = "engine bay", **changed: object) -> Plan:
    """So many circuits alike in one run, wires forced thin."""
    values: dict[str, object] = {
        "section": "bay", "feed": "battery", "fed_at": "a", "load": "heater", "load_at": ("b",), "kind": Kind.HEATER,
        "load_a": load_a, "max_drop_percent": 50.0, "size": "18 AWG",
    }  # fmt: skip
    circuits = (Circuit(name=f"heater {number}", **(values | changed)) for number in range(count))  # type: ignore[arg-type]
    return Plan(Vehicle(), (), (Run("a", "b", 1.0, zone),), tuple(circuits))


def told(plan: Plan) -> Finding | None:
    """The finding on heat in bundles, if there is one."""
    found = [finding for finding in size_plan(plan).findings if finding.code == CODE]
    assert len(found) <= len(plan.runs)
    return found[0] if found else None


def test_a_bundle_too_hot_is_told_by_its_hottest_wire() -> None:
    finding = told(heaters(24, 7.0))
    assert finding is not None
    assert finding.severity is Severity.ERROR
    assert finding.circuit.startswith("heater")
    assert "in the middle of 24 wires" in finding.message
    assert float(finding.figure.removesuffix(" °C")) > 125
    assert finding.limit == "125 °C"


def test_the_same_bundle_in_the_cabin_is_cool_enough() -> None:
    assert told(heaters(24, 5.0, "cabin")) is None


def test_loads_that_are_on_for_moments_count_less() -> None:
    always, moments = (
        size_plan(heaters(12, 7.0, duty=duty)).bundles[0].middle_c for duty in (Duty.CONTINUOUS, Duty.INTERMITTENT)
    )
    assert always is not None
    assert moments is not None
    assert moments <= always


def test_the_cure_applied_removes_it() -> None:
    """One of many that stands out: a thicker wire for it is enough."""
    plan = heaters(12, 4.0)
    hot = replace(plan.circuits[0], load_a=25.0, name="blower", fuse_family=FuseFamily.MAXI_BLADE)
    plan = replace(plan, circuits=(hot, *plan.circuits[1:]))
    finding = told(plan)
    assert finding is not None
    assert finding.cure.startswith("Fit ")
    cooler = fitted(plan, finding)
    assert cooler is not None
    assert told(cooler) is None


def test_where_no_wire_helps_it_says_to_part_the_bundle() -> None:
    finding = told(heaters(60, 9.0))
    assert finding is not None
    assert finding.cure == "Move some of its circuits to another run, or part the bundle in two."


def test_a_run_too_hot_by_itself_is_told_as_that() -> None:
    """120 °C is below the class of 125 °C, not below that of 105 °C."""
    oven = heaters(24, 7.0, "near exhaust")
    assert told(oven) is not None
    codes = {finding.code for finding in size_plan(oven, BuildRules(SizingRules(insulation_class_c=105))).findings}
    assert "too-hot" in codes
    assert CODE not in codes


def test_one_wire_alone_is_left_to_its_ampacity() -> None:
    assert told(heaters(1, 40.0)) is None


@pytest.mark.parametrize("key", STARTERS)
def test_starters_keep_cool(key: str) -> None:
    sized = size_plan(load_starter(key))
    assert all(bundle.middle_c is None or bundle.middle_c < 110 for bundle in sized.bundles)
    assert all((bundle.middle_c is None) == (not bundle.wires) for bundle in sized.bundles)


@settings(deadline=None)
@given(woven_plans())
def test_a_bundle_is_never_cooler_than_its_zone(plan: Plan) -> None:
    for bundle in size_plan(plan).bundles:
        ambient_c = plan.zone_ambient_c(plan.runs[bundle.run].zone)
        if bundle.middle_c is not None and ambient_c is not None:
            assert bundle.middle_c >= ambient_c - 1e-9
