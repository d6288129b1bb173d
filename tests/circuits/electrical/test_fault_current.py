"""Shorts at the far end: how much current, does the fuse open, and in which order."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuits.electrical.conductors import conductor, resistance_ohm
from circuits.electrical.fault_current import OPENS_WITHIN_S, battery_ohm, needed_a, opens_s, source_v
from circuits.electrical.gates import latest
from circuits.electrical.sizing import size_plan
from circuits.findings import Finding, Severity
from circuits.plan import Circuit, Duty, FuseFamily, Kind, Plan, Return, Run, Vehicle
from circuits.rules import BuildRules, SizingRules
from circuits.sheets import STARTERS, load_starter
from tests.circuits.electrical.cures import cured
from tests.circuits.electrical.published import rows
from tests.circuits.looms import woven_plans

PLAN_RUNS = (Run("battery", "panel", 1.0), Run("panel", "far", 12.0), Run("panel", "near", 0.5))
SHORT_CODES = ("short-never-opens", "short-opens-late", "fuse-not-selective")


def plan(*circuits: Circuit, runs: tuple[Run, ...] = PLAN_RUNS, **vehicle: object) -> Plan:
    """Circuits on a loom of a battery, a panel, a far place and a near one."""
    return Plan(Vehicle(**vehicle), (), runs, circuits)  # type: ignore[arg-type]


def load(name: str = "heater", load_a: float = 5.0, at: str = "far", **changed: object) -> Circuit:
    """A circuit from the panel."""
    values: dict[str, object] = {
        "name": name, "section": "rear", "feed": "battery", "fed_at": "panel", "load": name, "load_at": (at,),
        "kind": Kind.HEATER, "load_a": load_a, "max_drop_percent": 50.0,
    }  # fmt: skip
    return Circuit(**(values | changed))  # type: ignore[arg-type]


def main(load_a: float = 30.0, **changed: object) -> Circuit:
    """A feeder from the battery to the panel."""
    values: dict[str, object] = {
        "name": "main", "section": "front", "feed": "battery", "fed_at": "battery", "load": "panel",
        "load_at": ("panel",), "kind": Kind.FEEDER, "load_a": load_a, "fuse_family": FuseFamily.MAXI_BLADE,
    }  # fmt: skip
    return Circuit(**(values | changed))  # type: ignore[arg-type]


def found(of: Plan, rules: BuildRules | None = None) -> dict[str, Finding]:
    """Findings on shorts, by code."""
    return {finding.code: finding for finding in size_plan(of, rules).findings if finding.code in SHORT_CODES}


@pytest.mark.parametrize("row", rows("battery_resistance_from_cca"), ids=lambda row: row["cca_A"])
def test_battery_resistance_is_that_of_the_cranking_test(row: dict[str, str]) -> None:
    """(12.6 - 7.2) V over CCA, computed; an upper bound at -18 °C."""
    vehicle = Vehicle(battery_cca_a=float(row["cca_A"]))
    assert battery_ohm(vehicle) * 1000 == pytest.approx(float(row["apparent_resistance_mohm"]), abs=0.001)
    assert source_v(vehicle) == float(row["open_circuit_V"])
    assert battery_ohm(replace(vehicle, system_v=24.0)) == pytest.approx(2 * battery_ohm(vehicle))


def test_a_short_by_hand() -> None:
    """A 25 A fuse forced on 12 m of 18 AWG. Cut length 12.8 m at 125 °C: 12.8 × 22.133 × 1.41265 = 400.2 mohm; pigtail
    0.41 m (0.2 m path, 5 % slack, two ends of 0.1 m): 12.8 mohm; battery of 600 A 9, body 5, fuse 2.52, four joints
    of 0.5 mohm. 12.6 V over 431.5 mohm is 29.2 A: less than 1.35 × 25 = 33.75 A.
    """
    long = plan(load(size="18 AWG", fuse_a=25.0), battery_cca_a=600.0)
    finding = found(long)["short-never-opens"]
    ohm = resistance_ohm(conductor("18 AWG"), 12.8 + 0.41, 125.0) + 0.009 + 0.005 + 0.00252 + 4 * 0.0005
    assert finding.severity is Severity.ERROR
    assert finding.figure == "29.2 A"
    assert float(finding.figure.split()[0]) == pytest.approx(12.6 / ohm, abs=0.05)
    assert finding.limit == "33.8 A"
    assert finding.message == "heater: a short at far draws only 29.2 A: its 25 A blade fuse need not open"


def test_short_never_opens_is_cured_by_what_it_says() -> None:
    long = plan(load(size="18 AWG", fuse_a=25.0), battery_cca_a=600.0)
    finding = found(long)["short-never-opens"]
    assert finding.cure == "Use a 7.5 A blade fuse or fit 14 AWG."
    ways = cured(long, finding)
    assert len(ways) == 2
    for way in ways:
        assert found(way) == {}


def test_short_opens_late_is_cured_by_what_it_says() -> None:
    """40 A drawn, 27.5 A opens a 20 A fuse, but 40 A is what opens it within 5 s."""
    long = plan(load(size="16 AWG", fuse_a=25.0, at="far"), battery_cca_a=600.0)
    finding = found(long)["short-opens-late"]
    assert finding.severity is Severity.WARNING
    assert "may take" in finding.message
    ways = cured(long, finding)
    assert len(ways) == 2
    for way in ways:
        assert found(way) == {}


def test_a_short_that_nothing_opens_says_so() -> None:
    """A load that needs its 20 A fuse at the end of 200 m."""
    runs = (Run("panel", "far", 200.0),)
    finding = found(plan(load(load_a=15.0, size="16 AWG"), runs=runs, battery_cca_a=600.0))["short-never-opens"]
    assert finding.cure.startswith("Fit ")
    stuck = BuildRules(SizingRules(sizes=("18 AWG",)))
    farther = plan(load(load_a=15.0, size="16 AWG"), runs=(Run("panel", "far", 4000.0),), battery_cca_a=600.0)
    assert found(farther, stuck)["short-never-opens"].cure == "Split the circuit, or feed it from nearer."


def test_a_short_at_its_limit_is_opened() -> None:
    assert needed_a(FuseFamily.BLADE, 20.0) == 40.0
    assert opens_s(FuseFamily.BLADE, 20.0, 40.0) == OPENS_WITHIN_S
    assert opens_s(FuseFamily.BLADE, 20.0, 26.9) == math.inf


def test_feeders_and_wired_returns_lessen_the_current() -> None:
    """The same circuit straight, behind a feeder, and wired back: each lets less through, so that the fuse is later."""
    straight = load(size="18 AWG", fuse_a=25.0)
    behind = replace(straight, feed="main")
    back = replace(behind, return_by=Return.WIRED)
    currents = [
        float(found(plan(*circuits, battery_cca_a=600.0))["short-never-opens"].figure.split()[0])
        for circuits in ((straight,), (behind, main(size="10 AWG")), (back, main(size="10 AWG")))
    ]
    assert currents == sorted(currents, reverse=True)
    assert currents[2] < 0.6 * currents[0]


def test_cranking_cables_and_unfused_wires_have_no_fuse_to_open() -> None:
    starter = load("starter", 300.0, kind=Kind.MOTOR, duty=Duty.INTERMITTENT, fuse_family=FuseFamily.NONE)
    assert found(plan(starter)) == {}


def test_fuse_not_selective_is_cured_by_what_it_says() -> None:
    """A 40 A blade behind a 40 A large one."""
    both = plan(main(30.0), load(load_a=29.0, feed="main", at="near"), battery_cca_a=600.0)
    finding = found(both)["fuse-not-selective"]
    assert finding.severity is Severity.WARNING
    assert finding.circuit == "heater"
    assert "the 40 A maxi blade fuse of main may open before its own 40 A blade fuse" in finding.message
    (way,) = cured(both, finding)
    assert found(way) == {}


def test_a_small_blade_behind_a_large_one_is_selective() -> None:
    assert found(plan(main(40.0), load(load_a=5.0, feed="main", at="near"), battery_cca_a=600.0)) == {}


def test_a_fuse_two_feeders_up_counts_where_the_nearer_has_none() -> None:
    bare = main(30.0, name="sub", feed="main", fed_at="panel", load_at=("near",), fuse_family=FuseFamily.NONE)
    chain = plan(main(30.0), bare, load(load_a=29.0, feed="sub", fed_at="near", at="far"), battery_cca_a=600.0)
    assert "fuse of main may open" in found(chain)["fuse-not-selective"].message


@pytest.mark.parametrize("key", STARTERS)
def test_starters_open_every_short_in_time_and_in_order(key: str) -> None:
    assert found(load_starter(key)) == {}


@settings(deadline=None)
@given(woven_plans(), st.floats(1.0, 4.0))
def test_every_short_finding_tells_a_figure_below_its_limit(woven: Plan, longer: float) -> None:
    stretched = replace(woven, runs=tuple(replace(run, length_m=run.length_m * longer) for run in woven.runs))
    sized = size_plan(stretched)
    shorts = [finding for finding in sized.findings if finding.code in SHORT_CODES[:2]]
    for finding in shorts:
        assert float(finding.figure.split()[0]) <= float(finding.limit.split()[0]) * (
            1000 if "mA" in finding.figure else 1
        )
        assert finding.cure
        assert finding.wire
    assert len({(finding.circuit, finding.code) for finding in shorts}) == len(shorts)


@settings(deadline=None)
@given(woven_plans(), st.floats(2.0, 20.0))
def test_applied_cures_of_shorts_remove_them(woven: Plan, longer: float) -> None:
    stretched = replace(woven, runs=tuple(replace(run, length_m=run.length_m * longer) for run in woven.runs))
    for finding in size_plan(stretched).findings:
        if finding.code in SHORT_CODES[:2]:
            for way in cured(stretched, finding):
                after = {(one.code, one.circuit) for one in size_plan(way).findings}
                assert not {(code, finding.circuit) for code in SHORT_CODES[:2]} & after, finding.cure


def test_what_opens_a_fuse_rises_with_its_slowness() -> None:
    assert needed_a(FuseFamily.MAXI_BLADE, 20.0) > needed_a(FuseFamily.BLADE, 20.0)
    assert latest(FuseFamily.MAXI_BLADE).multiple_at(5.0) > 3.5
