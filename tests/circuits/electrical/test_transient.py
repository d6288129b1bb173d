"""Warming up in time, and what insulation bears, against the adiabatic equation and published factors."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from circuits.electrical.ampacity import adiabatic_k, short_time_c
from circuits.electrical.carrying import carrying
from circuits.electrical.conductors import COPPER_PER_K, conductor, conductors, copper_area_mm2
from circuits.electrical.transient import damage_s, endured_c, warming
from circuits.errors import TableError
from circuits.rules import INSULATION_CLASSES_C, Series
from tests.circuits.electrical.published import read_rows

LABELS = [size.label for series in Series for size in conductors(series)]
labels = st.sampled_from(LABELS)
classes = st.sampled_from(INSULATION_CLASSES_C)


@pytest.mark.parametrize("row", read_rows("adiabatic_k_factors"), ids=lambda row: row["insulation"])
def test_the_fast_end_is_the_adiabatic_equation_with_the_published_k(row: dict[str, str]) -> None:
    """IEC 60364-5-54 / BS 7671 and NEN 1010: t = k²·S²/I² for copper, at 100 times the ampacity; k printed whole."""
    initial_c, final_c = float(row["initial_C"]), float(row["final_C"])
    size = conductor("6 AWG")
    wire = warming(size.label, 125, 30.0, 120.0)
    current_a = 12000.0
    seconds = wire.seconds_to(current_a, initial_c, final_c)
    k = math.sqrt(seconds) * current_a / copper_area_mm2(size)
    assert k == pytest.approx(float(row["k_copper_A_s05_per_mm2"]), rel=0.01)


@given(labels, classes, st.floats(-20, 100), st.floats(3, 50))
def test_loss_only_ever_gives_time(label: str, class_c: int, ambient_c: float, multiple: float) -> None:
    """The lumped wire is never faster than k²·S²/I²."""
    carried = carrying(label, class_c, ambient_c).ampacity_a
    if not carried:
        return
    current_a = multiple * carried
    found = warming(label, class_c, ambient_c, carried).seconds_to(current_a, class_c, short_time_c(class_c))
    adiabatic = (adiabatic_k(class_c, short_time_c(class_c)) * copper_area_mm2(conductor(label)) / current_a) ** 2
    assert found >= adiabatic * (1 - 1e-3)


@pytest.mark.parametrize("multiple", [0.5, 1.0, 1.35, 2.0, 6.0])
def test_closed_form_is_the_differential_equation(multiple: float) -> None:
    """Against a numerical integration of the same balance."""
    wire = warming("12 AWG", 105, 40.0, 40.0)

    def slope(_: float, copper_c: list[float]) -> list[float]:
        made = (multiple * 40.0) ** 2 * wire.r20_ohm_per_m * (1 + COPPER_PER_K * (copper_c[0] - 20))
        return [(made - wire.loss_w_per_k_m * (copper_c[0] - 40.0)) / wire.heat_j_per_k_m]

    solved = solve_ivp(slope, (0, 4.0), [70.0], rtol=1e-10, atol=1e-9)
    assert wire.after_c(multiple * 40.0, 4.0, 70.0) == pytest.approx(solved.y[0][-1], abs=1e-5)


@given(labels, classes, st.floats(-20, 50), st.floats(1.05, 20.0))
def test_time_and_temperature_are_inverse(label: str, class_c: int, ambient_c: float, multiple: float) -> None:
    carried = carrying(label, class_c, ambient_c).ampacity_a
    wire = warming(label, class_c, ambient_c, carried)
    end_c = class_c + 2.0
    seconds = wire.seconds_to(multiple * carried, class_c, end_c)
    if math.isfinite(seconds):
        assert wire.after_c(multiple * carried, seconds, class_c) == pytest.approx(end_c, abs=1e-3)


@given(labels, classes, st.floats(-20, 50))
def test_the_ampacity_settles_at_the_class(label: str, class_c: int, ambient_c: float) -> None:
    carried = carrying(label, class_c, ambient_c).ampacity_a
    wire = warming(label, class_c, ambient_c, carried)
    assert wire.settled_c(carried) == pytest.approx(class_c)
    assert wire.after_c(carried, 1e6, ambient_c) == pytest.approx(class_c)
    assert damage_s(wire, class_c, carried, float(class_c)) == math.inf


@given(labels, classes, st.floats(-20, 50), st.floats(1.2, 30), st.floats(1.0, 2.0))
def test_more_current_harms_sooner(label: str, class_c: int, ambient_c: float, multiple: float, more: float) -> None:
    carried = carrying(label, class_c, ambient_c).ampacity_a
    wire = warming(label, class_c, ambient_c, carried)
    slow, fast = (damage_s(wire, class_c, multiple * carried * by, float(class_c)) for by in (1.0, more))
    assert fast <= slow * (1 + 1e-6)


@given(labels, classes, st.floats(-20, 50), st.floats(1.2, 30))
def test_at_the_time_of_harm_it_is_as_hot_as_is_borne_for_that_time(
    label: str, class_c: int, ambient_c: float, multiple: float
) -> None:
    carried = carrying(label, class_c, ambient_c).ampacity_a
    wire = warming(label, class_c, ambient_c, carried)
    seconds = damage_s(wire, class_c, multiple * carried, float(class_c))
    if math.isfinite(seconds):
        hot_c = wire.after_c(multiple * carried, seconds, float(class_c))
        assert hot_c == pytest.approx(endured_c(class_c, seconds), abs=0.5)


@pytest.mark.parametrize("class_c", INSULATION_CLASSES_C)
def test_longer_is_never_borne_hotter(class_c: int) -> None:
    """IEC 60364-5-54 up to 5 s; ageing tests of ISO 6722-1 (from memory) beyond."""
    borne = [endured_c(class_c, 10**power) for power in range(-3, 9)]
    assert borne == sorted(borne, reverse=True)
    assert (borne[0], borne[-1]) == (short_time_c(class_c), class_c)
    hours = {6: 50, 240: 25}
    for count, above in hours.items():
        assert endured_c(class_c, count * 3600.0) == pytest.approx(class_c + above)


def test_unknown_class_is_refused() -> None:
    with pytest.raises(TableError, match="no short-time limit for insulation class 99"):
        endured_c(99, 1.0)
