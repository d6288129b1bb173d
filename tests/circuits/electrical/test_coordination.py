"""Fuse and wire together: nothing that is accepted burns before its fuse opens."""

from __future__ import annotations

import math
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuits.electrical.carrying import carrying
from circuits.electrical.conductors import conductor, conductors, copper_area_mm2
from circuits.electrical.coordination import (
    ADIABATIC_S,
    UNOPENED_S,
    first_unselective_a,
    largest_outlived_a,
    opening_times,
    outlived_source,
    outlives,
    settling_at_a,
)
from circuits.electrical.gates import Curve, earliest, latest
from circuits.electrical.sizing import size_plan
from circuits.electrical.transient import damage_s, endured_c, warming
from circuits.plan import FuseFamily, Plan
from circuits.rules import INSULATION_CLASSES_C, AmpacityBy, BuildRules, Series, SizingRules
from circuits.sheets import STARTERS, load_starter
from circuits.sized import SizedPlan
from tests.bench.made_plan import made_plan
from tests.circuits.looms import woven_plans

FUSES = [family for family in FuseFamily if family is not FuseFamily.NONE]
families = st.sampled_from(FUSES)
labels = st.sampled_from([size.label for series in Series for size in conductors(series)])
classes = st.sampled_from(INSULATION_CLASSES_C)
SOFT = 1.05
"""Between the overloads at which a size was tried a fraction of a degree can be missed: that much of the time."""

OVERLOADS = tuple(1.1 * 1.09**step for step in range(90))
"""From 1.1 times the rating to over 2,000 times, finer than any step of the gates."""


def opens_s(curve: Curve, multiple: float) -> float:
    """When it opens at the latest: as long as an overload is taken to last where it need not open."""
    return curve.at(multiple) if multiple >= curve.multiples[0] else UNOPENED_S


@given(labels, classes, st.floats(-20, 120), st.integers(1, 40), families)
def test_the_largest_outlived_fuse_opens_before_harm_at_every_current(
    label: str, class_c: int, ambient_c: float, bundle: int, family: FuseFamily
) -> None:
    """Worked out anew: by time of harm at 90 overloads, not by the temperatures that the choice is made by."""
    carried = carrying(label, class_c, ambient_c, bundle).ampacity_a
    rating_a = largest_outlived_a(label, class_c, ambient_c, carried, family)
    assert 0 <= rating_a <= carried
    if not rating_a:
        return
    wire = warming(label, class_c, max(ambient_c, 30.0), carried)
    start_c = min(class_c, wire.settled_c(rating_a))
    for multiple in OVERLOADS:
        harmed_s = damage_s(wire, class_c, multiple * rating_a, start_c)
        assert opens_s(latest(family), multiple) <= harmed_s * SOFT


@given(labels, classes, st.floats(-20, 100), families)
def test_a_larger_fuse_than_the_largest_is_not_outlived(
    label: str, class_c: int, ambient_c: float, family: FuseFamily
) -> None:
    carried = carrying(label, class_c, ambient_c).ampacity_a
    rating_a = largest_outlived_a(label, class_c, ambient_c, carried, family)
    if 0 < rating_a < carried * 0.999:
        wire = warming(label, class_c, max(ambient_c, 30.0), carried)
        assert not outlives(wire, class_c, family, rating_a * 1.01)
        assert outlives(wire, class_c, family, rating_a * 0.99)


@given(labels, classes, st.floats(-20, 100), st.floats(0, 40), families)
def test_hotter_never_stands_a_larger_fuse(
    label: str, class_c: int, ambient_c: float, warmer_c: float, family: FuseFamily
) -> None:
    def stands_a(at_c: float) -> float:
        return largest_outlived_a(label, class_c, at_c, carrying(label, class_c, at_c).ampacity_a, family)

    assert stands_a(ambient_c + warmer_c) <= stands_a(ambient_c) * (1 + 1e-6)


def test_an_overload_just_too_small_to_open_the_fuse_is_the_limit_of_a_thick_wire() -> None:
    """By hand: 14 AWG, 38 A at 125 °C in 40 °C. 240 h are borne at 150 °C; there the heat lost is 110/85 times that
    at the class, resistance 1.5109 over 1.4127: 38 × sqrt(110/85 / 1.0695) = 41.8 A; over 1.35: 31.0 A.
    """
    assert largest_outlived_a("14 AWG", 125, 40.0, 38.0, FuseFamily.BLADE) == pytest.approx(31.0, abs=0.05)
    wire = warming("14 AWG", 125, 40.0, 38.0)
    assert settling_at_a(wire, 150.0) == pytest.approx(38 * math.sqrt(110 / 85 / 1.0695), rel=1e-4)


def test_a_slow_fuse_is_the_limit_of_a_thin_wire() -> None:
    """The large blade may take 60 s at twice its rating, the regular one 5 s."""
    slow, fast = (largest_outlived_a("18 AWG", 105, 40.0, 15.0, f) for f in (FuseFamily.MAXI_BLADE, FuseFamily.BLADE))
    assert slow < fast


def test_a_short_is_held_to_the_adiabatic_equation() -> None:
    """Every gate ends where a short is adiabatic, and all heat let through beyond is within k²·S²."""
    for family in FUSES:
        assert opening_times(family)[0][1] == UNOPENED_S
        assert opening_times(family)[-1][1] <= ADIABATIC_S * (1 + 1e-9)
        multiple, seconds = opening_times(family)[-1]
        rating_a = largest_outlived_a("18 AWG", 90, 30.0, 18.0, family)
        let_through = (multiple * rating_a) ** 2 * seconds
        assert let_through <= (143 * copper_area_mm2(conductor("18 AWG"))) ** 2  # k = 143: IEC, 30 to 160 °C


def test_a_wire_as_hot_as_its_class_stands_no_fuse() -> None:
    assert largest_outlived_a("14 AWG", 105, 105.0, 0.0, FuseFamily.BLADE) == 0.0


@pytest.mark.parametrize("family", FUSES)
def test_the_source_says_what_is_from_memory(family: FuseFamily) -> None:
    assert "partly from memory" in outlived_source(family)


RULES = st.builds(
    BuildRules,
    st.builds(
        SizingRules,
        series=st.sampled_from(Series),
        insulation_class_c=st.sampled_from((60, 90, 105, 125, 200)),
        fuse_family=st.sampled_from(FUSES),
        ampacity_by=st.sampled_from(AmpacityBy),
    ),
)


def burning(sized: SizedPlan) -> list[str]:
    """Wires of circuits without an error that are harmed before their fuse opens, at any of 90 overloads."""
    wrong = {finding.circuit for finding in sized.findings if finding.severity == "error"}
    fuses = {fuse.name: fuse for fuse in sized.fuses}
    class_c = sized.rules.sizing.insulation_class_c
    burnt = []
    for wire in sized.wires:
        fuse = fuses.get(wire.wire.protected_by or "")
        if fuse is None or wire.wire.circuit in wrong:
            continue
        place = (wire.conductor.label, class_c, max(wire.wire.path.ambient_c, 30.0), wire.ampacity_a)
        if not is_safe(*place, fuse.family, fuse.rating_a):
            burnt.append(wire.wire.name)
    return burnt


@cache
def is_safe(label: str, class_c: int, ambient_c: float, ampacity_a: float, family: FuseFamily, rating_a: float) -> bool:
    """True if the fuse opens before harm at each of 90 overloads."""
    place = warming(label, class_c, ambient_c, ampacity_a)
    start_c = min(class_c, place.settled_c(rating_a))
    return all(
        opens_s(latest(family), multiple) <= damage_s(place, class_c, multiple * rating_a, start_c) * SOFT
        for multiple in OVERLOADS
    )


@settings(deadline=None)
@given(woven_plans(), RULES)
def test_no_accepted_plan_has_a_wire_that_is_harmed_before_its_fuse_opens(plan: Plan, rules: BuildRules) -> None:
    assert burning(size_plan(plan, rules)) == []


def test_of_10000_random_circuits_none_accepted_burns() -> None:
    checked = 0
    for seed in range(100):
        rules = SizingRules(
            series=list(Series)[seed % 2],
            insulation_class_c=(90, 105, 125)[seed % 3],
            fuse_family=FUSES[seed % len(FUSES)],
        )
        sized = size_plan(made_plan(100, seed), BuildRules(rules))
        assert burning(sized) == [], seed
        checked += len(sized.circuits)
    assert checked == 10_000


def test_the_check_itself_finds_a_wire_that_burns() -> None:
    wire = warming("18 AWG", 105, 40.0, 15.0)
    assert any(
        opens_s(latest(FuseFamily.BLADE), multiple) > damage_s(wire, 105, multiple * 20.0, 105.0)
        for multiple in OVERLOADS
    )
    assert endured_c(105, UNOPENED_S) == 130.0


@pytest.mark.parametrize(
    ("branch_a", "feeder_a", "selective"), [(15.0, 60.0, True), (30.0, 60.0, True), (60.0, 60.0, False)]
)
def test_selectivity_of_blade_fuses_behind_a_large_one(branch_a: float, feeder_a: float, selective: bool) -> None:
    feeder = earliest(FuseFamily.MAXI_BLADE)
    assert feeder is not None
    found = first_unselective_a(latest(FuseFamily.BLADE), branch_a, feeder, feeder_a, 1000.0)
    assert (found is None) == selective


@given(
    st.sampled_from([f for f in FUSES if f is not FuseFamily.GLASS]),
    families,
    st.floats(1, 60),
    st.floats(1, 200),
    st.floats(50, 2000),
)
def test_where_it_is_selective_the_branch_opens_first(
    above: FuseFamily, below: FuseFamily, branch_a: float, feeder_a: float, greatest_a: float
) -> None:
    feeder = earliest(above)
    assert feeder is not None
    found = first_unselective_a(latest(below), branch_a, feeder, feeder_a, greatest_a)
    for multiple in OVERLOADS:
        current_a = multiple * branch_a
        if found is None and latest(below).multiples[0] * branch_a <= current_a <= greatest_a:
            assert latest(below).at(multiple) < feeder.at(current_a / feeder_a) * 1.1


@pytest.mark.parametrize("key", STARTERS)
def test_starters_hold_even_with_the_gates_that_were_read(key: str) -> None:
    """Gates of the regular blade are from memory; those of the large, slower one were read (DIN 72581-3 Form E)."""
    sized = size_plan(load_starter(key))
    fuses = {fuse.name: fuse for fuse in sized.fuses if fuse.family is FuseFamily.BLADE}
    class_c = sized.rules.sizing.insulation_class_c
    held = 0
    for wire in sized.wires:
        fuse = fuses.get(wire.wire.protected_by or "")
        if fuse:
            place = (wire.conductor.label, class_c, wire.wire.path.ambient_c, wire.ampacity_a)
            assert largest_outlived_a(*place, FuseFamily.MAXI_BLADE) >= fuse.rating_a, wire.wire.name
            held += 1
    assert held > 100
