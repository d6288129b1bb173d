"""Conductor data against the published tables they come from, and against others as a check."""

from __future__ import annotations

from itertools import pairwise

import pytest

from circuits.electrical.conductors import (
    COPPER_OHM_MM2_PER_M,
    conductor,
    conductors,
    copper_area_mm2,
    resistance_ohm,
    stocked_conductors,
)
from circuits.electrical.tables import read_rows as table
from circuits.errors import TableError
from circuits.rules import Series, SizingRules
from circuits.sized import Conductor
from tests.circuits.electrical.published import CIRCMIL_MM2, KILOFEET_M, label, of_resistance, read_rows, rows, worked

AWG = [row for row in rows("awg_astm_b258") if label(row["awg"]) in {size.label for size in conductors(Series.AWG)}]
IEC = [row for row in read_rows("iec60228_max_resistance") if float(row["area_mm2"]) <= 120]
ISO_6722 = [row for row in rows("iso6722_conductor_resistance_memory") if float(row["area_mm2"]) >= 0.35]
SAE = read_rows("conductor_area_awg_vs_sae")
NEC = read_rows("nec_ch9_table8_dc_resistance_75C")


@pytest.mark.parametrize("row", AWG, ids=lambda row: row["awg"])
def test_awg_area_is_that_of_astm_b258(row: dict[str, str]) -> None:
    """ASTM B258: formula, and circular mils as read (they agree within 0.12 %)."""
    size = conductor(label(row["awg"]))
    assert size.area_mm2 == pytest.approx(float(row["area_mm2_formula"]), rel=1e-4)
    assert size.area_mm2 == pytest.approx(float(row["area_circmil_read"]) * CIRCMIL_MM2, rel=2e-3)


@pytest.mark.parametrize("identity", ["WE095", "WE097"])
def test_astm_b258_formula(identity: str) -> None:
    """Worked examples of d = 0.005 in × 92^((36 - n)/39): 10 AWG 2.588 mm, 24 AWG 0.2047 mm²."""
    row = worked(identity)
    gauge = {"WE095": 10, "WE097": 24}[identity]
    diameter_mm = 0.127 * 92 ** ((36 - gauge) / 39)
    found = diameter_mm if row["unit"] == "mm" else 3.14159265 / 4 * diameter_mm**2
    assert found == pytest.approx(float(row["expected_output"]), rel=1e-3)


@pytest.mark.parametrize("row", SAE, ids=lambda row: row["gauge"])
def test_awg_resistance_is_copper_over_the_sae_minimum_area(row: dict[str, str]) -> None:
    """Conductor areas AWG and SAE (marine table, two copies agree)."""
    size = conductor(label(row["gauge"]))
    assert copper_area_mm2(size) == pytest.approx(float(row["sae_min_area_circmil"]) * CIRCMIL_MM2, rel=1e-3)


@pytest.mark.parametrize("row", AWG, ids=lambda row: row["awg"])
def test_awg_resistance_errs_on_the_safe_side(row: dict[str, str]) -> None:
    """At least that of solid copper of the full ASTM B258 area, at most 13 % more."""
    size = conductor(label(row["awg"]))
    solid = float(row["resistance_mohm_per_m_20C_IACS_computed"]) / 1000
    assert solid <= size.r20_ohm_per_m <= 1.13 * solid


@pytest.mark.parametrize("row", IEC, ids=lambda row: row["area_mm2"])
def test_metric_resistance_is_the_greatest_of_iec_60228_class_5(row: dict[str, str]) -> None:
    size = conductor(f"{row['area_mm2']} mm²")
    assert size.r20_ohm_per_m * 1000 == pytest.approx(float(row["class5_plain_mohm_per_m_20C"]), rel=1e-6)


@pytest.mark.parametrize("row", ISO_6722, ids=lambda row: row["area_mm2"])
def test_metric_resistance_is_plausible_beside_iso_6722(row: dict[str, str]) -> None:
    """ISO 6722-1 greatest resistance, from memory: a check of plausibility within 10 %, no more."""
    size = next(size for size in conductors(Series.MM2) if size.area_mm2 == float(row["area_mm2"]))
    assert size.r20_ohm_per_m * 1000 == pytest.approx(float(row["max_resistance_mohm_per_m_20C_bare_cu"]), rel=0.10)


@pytest.mark.parametrize("row", NEC, ids=lambda row: f"{row['awg']} {row['construction']}")
def test_resistance_at_75_c_is_that_of_nec_chapter_9_table_8(row: dict[str, str]) -> None:
    """NEC chapter 9 Table 8, uncoated copper, 75 °C: solid within 1 %, stranded (2 % lay) within 2.5 %."""
    area_mm2 = float(row["area_circmil"]) * CIRCMIL_MM2
    lay = 1.02 if row["construction"] == "stranded" else 1.0
    size = of_resistance(row["awg"], COPPER_OHM_MM2_PER_M * lay / area_mm2)
    expected = float(row["copper_uncoated_ohm_per_kft_75C"])
    tolerance = 0.01 if row["construction"] == "solid" else 0.025
    assert resistance_ohm(size, KILOFEET_M, 75.0) == pytest.approx(expected, rel=tolerance)


@pytest.mark.parametrize("row", [row for row in NEC if row["construction"] == "stranded"], ids=lambda row: row["awg"])
def test_our_awg_is_never_better_than_nec_stranded(row: dict[str, str]) -> None:
    """NEC chapter 9 Table 8, stranded uncoated copper at 75 °C (4/0: the SAE area is its AWG area less 2 %)."""
    found = resistance_ohm(conductor(label(row["awg"])), KILOFEET_M, 75.0)
    assert found >= 0.995 * float(row["copper_uncoated_ohm_per_kft_75C"])


def test_resistance_of_a_length() -> None:
    """Worked example: 6.505 ohm/kft over 400 ft is 2.602 ohm."""
    size = of_resistance("18", 6.505 / KILOFEET_M)
    assert resistance_ohm(size, 400 * 0.3048, 20.0) == pytest.approx(float(worked("WE069")["expected_output"]))


@pytest.mark.parametrize("series", Series)
def test_thicker_has_less_resistance_and_a_greater_outer_diameter(series: Series) -> None:
    sizes = conductors(series)
    for thinner, thicker in pairwise(sizes):
        assert thinner.area_mm2 < thicker.area_mm2
        assert thinner.r20_ohm_per_m > thicker.r20_ohm_per_m
        assert thinner.outer_mm < thicker.outer_mm


@pytest.mark.parametrize("series", Series)
def test_outer_diameter_leaves_room_for_copper_and_insulation(series: Series) -> None:
    for size in conductors(series):
        bare_mm = (4 / 3.14159265 * size.area_mm2) ** 0.5
        assert size.outer_mm > 1.1 * bare_mm


def test_every_row_has_its_sources() -> None:
    assert all(row["source"] and row["outer_source"] for row in table("conductors"))


def test_unknown_size_names_what_is_known() -> None:
    with pytest.raises(TableError, match=r"'15 AWG'; known: 22 AWG to 4/0 AWG and 0.35 mm² to 120 mm²"):
        conductor("15 AWG")


def test_stock_of_both_series_is_ordered_by_copper() -> None:
    """35 mm² of class 5 has more resistance than 2 AWG, though its nominal area is greater."""
    stock = stocked_conductors(SizingRules(sizes=("2 AWG", "35 mm²", "0.5 mm²", "20 AWG")))
    assert [size.label for size in stock] == ["0.5 mm²", "20 AWG", "35 mm²", "2 AWG"]
    resistances = [size.r20_ohm_per_m for size in stock]
    assert resistances == sorted(resistances, reverse=True)


def test_default_stock_is_held() -> None:
    for series in Series:
        stock = stocked_conductors(SizingRules(series=series))
        assert all(isinstance(size, Conductor) for size in stock)
        assert len(stock) >= 10
