"""Thickness of bundles against the best known packings of circles in a circle."""

from __future__ import annotations

import csv
import itertools
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.harness.diameter import bundle_diameter_mm, packing_factor

REFERENCE = Path(__file__).parents[2] / "reference"
GREATEST_EXCESS = 1.065  # over the best packing of equal wires: hands do not find the densest order
GREATEST_MIXED_EXCESS = 1.15


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def around(middle_mm: float, number: int) -> tuple[list[float], float]:
    """A wire with ``number`` equal ones that just close a ring around it, and the circle they fill."""
    sine = math.sin(math.pi / number)
    outer_mm = middle_mm * sine / (1 - sine)
    return [middle_mm, *[outer_mm] * number], middle_mm + 2 * outer_mm


def around_three(a: float, b: float, c: float) -> float:
    """Circle around three that touch each other (Descartes' theorem, 1643), by diameters."""
    bends = [2 / a, 2 / b, 2 / c]
    pairs = bends[0] * bends[1] + bends[1] * bends[2] + bends[2] * bends[0]
    return 2 / (2 * math.sqrt(pairs) - sum(bends))


@pytest.mark.parametrize("row", rows("circle_packing_ratio.csv"), ids=lambda row: f"n={row['n']}")
def test_equal_wires_are_never_thinner_than_their_best_packing_and_little_thicker(row: dict[str, str]):
    best_mm = float(row["ratio_R_over_r"]) * 2.4
    assert best_mm * (1 - 1e-6) <= bundle_diameter_mm([2.4] * int(row["n"])) <= best_mm * GREATEST_EXCESS


@pytest.mark.parametrize("row", rows("bundle_worked_examples.csv"), ids=lambda row: row["id"])
def test_worked_examples_are_met_within_the_excess(row: dict[str, str]):
    found_mm = bundle_diameter_mm([float(row["wire_od_mm"])] * int(row["n"]))
    ideal_mm = float(row["ideal_bundle_mm"])
    assert ideal_mm * 0.9995 <= found_mm <= ideal_mm * GREATEST_EXCESS


@pytest.mark.parametrize("number", range(3, 13))
def test_a_ring_around_one_wire_is_met_from_above(number: int):
    wires_mm, ring_mm = around(3.0, number)
    assert ring_mm <= bundle_diameter_mm(wires_mm) <= ring_mm * GREATEST_MIXED_EXCESS


@pytest.mark.parametrize("wires_mm", [(3.0, 3.0, 3.0), (4.0, 3.0, 2.0), (5.0, 4.0, 3.0), (5.0, 2.0, 2.0)])
def test_three_wires_that_touch_are_met_from_above(wires_mm: tuple[float, float, float]):
    exact_mm = around_three(*wires_mm)
    assert exact_mm * (1 - 1e-6) <= bundle_diameter_mm(wires_mm) <= exact_mm * GREATEST_MIXED_EXCESS


@pytest.mark.parametrize("row", rows("mixed_bundle_search.csv"), ids=lambda row: row["wires_mm"])
def test_mixed_wires_are_met_from_above(row: dict[str, str]):
    packed_mm = float(row["packed_in_mm"])
    found_mm = bundle_diameter_mm([float(wire) for wire in row["wires_mm"].split(";")])
    assert packed_mm * 0.995 <= found_mm <= packed_mm * GREATEST_MIXED_EXCESS


DIAMETERS_MM = st.floats(0.5, 20.0)


@given(st.lists(DIAMETERS_MM, min_size=1, max_size=60), DIAMETERS_MM)
def test_a_wire_more_never_makes_a_bundle_thinner(wires_mm: list[float], more_mm: float):
    assert bundle_diameter_mm([*wires_mm, more_mm]) >= bundle_diameter_mm(wires_mm) * (1 - 1e-4)


@given(st.lists(DIAMETERS_MM, min_size=1, max_size=60))
def test_a_bundle_holds_the_area_of_its_wires_and_its_two_thickest_side_by_side(wires_mm: list[float]):
    found_mm = bundle_diameter_mm(wires_mm)
    assert found_mm**2 >= sum(wire**2 for wire in wires_mm) * (1 - 1e-9)
    assert found_mm >= sum(sorted(wires_mm)[-2:]) * (1 - 1e-9)
    assert found_mm == pytest.approx(bundle_diameter_mm(sorted(wires_mm)))


@given(st.floats(0.1, 10.0), st.lists(DIAMETERS_MM, min_size=1, max_size=20))
def test_a_bundle_scales_with_its_wires(scale: float, wires_mm: list[float]):
    scaled_mm = bundle_diameter_mm([scale * wire for wire in wires_mm])
    assert scaled_mm == pytest.approx(scale * bundle_diameter_mm(wires_mm))


def test_one_wire_is_as_thick_as_itself_and_none_has_no_thickness():
    assert bundle_diameter_mm([3.2]) == pytest.approx(3.2)
    assert bundle_diameter_mm([]) == 0.0


def test_the_factor_never_rises_from_two_wires_on():
    factors = [packing_factor(number / 10) for number in range(20, 500)]
    assert all(later <= earlier + 1e-12 for earlier, later in itertools.pairwise(factors))
