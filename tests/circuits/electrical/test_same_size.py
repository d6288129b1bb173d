"""A size is the same however it is written: by its gauge, or by its area in mm²."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuits.electrical.conductors import conductor, conductors
from circuits.electrical.sizing import size_plan
from circuits.errors import TableError
from circuits.plan import Plan
from circuits.rules import BuildRules, Series, SizingRules
from circuits.wire_sizes import parse_size
from tests.circuits.electrical.published import rows
from tests.circuits.looms import woven_plans

GAUGES = [size for size in conductors(Series.AWG) if size.area_mm2 > 0.4]


@pytest.mark.parametrize("digits", [3, 4])
@pytest.mark.parametrize("size", GAUGES, ids=lambda size: size.label)
def test_an_area_that_is_a_gauge_is_that_gauge(size, digits: int):
    assert conductor(parse_size(f"{size.area_mm2:.{digits}g} mm2")) is conductor(size.label)


@pytest.mark.parametrize("row", rows("conductor_area_awg_vs_sae"), ids=lambda row: row["gauge"])
def test_areas_of_gauges_are_those_of_the_catalogue(row: dict[str, str]):
    """Marine catalogue of conductor areas, AWG against SAE: its AWG column is rounded, by up to 1.8 %."""
    size = conductor(f"{row['gauge']} AWG")
    assert size.area_mm2 / 5.067075e-4 == pytest.approx(float(row["awg_area_circmil_catalogue"]), rel=0.018)


def test_a_metric_size_stays_metric_and_an_area_that_is_no_size_is_none():
    assert conductor("4 mm²").label == "4 mm²"
    for label in ("3.2 mm²", "7.9 mm²", "1e3 mm²", "2.08 AWG", "mm²"):
        with pytest.raises(TableError):
            conductor(label)


@settings(max_examples=25, deadline=None)
@given(woven_plans(), st.sampled_from(GAUGES))
def test_results_are_equal_whether_forced_sizes_are_in_gauges_or_in_areas(plan: Plan, size):
    def forced(text: str) -> Plan:
        return replace(plan, circuits=tuple(replace(one, size=parse_size(text)) for one in plan.circuits))

    by_gauge, by_area = size_plan(forced(size.label)), size_plan(forced(f"{size.area_mm2:.3g} mm²"))
    assert by_gauge.wires == by_area.wires
    assert by_gauge.fuses == by_area.fuses
    assert by_gauge.bundles == by_area.bundles
    assert by_gauge.findings == by_area.findings


@settings(max_examples=15, deadline=None)
@given(woven_plans())
def test_results_are_equal_whether_the_stock_is_listed_in_gauges_or_in_areas(plan: Plan):
    labels = [size.label for size in GAUGES]
    areas = tuple(f"{size.area_mm2:.3g} mm²" for size in GAUGES)
    by_gauge = size_plan(plan, BuildRules(SizingRules(sizes=tuple(labels))))
    by_area = size_plan(plan, BuildRules(SizingRules(sizes=areas)))
    assert by_gauge.wires == by_area.wires
    assert by_gauge.findings == by_area.findings
