"""Wire, terminals, heat-shrink and labels are counted wire by wire."""

import csv
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.plan import Disposition, FuseFamily, Kind
from circuits.wiring import Lands
from estimating.takeoff.parts import PartKind
from estimating.takeoff.rules import TakeoffRules
from estimating.takeoff.tables import ladder, rows_of
from estimating.takeoff.takeoff import needs_of, parts_of, take_off
from estimating.takeoff.wires import terminal_spec, wire_range
from tests.estimating.takeoff.builders import circuit, conductor, end, sized_plan, sized_wire

REFERENCE = Path(__file__).parents[2] / "reference"
SIZES = [conductor("16 AWG", 1.31, 3.0), conductor("14 AWG", 2.08, 3.5), conductor("2.5 mm²", 2.5, 3.0)]
WIRES = st.lists(
    st.tuples(
        st.sampled_from(SIZES),
        st.sampled_from(["RD", "RD/BK", "BK"]),
        st.floats(0.2, 30.0),
        st.sampled_from(list(Disposition)),
    ),
    max_size=30,
)


def plan_of(rows):
    circuits = [circuit(f"c{number}", disposition) for number, (*_, disposition) in enumerate(rows)]
    wires = [
        sized_wire(one, length_m=length_m, size=size, colour=colour)
        for one, (size, colour, length_m, disposition) in zip(circuits, rows, strict=True)
        if disposition.is_wired
    ]
    return sized_plan(circuits, wires)


def of_kind(parts, kind):
    return {part.spec: part for part in parts if part.kind is kind}


@given(WIRES)
def test_metres_of_a_size_and_colour_are_exactly_the_sum_over_its_new_wires(rows):
    parts = of_kind(take_off(plan_of(rows)), PartKind.WIRE)
    lengths: dict[str, list[float]] = {}
    for size, colour, length_m, disposition in rows:
        if disposition.is_pulled_new:
            lengths.setdefault(f"{size.label} {colour}", []).append(length_m)
    assert {spec: part.quantity for spec, part in parts.items()} == {
        spec: math.fsum(found) for spec, found in lengths.items()
    }


@given(WIRES, st.randoms(use_true_random=False))
def test_parts_do_not_depend_on_the_order_of_needs(rows, random):
    sized = plan_of(rows)
    needs = list(needs_of(sized))
    random.shuffle(needs)
    assert parts_of(tuple(needs), sized) == take_off(sized)


@given(WIRES)
def test_every_part_of_a_wire_names_the_circuits_that_asked_for_it_in_plan_order(rows):
    for part in take_off(plan_of(rows)):
        numbers = [int(name.removeprefix("c")) for name in part.circuits]
        assert numbers == sorted(set(numbers))
        assert numbers or part.kind in (PartKind.FUSE, PartKind.PANEL_POSITION)


def test_each_new_wire_gets_two_labels_and_two_terminals():
    horn = circuit("horn")
    parts = take_off(sized_plan([horn], [sized_wire(horn), sized_wire(horn, 2)]))
    assert of_kind(parts, PartKind.LABEL)["wire label"].quantity == 4
    assert sum(part.quantity for part in of_kind(parts, PartKind.TERMINAL).values()) == 4


def test_an_end_in_a_splice_gets_no_terminal():
    horn = circuit("horn")
    parts = take_off(sized_plan([horn], [sized_wire(horn, finish=end(Lands.SPLICE))]))
    assert sum(part.quantity for part in of_kind(parts, PartKind.TERMINAL).values()) == 1


@pytest.mark.parametrize(
    ("upstream", "terminal"), [(Kind.ELECTRONICS, "female blade 6.3 mm"), (Kind.FEEDER, "ring M6")]
)
def test_a_tap_lands_on_the_load_that_feeds_it_and_a_circuit_of_a_feeder_on_its_stud(upstream, terminal):
    gauge = circuit("gauge", Disposition.KEEP, kind=upstream)
    sender = circuit("sender", feed="gauge")
    wire = sized_wire(sender, start=end(Lands.SUPPLY), finish=end(Lands.SPLICE))
    (found,) = of_kind(take_off(sized_plan([gauge, sender], [wire])), PartKind.TERMINAL)
    assert found.startswith(terminal)


def test_heat_shrink_covers_each_terminal_by_the_rule():
    horn = circuit("horn")
    rules = TakeoffRules(heat_shrink_end_m=0.04)
    parts = of_kind(take_off(sized_plan([horn], [sized_wire(horn)]), rules), PartKind.HEAT_SHRINK)
    assert [(spec, part.quantity) for spec, part in parts.items()] == [("4.8 mm", pytest.approx(0.08))]


def test_wire_sorts_thin_to_thick():
    horn = circuit("horn")
    sizes = [conductor("2/0 AWG", 67.4, 14.2), conductor("18 AWG", 0.82, 2.6), conductor("8 AWG", 8.37, 5.9)]
    parts = take_off(sized_plan([horn], [sized_wire(horn, n, size=size) for n, size in enumerate(sizes)]))
    assert list(of_kind(parts, PartKind.WIRE)) == ["18 AWG RD", "8 AWG RD", "2/0 AWG RD"]


@pytest.mark.parametrize("lands", [lands for lands in Lands if lands not in (Lands.SPLICE, Lands.CONNECTOR)])
@pytest.mark.parametrize("family", [None, *FuseFamily])
def test_every_landing_has_a_terminal_for_every_size(lands, family):
    for row in rows_of("circuits.electrical", "conductors.csv"):
        area_mm2 = float(row["area_mm2"])
        assert terminal_spec(lands, area_mm2, family).endswith(wire_range(area_mm2))


def test_a_ring_stands_on_a_stud_of_the_published_table():
    """ISO 273 clearance holes for metric studs (from memory: plausibility only)."""
    with (REFERENCE / "stud_sizes.csv").open(encoding="utf-8") as file:
        studs = {row["stud"] for row in csv.DictReader(file)}
    rings = {
        row["terminal"].removeprefix("ring ")
        for row in rows_of("estimating.takeoff", "terminals.csv")
        if row["terminal"].startswith("ring ")
    }
    assert rings
    assert rings <= studs


def test_a_larger_wire_never_gets_a_smaller_range_of_barrel():
    labels = [row["label"] for row in rows_of("estimating.takeoff", "wire_ranges.csv")]
    areas = sorted(float(row["area_mm2"]) for row in rows_of("circuits.electrical", "conductors.csv"))
    ranks = [labels.index(wire_range(area)) for area in areas]
    assert ranks == sorted(ranks)


@pytest.mark.parametrize("label", ["16 AWG", "14 AWG", "10 AWG", "8 AWG", "4 AWG", "1/0 AWG", "2.5 mm²", "50 mm²"])
def test_a_barrel_is_sold_for_the_size_it_is_given(label):
    row = next(row for row in rows_of("circuits.electrical", "conductors.csv") if row["label"] == label)
    assert label.split()[0] in wire_range(float(row["area_mm2"])).replace("(", " ").replace("-", " ").split()


def test_heat_shrink_slides_on_and_grips():
    """2:1 heat-shrink must be wider than what it slides over, and shrink to less than that."""
    for row in rows_of("circuits.electrical", "conductors.csv"):
        outer_mm = float(row["outer_mm"])
        supplied_mm = float(
            ladder("estimating.takeoff", "heat_shrink.csv", "max_outer_mm").row(outer_mm)["supplied_mm"]
        )
        assert supplied_mm / 2 <= outer_mm < supplied_mm
