"""How wires lie, by published rules of installation; each cure applied."""

from __future__ import annotations

from dataclasses import replace

from circuits.electrical.laying_checks import ALONE_M, ALONE_MM2
from circuits.electrical.sizing import size_plan
from circuits.findings import Finding
from circuits.harness.grommets import GROMMETS
from circuits.plan import Covering, Disposition, Plan, Run
from circuits.planning.loom_figures import BEND_TIMES
from circuits.rules import SizingRules
from tests.circuits.cast import RUNS, TAIL, only
from tests.circuits.electrical.cures import fitted
from tests.circuits.electrical.published import rows

RULES = {row["rule"]: float(row["value"]) for row in rows("install_rules")}


def found(plan: Plan) -> list[Finding]:
    return [finding for finding in size_plan(plan).findings if finding.code == "thin-wire-alone"]


def test_limits_are_those_published():
    assert RULES["min area of separately installed conductor longer than 200 mm"] == ALONE_MM2
    assert ALONE_M == 0.2
    assert RULES["min area of conductor in multiconductor sheath"] == SizingRules().min_area_mm2
    assert RULES["min bend radius, bundle, x OD of largest wire"] == BEND_TIMES


def test_a_grommet_parts_a_bundle_from_the_edge_where_it_could_chafe():
    """AC 43.13-1B 11-115 asks for a grommet where there is less than 3/8 in to the edge: no bore leaves more."""
    clearance_mm = RULES["clearance at penetrations without grommet contact"] * 25.4
    assert all((grommet.hole_mm - grommet.bore_mm) / 2 < clearance_mm for grommet in GROMMETS)


def test_a_thin_wire_that_lies_alone_and_bare_is_told_and_each_way_out_cures_it():
    plan = only(TAIL)
    [told] = found(plan)
    assert told.cure.startswith("Cover the run with sleeve, or fit 16 AWG for tail lamps")
    thicker = fitted(plan, told)
    assert thicker
    assert not found(thicker)
    covered = tuple(replace(run, covering=Covering.SLEEVE) for run in RUNS)
    assert not found(replace(plan, runs=covered))


def test_a_short_wire_or_one_that_stays_may_be_thin():
    short = tuple(Run(r.start, r.end, min(r.length_m, ALONE_M), r.zone) for r in RUNS)
    assert not found(replace(only(TAIL), runs=short))
    assert not found(only(replace(TAIL, disposition=Disposition.KEEP)))
