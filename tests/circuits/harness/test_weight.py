"""Weight of looms by hand-worked sums, and what passes an opening."""

from __future__ import annotations

import math

import pytest

from circuits.electrical.conductors import conductors
from circuits.electrical.sizing import size_plan
from circuits.harness.bundles import OPENING_FILL
from circuits.harness.grommets import GROMMETS, grommet_for
from circuits.harness.weight import covered_mm, loom_weight, wire_kg_per_m
from circuits.plan import Covering
from circuits.rules import Series
from circuits.sheets.starters import load_starter
from tests.circuits.electrical.published import rows

DENSITY_G_PER_CM3 = next(float(r["value"]) for r in rows("material_constants") if r["constant"] == "copper_density")


@pytest.mark.parametrize("series", list(Series))
def test_a_wire_weighs_its_copper_and_some_insulation(series: Series):
    for size in conductors(series):
        copper, insulation = wire_kg_per_m(size)
        assert copper == pytest.approx(size.area_mm2 * DENSITY_G_PER_CM3 / 1000)
        whole = math.pi / 4 * size.outer_mm**2
        assert 0 < insulation < (whole - size.area_mm2) * 1.4 / 1000


def test_a_loom_weighs_the_sum_of_its_runs_but_for_slack_and_ends():
    sized = size_plan(load_starter("pickup"))
    weight = loom_weight(sized.wiring.plan, sized.wires, sized.bundles)
    in_runs = sum(run.copper_kg for run in weight.runs)
    cut_share = sum(w.wire.length_m * w.conductor.area_mm2 for w in sized.wires) / sum(
        w.wire.path.length_m * w.conductor.area_mm2 for w in sized.wires if w.wire.path.runs
    )
    assert weight.total.copper_kg == pytest.approx(in_runs * cut_share)
    assert weight.total.copper_kg == pytest.approx(
        sum(w.wire.length_m * w.conductor.area_mm2 for w in sized.wires) * DENSITY_G_PER_CM3 / 1000
    )
    assert weight.new_copper_kg <= weight.total.copper_kg
    assert weight.total.covering_kg == pytest.approx(sum(run.covering_kg for run in weight.runs))


def test_a_covering_adds_to_the_bundle_and_nothing_to_an_empty_run():
    for covering in Covering:
        assert covered_mm(covering, 0.0, 0.0) == 0.0
        assert covered_mm(covering, 8.0, 10.0) >= 8.0
        assert (covered_mm(covering, 8.0, 10.0) == 8.0) == (covering is Covering.NONE)


def test_a_grommet_passes_no_more_than_the_opening_may_be_filled():
    for grommet in GROMMETS:
        assert 0.6 * grommet.hole_mm <= grommet.bore_mm <= OPENING_FILL * grommet.hole_mm
        assert grommet_for(grommet.hole_mm, grommet.bore_mm) == grommet
