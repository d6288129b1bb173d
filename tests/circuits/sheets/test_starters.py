"""Starter plans: whole, clean when sized, and each load with where its figure comes from."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

import circuits.sheets.starters as starters
from circuits.electrical.sizing import size_plan
from circuits.errors import TableError
from circuits.findings import Severity
from circuits.plan import BUSES, Kind, Plan
from circuits.rules import BuildRules, Series, SizingRules
from circuits.sheets import STARTERS, load_starter

LAMP = re.compile(r"\b(H[0-9]|R2|(?:PY|P|WY|W|T|R|C)[0-9]+(?:/[0-9]+)?W)\b")
COUNTS = {"two": 2, "four": 4, "five": 5, "six": 6}
SOURCES = Path(starters.__file__).parent / "SOURCES.csv"
RATED = Path(__file__).parents[2] / "reference" / "lamps_un_r37.csv"


@pytest.fixture(scope="module", params=STARTERS)
def plan(request: pytest.FixtureRequest) -> Plan:
    return load_starter(str(request.param))


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def rated_watts() -> dict[str, set[float]]:
    """Rated watts at 12 V by lamp category of UN R37, both filaments."""
    watts: dict[str, set[float]] = {}
    for row in rows_of(RATED):
        watts.setdefault(row["category"], set()).add(float(row["rated_W_at_12V"]))
    return watts


def test_the_closed_car_has_42_circuits() -> None:
    assert len(load_starter("closed_car").circuits) == 42


def test_an_unknown_starter_names_those_there_are() -> None:
    with pytest.raises(TableError, match="no starter plan named 'tractor'; there are closed_car, pickup"):
        load_starter("tractor")


def test_a_look_alike_pair_is_there_to_be_found() -> None:
    [found] = [one for one in size_plan(load_starter("small_van")).findings if one.code == "look-alike-danger"]
    assert "fan plug and horn plug" in found.message


@pytest.mark.parametrize("key", ["closed_car", "small_van"])
def test_fittings_are_there_and_taken_by_wires(key: str) -> None:
    plan = load_starter(key)
    assert all((plan.connectors, plan.mountings, plan.positions))
    seated = {(end.connector, end.cavity) for one in size_plan(plan).wires for end in (one.wire.start, one.wire.end)}
    assert {(cavity.connector, cavity.label) for cavity in plan.cavities if cavity.circuit} <= seated


def test_every_place_is_reached_from_the_battery(plan: Plan) -> None:
    reached = {"battery"}
    grew = True
    while grew:
        found = {place for run in plan.runs for place in (run.start, run.end) if reached & {run.start, run.end}}
        grew = not found <= reached
        reached |= found
    named = {
        place
        for circuit in plan.circuits
        for place in (circuit.fed_at, circuit.switch_at, circuit.relay_at, circuit.ground_at, *circuit.load_at)
        if place
    }
    assert named <= reached
    assert set(plan.places) <= reached


def test_every_feed_is_a_bus_or_a_circuit(plan: Plan) -> None:
    assert {circuit.feed for circuit in plan.circuits} <= {*BUSES, *(circuit.name for circuit in plan.circuits)}


def test_every_place_serves_a_circuit_or_leads_on(plan: Plan) -> None:
    """A run to a place where nothing ends would be wire for nothing."""
    ends = [place for run in plan.runs for place in (run.start, run.end)]
    used = {
        place
        for circuit in plan.circuits
        for place in (circuit.fed_at, circuit.switch_at, circuit.relay_at, circuit.ground_at, *circuit.load_at)
    }
    assert [place for place in plan.places if ends.count(place) == 1 and place not in used] == []


@pytest.mark.parametrize("series", Series)
def test_every_circuit_is_sized_without_an_error(plan: Plan, series: Series) -> None:
    sized = size_plan(plan, BuildRules(sizing=SizingRules(series=series)))
    told = [finding.code for finding in sized.findings if finding.severity is not Severity.NOTE]
    assert told == (["look-alike-danger"] if plan == load_starter("small_van") else [])
    for circuit in sized.circuits:
        assert bool(circuit.wires) == circuit.circuit.disposition.is_wired
        assert circuit.drop_percent <= circuit.drop_limit_percent + 1e-9


def test_every_lamp_takes_the_watts_of_its_category(plan: Plan) -> None:
    """UN R37 rev. 7: rated watts (most rows from memory, see the file)."""
    rated = rated_watts()
    checked = 0
    for circuit in plan.circuits:
        text = f"{circuit.load} {circuit.notes}"
        category = LAMP.search(text)
        if category is None:
            continue
        count = next((number for word, number in COUNTS.items() if re.search(rf"\b{word}\b", text)), 1)
        assert circuit.load_w is not None
        assert circuit.load_w / count in rated[category[1]], circuit.name
        checked += 1
    assert checked >= 10


def test_every_load_says_where_its_figure_comes_from(plan: Plan) -> None:
    sources = {row["load"]: row for row in rows_of(SOURCES)}
    for circuit in plan.circuits:
        category = LAMP.search(f"{circuit.load} {circuit.notes}")
        if category:
            assert any(load.split()[:2] == ["lamp", category[1]] for load in sources), circuit.name
            continue
        figure = circuit.load_w if circuit.load_a is None else circuit.load_a
        assert f"{figure:g}" in sources[circuit.load]["figures"].split("; "), circuit.name
        assert sources[circuit.load]["unit"] == ("W" if circuit.load_a is None else "A")
    assert all(row["source"] and row["status"] for row in sources.values())


def test_large_loads_have_relays_and_lamps_of_safety_are_marked(plan: Plan) -> None:
    for circuit in plan.circuits:
        if not circuit.disposition.is_wired or circuit.kind is Kind.FEEDER or circuit.switch_at == "":
            continue
        current_a = circuit.load_current_a(plan.vehicle.system_v) * len(circuit.load_at)
        assert circuit.relay_at or current_a <= 11.0, circuit.name
    for circuit in plan.circuits:
        if any(word in circuit.name for word in ("brake", "beam", "tail", "indicator", "horn")):
            assert circuit.safety or "trailer tail" in circuit.name, circuit.name
