"""What must hold for any plan: more load, heat, length or bundling never makes a wire thinner."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from circuits.electrical.conductors import copper_area_mm2
from circuits.electrical.single import SingleLoad, size_single
from circuits.electrical.sizing import size_plan, size_wiring
from circuits.patterns import expand
from circuits.plan import DEFAULT_ZONES_C, Duty, FuseFamily, Plan, Return, Zone
from circuits.rules import BuildRules, Series, SizingRules
from circuits.sized import Limit, SizedPlan
from tests.circuits.looms import woven_plans
from tests.circuits.strategies import plans

MIXED_STOCK = (
    "18 AWG",
    "1 mm²",
    "1.5 mm²",
    "14 AWG",
    "4 mm²",
    "10 AWG",
    "10 mm²",
    "6 AWG",
    "2 AWG",
    "35 mm²",
    "2/0 AWG",
)

RULES = st.builds(
    BuildRules,
    st.builds(
        SizingRules,
        series=st.sampled_from(Series),
        sizes=st.sampled_from(((), (), MIXED_STOCK)),
        insulation_class_c=st.sampled_from((90, 105, 125, 200)),
        tap_drop_share=st.sampled_from((0.2, 0.4, 0.8)),
        min_fuse_a=st.sampled_from((0.0, 5.0)),
        contact_ohm=st.sampled_from((0.0, 0.0005, 0.001)),
    ),
)
factors = st.floats(1.0, 3.0)


def areas(sized: SizedPlan) -> dict[str, float]:
    """Copper of each wire by name."""
    return {wire.wire.name: copper_area_mm2(wire.conductor) for wire in sized.wires}


def assert_none_thinner(before: dict[str, float], after: dict[str, float]) -> None:
    """Every wire at least as thick as it was."""
    assert before.keys() == after.keys()
    thinner = {name: (before[name], after[name]) for name in before if after[name] < before[name]}
    assert not thinner


def with_zones(plan: Plan, warmer_c: float) -> Plan:
    """The plan with each zone warmer than usual."""
    names = (*DEFAULT_ZONES_C, "attic")
    return replace(plan, zones=tuple(Zone(name, DEFAULT_ZONES_C.get(name, 50.0) + warmer_c) for name in names))


@given(woven_plans(), RULES, factors, st.data())
def test_larger_load_never_gives_a_smaller_wire(
    plan: Plan, rules: BuildRules, factor: float, data: st.DataObject
) -> None:
    """Loads of any circuits grow; their coils' wires stay."""
    grown = data.draw(st.sets(st.sampled_from([circuit.name for circuit in plan.circuits])))
    circuits = (
        replace(circuit, load_a=circuit.load_a * factor) if circuit.name in grown and circuit.load_a else circuit
        for circuit in plan.circuits
    )
    after = size_plan(replace(plan, circuits=tuple(circuits)), rules)
    assert_none_thinner(areas(size_plan(plan, rules)), areas(after))


@given(woven_plans(), RULES, st.floats(0.0, 60.0))
def test_hotter_never_gives_a_thinner_wire(plan: Plan, rules: BuildRules, warmer_c: float) -> None:
    cool, hot = size_plan(with_zones(plan, 0.0), rules), size_plan(with_zones(plan, warmer_c), rules)
    assert_none_thinner(areas(cool), areas(hot))


@given(woven_plans(), RULES, factors)
def test_longer_never_gives_a_thinner_wire(plan: Plan, rules: BuildRules, factor: float) -> None:
    """All runs grow alike, so that no shortest way changes."""
    longer = replace(plan, runs=tuple(replace(run, length_m=run.length_m * factor) for run in plan.runs))
    assert_none_thinner(areas(size_plan(plan, rules)), areas(size_plan(longer, rules)))


@given(woven_plans(), RULES, st.integers(1, 30))
def test_fuller_bundles_never_give_a_thinner_wire(plan: Plan, rules: BuildRules, more: int) -> None:
    wiring = expand(plan, rules)
    fuller = replace(wiring, wires=tuple(replace(wire, bundle=wire.bundle + more) for wire in wiring.wires))
    assert_none_thinner(areas(size_wiring(wiring, rules)), areas(size_wiring(fuller, rules)))


LOADS = st.builds(
    SingleLoad,
    length_m=st.floats(0.05, 20.0),
    load_a=st.floats(0.05, 300.0),
    ambient_c=st.floats(-40.0, 130.0),
    bundle=st.integers(1, 40),
    max_drop_percent=st.floats(0.5, 20.0),
    system_v=st.sampled_from((12.0, 24.0)),
    duty=st.sampled_from(Duty),
    return_by=st.sampled_from(Return),
    fuse_family=st.sampled_from((None, *FuseFamily)),
)


@given(LOADS, factors, st.floats(0, 50), factors, st.integers(0, 20), st.floats(0.3, 1.0))
def test_single_wire_is_never_thinner_for_a_harder_task(
    load: SingleLoad, more: float, warmer_c: float, longer: float, fuller: int, stricter: float
) -> None:
    assert load.load_a is not None
    harder = replace(
        load,
        load_a=load.load_a * more,
        ambient_c=load.ambient_c + warmer_c,
        length_m=load.length_m * longer,
        bundle=load.bundle + fuller,
        max_drop_percent=load.max_drop_percent * stricter,
    )
    easy, hard = (copper_area_mm2(size_single(one).wire.conductor) for one in (load, harder))
    assert easy <= hard


def failing_limits(sized: SizedPlan) -> Iterable[tuple[str, Limit]]:
    """Circuit and limit of each trial that does not hold at a chosen size."""
    for wire in sized.wires:
        for trial in wire.tried:
            if trial.size == wire.conductor.label and not trial.ok:
                yield wire.wire.circuit, trial.limit


TOLD_BY = {
    Limit.AMPACITY: {"no-size", "too-hot", "forced-size-ampacity"},
    Limit.SHORT_TIME: {"no-size", "too-hot", "forced-size-ampacity"},
    Limit.FUSE: {"no-size", "too-hot", "forced-size-fuse", "forced-fuse-over-wire", "forced-size-ampacity"},
    Limit.MECHANICAL: {"no-size", "too-hot", "forced-size-mechanical"},
    Limit.DROP: {"drop-over-limit", "forced-size-drop"},
}


@given(st.one_of(woven_plans(), plans()), RULES)
def test_every_limit_holds_at_the_chosen_size_or_a_finding_says_so(plan: Plan, rules: BuildRules) -> None:
    """Any plan that can be written down is sized, and nothing that fails goes unsaid."""
    sized = size_plan(plan, rules)
    told: dict[str, set[str]] = {}
    for finding in sized.findings:
        told.setdefault(finding.circuit, set()).add(finding.code)
    for circuit, limit in failing_limits(sized):
        assert told.get(circuit, set()) & TOLD_BY[limit], (circuit, limit)


@given(woven_plans(), RULES)
def test_no_fuse_is_larger_than_its_wires_carry_unless_a_finding_says_so(plan: Plan, rules: BuildRules) -> None:
    sized = size_plan(plan, rules)
    ratings = {fuse.name: fuse.rating_a for fuse in sized.fuses}
    errors = {finding.circuit for finding in sized.findings if finding.code in TOLD_BY[Limit.FUSE]}
    for wire in sized.wires:
        rating_a = ratings.get(wire.wire.protected_by or "")
        if rating_a is not None and wire.wire.circuit not in errors:
            assert rating_a <= wire.ampacity_a * (1 + 1e-9)


@given(woven_plans(), RULES)
def test_the_next_smaller_size_breaks_the_limit_that_governs(plan: Plan, rules: BuildRules) -> None:
    for wire in size_plan(plan, rules).wires:
        smaller = [trial for trial in wire.tried if trial.size != wire.conductor.label]
        if smaller:
            next_smaller = [trial for trial in smaller if trial.size == smaller[-1].size]
            assert [trial.ok for trial in next_smaller if trial.limit is wire.governed_by] == [False]
        else:
            assert wire.governed_by is Limit.MECHANICAL


@given(woven_plans(), RULES)
def test_drop_of_a_circuit_stays_within_its_limit_unless_a_finding_says_so(plan: Plan, rules: BuildRules) -> None:
    sized = size_plan(plan, rules)
    over = {finding.circuit for finding in sized.findings if finding.code in TOLD_BY[Limit.DROP]}
    for circuit in sized.circuits:
        if circuit.circuit.name not in over:
            assert circuit.drop_percent <= circuit.drop_limit_percent * (1 + 1e-9)
