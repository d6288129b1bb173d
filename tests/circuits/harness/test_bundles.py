"""What lies in each run, its covering and its opening."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.findings import Finding
from circuits.harness.bundles import OPENING_FILL, bundle_counts, bundle_findings, bundles, loads_bundle
from circuits.harness.coverings import COVERING_SIZES, covering_mm
from circuits.harness.diameter import bundle_diameter_mm
from circuits.patterns import expand
from circuits.plan import Covering, Disposition, Plan, Run
from circuits.sized import Bundle, Conductor, Limit, SizedWire
from circuits.wiring import Wire
from tests.circuits.cast import DIP, FUEL, GAUGES, HORN, RUNS, TAIL, marsh_hare, only
from tests.circuits.looms import woven_plans

OUTER_MM = 3.0


def sized(wire: Wire, outer_mm: float = OUTER_MM) -> SizedWire:
    return SizedWire(wire, Conductor("14 AWG", 2.08, 0.008, outer_mm, ""), 30.0, 0.1, 40.0, Limit.MECHANICAL, ())


def bundles_of(plan: Plan, outer_mm: float = OUTER_MM) -> tuple[Bundle, ...]:
    return bundles(plan, [sized(wire, outer_mm) for wire in expand(plan).wires])


def test_coil_wires_and_wires_under_half_an_ampere_do_not_load_a_bundle():
    wires = expand(only(replace(DIP, fuse_a=30.0), GAUGES, FUEL)).wires
    loading = {wire.name for wire in wires if loads_bundle(wire)}
    assert {w.name for w in wires if w.role == "relay coil"} & loading == set()
    assert "fuel level/1" not in loading
    assert {"gauges/1", "gauges/2", "dip beam/1"} <= loading


@pytest.mark.parametrize(("load_a", "loading"), [(0.5, True), (0.49, False)])
def test_half_an_ampere_loads_a_bundle(load_a: float, loading: bool):
    assert {loads_bundle(wire) for wire in expand(only(replace(GAUGES, load_a=load_a))).wires} == {loading}


def test_a_wire_counts_the_loaded_wires_of_the_fullest_run_it_crosses_and_itself():
    wires = {wire.name: wire for wire in expand(only(HORN, GAUGES, FUEL)).wires}
    # panel to dash: horn to its switch and back, and the gauges' feed
    assert (wires["horn/1"].bundle, wires["horn/2"].bundle, wires["gauges/1"].bundle) == (3, 3, 3)
    assert wires["fuel level/1"].bundle == 4  # not loaded, yet it lies with three that are
    assert wires["gauges/2"].bundle == 1  # a pigtail crosses no run


@given(woven_plans())
def test_bundle_counts_are_those_of_the_wires_that_cross(plan: Plan):
    wires = expand(plan).wires
    counts = bundle_counts(wires, len(plan.runs))
    for number, count in enumerate(counts):
        assert count == sum(1 for w in wires if number in w.path.runs and loads_bundle(w))
    for wire in wires:
        fullest = max((counts[number] for number in wire.path.runs), default=1)
        assert wire.bundle == (fullest if loads_bundle(wire) or not wire.path.runs else fullest + 1)


@given(woven_plans())
def test_every_wire_lies_in_the_bundles_of_exactly_the_runs_it_crosses(plan: Plan):
    wires = expand(plan).wires
    for number, bundle in enumerate(bundles_of(plan)):
        assert bundle.run == number
        assert bundle.wires == tuple(w.name for w in wires if number in w.path.runs)
        assert bundle.diameter_mm == pytest.approx(bundle_diameter_mm([OUTER_MM] * len(bundle.wires)))


def test_wires_that_stay_lie_in_the_bundle_too():
    kept = bundles_of(only(replace(HORN, disposition=Disposition.KEEP)))
    assert kept[2].wires == ("horn/1", "horn/2")


def test_a_run_without_wires_has_no_thickness_and_no_covering():
    empty = bundles_of(only(GAUGES))[6]
    assert (empty.wires, empty.diameter_mm, empty.covering_mm) == ((), 0.0, 0.0)


@pytest.mark.parametrize("covering", COVERING_SIZES)
@given(bundle_mm=st.floats(0.1, 70.0))
def test_a_covering_is_the_smallest_that_goes_over(covering: Covering, bundle_mm: float):
    size_mm = covering_mm(covering, bundle_mm)
    fitting = [s.nominal_mm for s in COVERING_SIZES[covering] if s.largest_bundle_mm >= bundle_mm]
    assert size_mm == (min(fitting) if fitting else None)


def test_larger_coverings_go_over_larger_bundles():
    for sizes in COVERING_SIZES.values():
        assert [s.largest_bundle_mm for s in sizes] == sorted(s.largest_bundle_mm for s in sizes)


@pytest.mark.parametrize("covering", [Covering.TAPE, Covering.NONE])
def test_what_is_wound_or_bare_has_no_size(covering: Covering):
    assert covering_mm(covering, 12.0) == 0.0


def through(opening_mm: float, outer_mm: float) -> tuple[str, ...]:
    plan = only(TAIL, runs=(*RUNS[:6], replace(RUNS[6], opening_mm=opening_mm), *RUNS[7:]))
    return tuple(found.code for found in bundle_findings(plan, bundles_of(plan, outer_mm)))


@pytest.mark.parametrize(
    ("outer_mm", "expected"),
    [(7.99, ()), (8.0, ()), (8.01, ("opening-tight",)), (10.0, ("opening-tight",)), (10.01, ("opening-too-small",))],
)
def test_a_bundle_leaves_a_fifth_of_its_opening(outer_mm: float, expected: tuple[str, ...]):
    assert OPENING_FILL == 0.8
    assert (
        tuple(c for c in through(10.0, outer_mm) if c.startswith("opening")) == expected
    )  # one wire: the trunk of the tail lamps


def test_an_opening_finding_says_figure_limit_and_cure():
    plan = only(TAIL, runs=(*RUNS[:6], replace(RUNS[6], opening_mm=10.0), *RUNS[7:]))
    [found] = bundle_findings(plan, bundles_of(plan, 12.0))
    assert found.message == "run panel to tail: a bundle of 12 mm does not pass an opening of 10 mm"
    assert (found.severity.value, found.circuit, found.figure, found.limit) == ("error", "", "12 mm", "10 mm")
    assert found.cure.startswith("Open it to 15 mm")


def test_covering_too_small_takes_the_largest_and_says_so():
    plan = only(HORN, runs=(*RUNS[:3], Run("bulkhead", "nose", 1.5, "engine bay", Covering.SPLIT_LOOM)))
    bundle = bundles_of(plan, 60.0)[3]
    assert bundle.covering_mm == max(s.nominal_mm for s in COVERING_SIZES[Covering.SPLIT_LOOM])
    assert "covering-too-small" in {found.code for found in bundle_findings(plan, [bundle])}


def test_the_cast_has_no_finding_about_its_bundles():
    plan = marsh_hare()
    assert bundle_findings(plan, bundles_of(plan)) == ()


def of_code(code: str, run: Run, outer_mm: float) -> list[Finding]:
    runs = (*RUNS[:2], run, *RUNS[3:])
    plan = replace(only(GAUGES, HORN), runs=runs)
    return [found for found in bundle_findings(plan, bundles_of(plan, outer_mm)) if found.code == code]


def test_a_covering_that_does_not_pass_an_opening_is_told_and_each_way_out_cures_it():
    run = replace(RUNS[2], covering=Covering.SPLIT_LOOM, opening_mm=10.0)
    [told] = of_code("covering-ends-at-opening", run, 3.0)
    opened = re.search(r"Open it to ([\d.]+) mm", told.cure)
    assert opened
    assert not of_code("covering-ends-at-opening", replace(run, opening_mm=float(opened[1])), 3.0)
    assert not of_code("covering-ends-at-opening", replace(run, covering=Covering.NONE), 3.0)
    assert not of_code("covering-ends-at-opening", replace(run, opening_mm=5.0), 3.0)  # too small for the wires alone


def test_a_run_that_moves_without_a_covering_is_told_and_braid_cures_it():
    for covering in (Covering.NONE, Covering.TAPE):
        moving = replace(RUNS[2], moves=True, covering=covering)
        [told] = of_code("moving-run-bare", moving, 3.0)
        assert told.cure == "Cover it with braid."
        assert not of_code("moving-run-bare", replace(moving, covering=Covering.BRAID), 3.0)
        assert not of_code("moving-run-bare", replace(moving, moves=False), 3.0)
