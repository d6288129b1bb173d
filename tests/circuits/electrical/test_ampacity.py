"""Ampacity, its factors and short-time heating against published tables."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.electrical.ampacity import (
    adiabatic_k,
    ambient_factor,
    ampacity_a,
    bundle_factor,
    operating_c,
    short_time_area_mm2,
    short_time_k,
    table_ampacity_a,
)
from circuits.electrical.conductors import conductors
from circuits.electrical.limits import CRANKING_A
from circuits.errors import TableError
from circuits.rules import INSULATION_CLASSES_C, Series
from circuits.sized import Conductor
from tests.circuits.electrical.published import label, read_rows, rows, worked

TABLE_5 = [
    (label(row["awg"]), class_c, float(row[f"ampacity_A_{class_c}C_ambient30C"]))
    for row in read_rows("cfr33_183_425_table5")
    for class_c in INSULATION_CLASSES_C
]
SIZES = [size for series in Series for size in conductors(series)]
sizes = st.sampled_from(SIZES)
classes = st.sampled_from(INSULATION_CLASSES_C)
ambients = st.floats(-40.0, 220.0)
bundles = st.integers(1, 60)


@pytest.mark.parametrize(("size", "class_c", "expected"), TABLE_5)
def test_ampacity_alone_at_30_c_is_table_5(size: str, class_c: int, expected: float) -> None:
    """33 CFR 183.425 Table 5, all 105 figures."""
    assert ampacity_a(size, class_c, 30.0) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("row", read_rows("ambient_temperature_factors"))
def test_ambient_factor_is_that_of_published_tables(row: dict[str, str]) -> None:
    """Base 45 °C: IEC 60092-352 (number from memory); base 30 °C: Canadian code Table 5A. Rounded to 2 decimals.

    Factors above 1 are not granted.
    """
    reference_c = float(row["reference_ambient_C"])
    found = ambient_factor(float(row["conductor_limit_C"]), float(row["ambient_C"]), reference_c)
    assert found == pytest.approx(min(1.0, float(row["factor"])), abs=0.0075)


ENGINE_SPACE = [row for row in rows("cfr33_183_425_factors") if row["factor_set"] == "engine_space_50C"]


@pytest.mark.parametrize("row", ENGINE_SPACE, ids=lambda row: row["key"])
def test_engine_space_factors_of_33_cfr(row: dict[str, str]) -> None:
    """33 CFR 183.425 Table 5 note 1: 105 °C read, the rest from memory (plausibility); 200 °C is looser than ours."""
    class_c = int(row["key"].removesuffix("C"))
    if class_c == 200:
        assert ambient_factor(class_c, 50.0) < float(row["factor"])
    else:
        assert ambient_factor(class_c, 50.0) == pytest.approx(float(row["factor"]), abs=0.0075)


def test_bundle_factors_of_33_cfr() -> None:
    """33 CFR 183.425 Table 5 note 2: 3, 4-6, 7-24, 25 and more conductors."""
    expected = {1: 1.0, 2: 1.0, 3: 0.70, 4: 0.60, 6: 0.60, 7: 0.50, 24: 0.50, 25: 0.40, 80: 0.40}
    assert {count: bundle_factor(count) for count in expected} == expected


@pytest.mark.parametrize(
    ("identity", "size", "bundle"), [("WE075", "14 AWG", 5), ("WE077", "6 AWG", 3)], ids=["WE075", "WE077"]
)
def test_boat_cable_in_the_engine_space(identity: str, size: str, bundle: int) -> None:
    """Boat cable tables, 105 °C, inside engine spaces: 0.85 × 0.60 and 0.85 × 0.70.

    1 %: they round 0.856 to 0.85.
    """
    assert ampacity_a(size, 105, 50.0, bundle) == pytest.approx(float(worked(identity)["expected_output"]), rel=0.01)


@pytest.mark.parametrize(("identity", "size", "class_c"), [("WE071", "14 AWG", 105), ("WE073", "10 AWG", 90)])
def test_law_would_allow_a_larger_fuse_than_we_do(identity: str, size: str, class_c: int) -> None:
    """33 CFR 183.455(c)(1): at most 150 % of Table 5 below 50 V. Ours is 100 %."""
    allowed_a = float(worked(identity)["expected_output"])
    assert 1.5 * table_ampacity_a(size, class_c) == pytest.approx(allowed_a)


@pytest.mark.parametrize("row", read_rows("faa_ac4313_table11_3_protection"), ids=lambda row: row["awg"])
def test_a_wire_carries_the_fuse_that_the_faa_gives_it(row: dict[str, str]) -> None:
    """FAA AC 43.13-1B Table 11-3, fuse column: a second authority on which fuse protects which wire."""
    assert table_ampacity_a(label(row["awg"]), 105) >= float(row["fuse_A"])


@pytest.mark.parametrize("class_c", INSULATION_CLASSES_C)
@pytest.mark.parametrize("series", Series)
def test_thicker_never_carries_less(series: Series, class_c: int) -> None:
    found = [table_ampacity_a(size.label, class_c) for size in conductors(series)]
    assert found == sorted(found)


@pytest.mark.parametrize("class_c", INSULATION_CLASSES_C)
def test_a_size_between_lies_between_its_neighbours_in_the_table(class_c: int) -> None:
    """2.5 mm² of class 5 has a resistance between 14 and 12 AWG, 25 mm² between 4 and 3 AWG."""
    for size, thinner, thicker in (("2.5 mm²", "14 AWG", "12 AWG"), ("25 mm²", "4 AWG", "3 AWG")):
        low, high = table_ampacity_a(thinner, class_c), table_ampacity_a(thicker, class_c)
        assert low <= table_ampacity_a(size, class_c) <= high


def test_between_two_sizes_logarithms_are_proportional() -> None:
    """2.5 mm², 105 °C, by hand: copper 17.2414/7.98 = 2.1606 mm² between 14 AWG (1.876) and 12 AWG (2.956)."""
    share = math.log(2.1606 / 1.876) / math.log(2.956 / 1.876)
    assert table_ampacity_a("2.5 mm²", 105) == pytest.approx(35 * (45 / 35) ** share, rel=1e-3)


def test_below_the_table_current_density_stays() -> None:
    """20 AWG by hand: 0.893 × 0.5176 mm² against the 0.779 mm² of 18 AWG and its 20 A at 105 °C."""
    assert table_ampacity_a("20 AWG", 105) == pytest.approx(20 * 0.893 * 0.5176 / 0.779, rel=1e-3)


def test_above_the_table_nothing_is_gained() -> None:
    assert table_ampacity_a("120 mm²", 105) == table_ampacity_a("4/0 AWG", 105)


@given(sizes, classes, ambients, ambients, bundles, bundles)
def test_hotter_or_bundled_never_carries_more(
    size: Conductor, class_c: int, ambient_c: float, other_c: float, bundle: int, other: int
) -> None:
    cool, hot = sorted((ambient_c, other_c))
    few, many = sorted((bundle, other))
    assert ampacity_a(size.label, class_c, hot, many) <= ampacity_a(size.label, class_c, cool, few)


@given(classes, ambients)
def test_ambient_at_the_class_or_above_leaves_nothing(class_c: int, above_c: float) -> None:
    assert ampacity_a("4/0 AWG", class_c, class_c + abs(above_c)) == 0.0


def test_unknown_class_is_refused() -> None:
    with pytest.raises(TableError, match="insulation class 70 °C"):
        ampacity_a("14 AWG", 70, 30.0)
    with pytest.raises(TableError, match="insulation class 70 °C"):
        short_time_k(70)


@given(st.floats(0, 500), st.floats(0, 500), classes, ambients, ambients)
def test_copper_gets_hotter_with_current_and_ambient(
    current_a: float, more_a: float, class_c: int, ambient_c: float, other_c: float
) -> None:
    less_a, more_a = sorted((current_a, more_a))
    cool, hot = sorted((ambient_c, other_c))

    def copper_c(amps: float, at_c: float) -> float:
        return operating_c(amps, ampacity_a("10 AWG", class_c, at_c), class_c, at_c)

    assert copper_c(less_a, cool) <= copper_c(more_a, cool) + 1e-9
    assert copper_c(more_a, cool) <= copper_c(more_a, hot) + 1e-9


def test_copper_reaches_its_class_at_its_ampacity() -> None:
    ampacity = ampacity_a("10 AWG", 105, 60.0)
    assert operating_c(ampacity, ampacity, 105, 60.0) == 105.0
    assert operating_c(0.0, ampacity, 105, 60.0) == 60.0
    assert operating_c(ampacity / 2, ampacity, 105, 60.0) == pytest.approx(60 + 45 / 4)


@pytest.mark.parametrize("row", read_rows("adiabatic_k_factors"), ids=lambda row: row["insulation"])
def test_adiabatic_factor_is_that_of_iec_60364_5_54(row: dict[str, str]) -> None:
    """IEC 60364-5-54 / BS 7671, last six rows NEN 1010: copper, rounded to whole numbers."""
    found = adiabatic_k(float(row["initial_C"]), float(row["final_C"]))
    assert found == pytest.approx(float(row["k_copper_A_s05_per_mm2"]), abs=1.0)


@pytest.mark.parametrize("identity", ["WE087", "WE089", "WE091", "WE093"])
def test_adiabatic_factor_from_its_constants(identity: str) -> None:
    """Worked examples: k from beta 234.5 °C, Qc 3.45e-3 J/(K·mm³), rho 17.241e-6 ohm·mm."""
    row = worked(identity)
    given_ = dict(part.split("=") for part in row["inputs"].split(";") if "=" in part)
    found = adiabatic_k(float(given_["theta_i"]), float(given_["theta_f"]))
    assert found == pytest.approx(float(row["expected_output"]), rel=0.007)


@pytest.mark.parametrize("identity", ["WE079", "WE081", "WE083", "WE085"])
def test_short_time_current_of_cable_tables(identity: str) -> None:
    """Worked examples of a cable catalogue: 1 s, k = 143 (XLPE 90 °C to 250 °C), I = k·S/sqrt(t)."""
    row = worked(identity)
    given_ = dict(part.split("=") for part in row["inputs"].split(";"))
    area_mm2 = float(given_["area_mm2"])
    per_mm2 = adiabatic_k(90, 250) / math.sqrt(float(given_["t_s"]))
    tolerance = 0.025 if area_mm2 < 2 else 0.006
    assert area_mm2 * per_mm2 == pytest.approx(float(row["expected_output"]), rel=tolerance)


@given(classes, st.floats(CRANKING_A, 2000), st.floats(1, 60))
def test_short_time_area_grows_with_current_and_time(class_c: int, current_a: float, seconds: float) -> None:
    area_mm2 = short_time_area_mm2(current_a, class_c, seconds)
    assert short_time_area_mm2(2 * current_a, class_c, seconds) == pytest.approx(2 * area_mm2)
    assert short_time_area_mm2(current_a, class_c, 4 * seconds) == pytest.approx(2 * area_mm2)
