"""One plan for every finding of the expansion, and what it leaves standing."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import pytest

import circuits
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.fittings import Cavity, Connector
from circuits.patterns import expand
from circuits.patterns.suggestions import MOST_COMPARED, Suggester
from circuits.plan import Disposition, FuseFamily, Plan, Run
from tests.circuits.cast import DIP, FUEL, GAUGES, HORN, MAIN, RUNS, TAIL, marsh_hare, only

ISLAND = (*RUNS, Run("island", "far end", 1.0))


def found(plan: Plan, code: str) -> list[Finding]:
    return [finding for finding in expand(plan).findings if finding.code == code]


BLOCKED = {
    "unknown-feed": replace(HORN, feed="batery"),
    "feed-cycle": replace(HORN, feed="horn"),
    "unknown-place": replace(HORN, load_at=("nose", "noze")),
    "no-path": replace(HORN, load_at=("island",)),
    "switch-without-place": replace(HORN, switch_at=""),
}

STANDING = {
    "chassis-not-conductive": only(HORN, chassis_return=False),
    "feed-not-wired": only(replace(GAUGES, disposition=Disposition.REMOVE), FUEL),
    "feed-elsewhere": only(GAUGES, replace(FUEL, fed_at="nose")),
    "feeder-overloaded": only(replace(MAIN, load_a=9.0), replace(DIP, feed="main feed")),
    "feeder-goes-nowhere": only(replace(MAIN, fed_at="panel")),
    "relay-always-on": only(replace(DIP, feed="battery", switch_at="", switch="")),
    "relay-needless": only(replace(GAUGES, relay_at="panel")),
    "relay-on-sender": only(GAUGES, replace(FUEL, relay_at="dash")),
    "sender-current": only(GAUGES, replace(FUEL, load_a=12.0)),
    "sender-on-bus": only(replace(FUEL, feed="ignition")),
    "fuse-contradiction": only(replace(HORN, fuse_a=10.0, fuse_family=FuseFamily.NONE)),
    "load-place-twice": only(replace(HORN, load_at=("nose", "nose"))),
    "unknown-zone": only(HORN, runs=(*RUNS[:2], Run("panel", "dash", 0.5, "glovebox"), *RUNS[3:])),
    "unreadable-colour": only(replace(HORN, colour="ruby")),
    "colour-repeated": only(replace(HORN, colour="PK"), replace(DIP, colour="pk")),
    "colour-repeated-in-connector": replace(
        only(replace(HORN, colour="PK"), replace(GAUGES, colour="pk")),
        connectors=(Connector("C1", "dash"),),
        cavities=(Cavity("C1", "1", "horn"), Cavity("C1", "2", "gauges")),
    ),
    "colour-not-recorded": only(replace(HORN, disposition=Disposition.KEEP)),
    "live-wire-black": only(replace(HORN, colour="BK")),
}


@pytest.mark.parametrize("code", BLOCKED)
def test_a_routing_finding_leaves_its_circuit_without_wires_and_the_others_standing(code: str):
    plan = marsh_hare(BLOCKED[code], runs=ISLAND)
    [one] = found(plan, code)
    assert (one.circuit, one.severity.value) == ("horn", "error")
    wiring = expand(plan)
    assert {wire.circuit for wire in wiring.wires} == {c.name for c in plan.circuits} - {"horn"}
    assert not any("horn" in device.circuits for device in wiring.devices)
    assert not any(fuse.circuit == "horn" for fuse in wiring.protections)
    assert not any(path.circuit == "horn" for path in wiring.paths)


@pytest.mark.parametrize("code", STANDING)
def test_a_finding_of_sense_leaves_the_circuit_wired(code: str):
    plan = STANDING[code]
    [one] = found(plan, code)
    assert one.message
    assert one.cure
    if one.circuit:
        assert any(wire.circuit == one.circuit for wire in expand(plan).wires)


@pytest.mark.parametrize("code", [*BLOCKED, *STANDING])
def test_the_cast_has_none_of_them(code: str):
    assert found(marsh_hare(), code) == []


def test_every_code_this_part_can_find_is_in_the_table_and_in_this_file():
    sources = [*Path(circuits.__file__).parent.glob("patterns/*.py")]
    raised = {
        line.split('finding("')[1].split('"')[0]
        for source in sources
        for line in source.read_text(encoding="utf-8").splitlines()
        if 'finding("' in line
    }
    assert raised == BLOCKED.keys() | STANDING.keys()


def test_the_table_of_codes_is_complete_and_each_code_stands_once():
    with (Path(circuits.__file__).parent / "finding_codes.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    codes = [row["code"] for row in rows]
    assert len(codes) == len(set(codes))
    assert all(row["severity"] in {"error", "warning", "note"} and row["meaning"] and row["cure"] for row in rows)


def test_a_code_that_the_table_does_not_know_is_refused():
    with pytest.raises(KeyError):
        finding("no-such-code", "", "message")


@pytest.mark.parametrize(
    ("feed", "cure"),
    [
        ("batery", "Did you mean battery?"),
        ("Guages", "Did you mean gauges?"),
        ("zzz", "Name a bus (battery, ignition, accessory, lighting, start) or a circuit of the plan."),
    ],
)
def test_an_unknown_feed_suggests_the_nearest(feed: str, cure: str):
    [one] = found(marsh_hare(replace(HORN, feed=feed)), "unknown-feed")
    assert one.message == f"horn: no bus or circuit is called {feed}"
    assert one.cure == cure


@pytest.mark.parametrize("column", ["fed_at", "switch_at", "relay_at", "ground_at"])
def test_an_unknown_place_names_its_column_and_suggests_the_nearest(column: str):
    [one] = found(only(replace(DIP, **{column: "dsah"})), "unknown-place")  # type: ignore[arg-type]
    assert one.message == f"dip beam: {column} is dsah, but no run leads there"
    assert one.cure == "Did you mean dash?"


def test_suggestions_end_where_a_sheet_of_wrong_names_would_take_minutes():
    known = [f"place {number}" for number in range(1000)]
    suggester = Suggester(known)
    told = [suggester.did_you_mean(f"plaice {number}") for number in range(20)]
    assert [bool(text) for text in told] == [number < MOST_COMPARED // 1000 for number in range(20)]
    assert told[0] == suggester.did_you_mean("plaice 0")  # once told, always told


def test_every_unknown_place_is_told_at_once():
    assert len(found(only(replace(DIP, fed_at="x", load_at=("y", "z"))), "unknown-place")) == 3


def test_no_path_names_both_places():
    [one] = found(only(BLOCKED["no-path"], runs=ISLAND), "no-path")
    assert one.message == "horn: no run leads from panel to island"
    assert one.cure == "Add the missing run between panel and island."


def test_a_plan_without_runs_has_every_place_unknown():
    wiring = expand(only(HORN, runs=()))
    assert wiring.wires == ()
    assert {finding.code for finding in wiring.findings} == {"unknown-place"}


def test_a_feed_cycle_is_told_of_every_circuit_that_cannot_reach_a_bus():
    ring = (replace(HORN, feed="tail lamps"), replace(TAIL, feed="horn"), replace(GAUGES, feed="horn"))
    told = found(only(*ring, DIP), "feed-cycle")
    assert [finding.circuit for finding in told] == ["horn", "tail lamps", "gauges"]
    assert "comes back to horn" in told[0].message
    assert {wire.circuit for wire in expand(only(*ring, DIP)).wires} == {"dip beam"}


def test_what_hangs_on_a_circuit_that_cannot_be_wired_says_so():
    plan = only(replace(GAUGES, fed_at="nowhere"), FUEL)
    [one] = found(plan, "feed-not-wired")
    assert one.message == "fuel level is fed by gauges, which cannot be wired"
    [wire] = expand(plan).wires
    assert wire.protected_by is None  # nothing that is there protects it


@pytest.mark.parametrize("fed_at", ["panel", "dash", "nose"])
def test_a_feed_comes_by_its_start_its_switch_and_its_loads(fed_at: str):
    radio = replace(GAUGES, name="radio", feed="horn", fed_at=fed_at)
    assert found(only(HORN, radio), "feed-elsewhere") == []


def test_a_switch_that_only_drives_a_relay_feeds_nothing():
    radio = replace(GAUGES, name="radio", feed="dip beam", fed_at="dash")
    [one] = found(only(DIP, radio), "feed-elsewhere")
    assert one.cure == "Start it at one of left lamp, right lamp, bulkhead, panel, or add a feeder from there."


@pytest.mark.parametrize(("load_a", "told"), [(10.0, 0), (9.99, 1)])
def test_a_feeder_counts_continuous_circuits_behind_it_once(load_a: float, told: int):
    """2 × 55 W + 2 × 5 W at 12 V are 10 A; the horn is intermittent, the sender hangs on its gauge."""
    behind = (replace(DIP, feed="main feed"), replace(TAIL, feed="dip beam"), replace(HORN, feed="main feed"))
    plan = only(replace(MAIN, load_a=load_a), *behind)
    assert len(found(plan, "feeder-overloaded")) == told


def test_a_relay_with_a_switch_or_on_a_switched_bus_lets_go():
    assert found(only(replace(DIP, feed="battery")), "relay-always-on") == []
    assert found(only(replace(DIP, feed="ignition", switch_at="", switch="")), "relay-always-on") == []


def test_a_relay_behind_a_feeder_on_the_battery_never_lets_go():
    plan = only(MAIN, replace(DIP, feed="main feed", switch_at="", switch=""))
    assert len(found(plan, "relay-always-on")) == 1


@pytest.mark.parametrize(("load_a", "told"), [(0.99, 1), (1.0, 0)])
def test_a_relay_is_needless_below_one_ampere(load_a: float, told: int):
    assert len(found(only(replace(HORN, relay_at="panel", load_a=load_a)), "relay-needless")) == told


@pytest.mark.parametrize(("load_a", "told"), [(1.0, 0), (1.01, 1)])
def test_a_sender_draws_up_to_one_ampere(load_a: float, told: int):
    assert len(found(only(GAUGES, replace(FUEL, load_a=load_a)), "sender-current")) == told


def test_a_rating_of_family_none_is_fitted_in_the_usual_family():
    [fuse] = expand(STANDING["fuse-contradiction"]).protections
    assert (fuse.forced_a, fuse.family) == (10.0, FuseFamily.BLADE)


def test_a_body_that_cannot_conduct_is_no_fault_of_a_feeder():
    assert found(only(MAIN, chassis_return=False), "chassis-not-conductive") == []


def test_an_unknown_zone_is_told_once_however_many_runs_name_it():
    runs = tuple(replace(run, zone="glovebox") for run in RUNS)
    [one] = found(only(HORN, runs=runs), "unknown-zone")
    assert one.circuit == ""
    assert "glovebox" in one.message
