"""Quantities at the border: what is read, what is refused and how it says so, and figures for people."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits import units
from circuits.errors import QuantityError
from circuits.wire_sizes import parse_size

READABLE: list[tuple[Callable[[str], float], str, float]] = [
    (units.parse_length_m, "2.5", 2.5),
    (units.parse_length_m, "2,5", 2.5),
    (units.parse_length_m, " 2.5 m ", 2.5),
    (units.parse_length_m, "40 cm", 0.4),
    (units.parse_length_m, "40cm", 0.4),
    (units.parse_length_m, "350 mm", 0.35),
    (units.parse_length_m, "6 ft", 1.8288),  # the foot is 0.3048 m exactly (international foot, 1959)
    (units.parse_length_m, "6'", 1.8288),
    (units.parse_length_m, "6’", 1.8288),
    (units.parse_length_m, "18 in", 0.4572),
    (units.parse_length_m, '18"', 0.4572),
    (units.parse_length_m, "5 ft 6 in", 1.6764),
    (units.parse_length_m, "5'6\"", 1.6764),
    (units.parse_length_m, "2\u00a0m", 2.0),  # no-break space, as word processors write it
    (units.parse_length_m, "２．５", 2.5),
    (units.parse_length_m, "1 yd", 0.9144),  # beyond the table, by way of pint
    (units.parse_length_m, "1 yards", 0.9144),
    (units.parse_length_m, "1e-1", 0.1),
    (units.parse_length_m, ".5", 0.5),
    (units.parse_length_m, "0,380", 0.38),
    (units.parse_diameter_mm, "25", 25.0),
    (units.parse_diameter_mm, "1 in", 25.4),
    (units.parse_diameter_mm, "0.03 m", 30.0),
    (units.parse_current_a, "13.4", 13.4),
    (units.parse_current_a, "13,4 A", 13.4),
    (units.parse_current_a, "380 mA", 0.38),
    (units.parse_current_a, "20 µA", 20e-6),
    (units.parse_current_a, "20 μA", 20e-6),
    (units.parse_current_a, "1.2 kA", 1200.0),
    (units.parse_current_a, "5 amps", 5.0),
    (units.parse_current_a, "−5", -5.0),
    (units.parse_power_w, "55 W", 55.0),
    (units.parse_power_w, "1.2 kW", 1200.0),
    (units.parse_voltage_v, "12.6 V", 12.6),
    (units.parse_voltage_v, "380 mV", 0.38),
    (units.parse_resistance_ohm, "85 Ω", 85.0),
    (units.parse_resistance_ohm, "85 \u2126", 85.0),  # the ohm sign, which is not the letter omega
    (units.parse_resistance_ohm, "5 mohm", 0.005),
    (units.parse_resistance_ohm, "5 mΩ", 0.005),
    (units.parse_resistance_ohm, "1.2 kohm", 1200.0),
    (units.parse_milliohm_ohm, "5", 0.005),
    (units.parse_milliohm_ohm, "5 mohm", 0.005),
    (units.parse_milliohm_ohm, "0.005 ohm", 0.005),
    (units.parse_capacity_ah, "60 Ah", 60.0),
    (units.parse_capacity_ah, "500 mAh", 0.5),
    (units.parse_percent, "3 %", 3.0),
    (units.parse_temperature_c, "85", 85.0),
    (units.parse_temperature_c, "85 °C", 85.0),
    (units.parse_temperature_c, "212 °F", 100.0),
    (units.parse_temperature_c, "-40 F", -40.0),
    (units.parse_temperature_c, "273.15 K", 0.0),
]

CURRENT = "a current such as 5 or 380 mA"
LENGTH = "a length such as 2.5, 40 cm or 6 ft"
UNREADABLE: list[tuple[Callable[[str], float], str, str]] = [
    (units.parse_current_a, "", CURRENT),
    (units.parse_current_a, "   ", CURRENT),
    (units.parse_current_a, "lots", CURRENT),
    (units.parse_current_a, "5 ft", CURRENT),
    (units.parse_current_a, "5 W", CURRENT),
    (units.parse_current_a, "nan", CURRENT),
    (units.parse_current_a, "inf", CURRENT),
    (units.parse_current_a, "-inf", CURRENT),
    (units.parse_current_a, "1e999", CURRENT),
    (units.parse_current_a, "5 A A", CURRENT),
    (units.parse_current_a, "5 A * 2", CURRENT),
    (units.parse_current_a, "2**9999999", CURRENT),
    (units.parse_current_a, "5 __import__", CURRENT),
    (units.parse_current_a, "٥", CURRENT),
    (units.parse_current_a, "1,500", f"{CURRENT}; is it 1500 or 1.500? Write it without the comma"),
    (units.parse_power_w, "1,200 W", "a power such as 55 or 1.2 kW; is it 1200 or 1.200? Write it without the comma"),
    (units.parse_length_m, "5 A", LENGTH),
    (units.parse_length_m, "1 500", LENGTH),
    (units.parse_length_m, "1.2.3", LENGTH),
    (units.parse_temperature_c, "40 m", "a temperature such as 40, 85 °C or 104 °F"),
    (units.parse_resistance_ohm, "5 A", "a resistance such as 0.5, 85 ohm or 5 mohm"),
    (units.parse_capacity_ah, "60 A", "a capacity such as 60 or 60 Ah"),
    (units.parse_percent, "3 V", "a percentage such as 3 or 3 %"),
]


@pytest.mark.parametrize(("parse", "text", "value"), READABLE)
def test_a_quantity_with_or_without_unit_is_read(parse: Callable[[str], float], text: str, value: float) -> None:
    assert parse(text) == pytest.approx(value, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(("parse", "text", "expected"), UNREADABLE)
def test_what_is_no_quantity_of_the_kind_is_refused_by_name(
    parse: Callable[[str], float], text: str, expected: str
) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text)
    assert str(caught.value) == f"found {text!r}, expected {expected}"
    assert caught.value.expected == expected


def test_milli_is_read_to_the_nearest_float() -> None:
    """0.1 × 3 is not 0.3 in floats: the point is moved instead, so that 300 mA is 0.3 A exactly."""
    assert [units.parse_current_a(f"{number} mA") for number in range(1, 1000)] == [
        float(f"0.{number:03d}") for number in range(1, 1000)
    ]


def test_long_text_is_refused_and_quoted_in_part() -> None:
    with pytest.raises(QuantityError) as caught:
        units.parse_length_m("9" * 10_000)
    assert len(str(caught.value)) < 200


SIZES = [
    ("14awg", "14 AWG"),
    ("14 AWG", "14 AWG"),
    ("14 ga", "14 AWG"),
    ("14 gauge", "14 AWG"),
    ("# 14 AWG", "14 AWG"),
    ("08 AWG", "8 AWG"),
    ("0 AWG", "1/0 AWG"),
    ("1/0 AWG", "1/0 AWG"),
    ("00 AWG", "2/0 AWG"),
    ("0000 awg", "4/0 AWG"),
    ("4 / 0 AWG", "4/0 AWG"),
    ("2.5 mm2", "2.5 mm²"),
    ("2,5mm²", "2.5 mm²"),
    ("2.50 mm^2", "2.5 mm²"),
    ("16 sq mm", "16 mm²"),
    ("10 mm2", "10 mm²"),
    (".75 mm2", "0.75 mm²"),
]


@pytest.mark.parametrize(("text", "label"), SIZES)
def test_a_wire_size_has_one_label(text: str, label: str) -> None:
    assert parse_size(text) == label


@pytest.mark.parametrize(
    "text", ["", "14", "2.5", "41 AWG", "5/0 AWG", "00000 AWG", "0 mm2", "-1 mm2", "14 A", "x" * 99]
)
def test_what_is_no_wire_size_is_refused(text: str) -> None:
    with pytest.raises(QuantityError, match=r"expected a wire size such as 14 AWG, 1/0 AWG or 2\.5 mm²"):
        parse_size(text)


@given(st.text(max_size=40))
def test_any_text_is_a_size_or_refused(text: str) -> None:
    try:
        label = parse_size(text)
    except QuantityError:
        return
    assert parse_size(label) == label


@pytest.mark.parametrize("parse", [units.parse_length_m, units.parse_current_a, units.parse_temperature_c])
@given(text=st.text(max_size=40))
def test_any_text_is_a_quantity_or_refused(parse: Callable[[str], float], text: str) -> None:
    try:
        value = parse(text)
    except QuantityError:
        return
    assert abs(value) < float("inf")


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_exact_digits_read_back_as_the_same_float(value: float) -> None:
    assert float(units.exact(value)) == value


@given(st.floats(1e-6, 1e3))
def test_milliohms_read_back_as_the_same_resistance(value: float) -> None:
    assert units.parse_milliohm_ohm(units.exact(value, 3)) == value


FIGURES: list[tuple[Callable[[float], str], float, str]] = [
    (units.format_current, 0.0, "0 A"),
    (units.format_current, 0.00002, "0.02 mA"),
    (units.format_current, 0.38, "380 mA"),
    (units.format_current, 0.9996, "1 A"),
    (units.format_current, 4.5833, "4.58 A"),
    (units.format_current, 13.400000000000002, "13.4 A"),
    (units.format_current, -13.4, "-13.4 A"),
    (units.format_current, 150.0, "150 A"),
    (units.format_voltage, 12.6, "12.60 V"),
    (units.format_voltage, 0.252, "252 mV"),
    (units.format_length, 2.3, "2.30 m"),
    (units.format_length, 0.004, "4 mm"),
    (units.format_length, 123.456, "123.5 m"),
    (units.format_percent, 2.1, "2.1 %"),
    (units.format_percent, 2.0999999, "2.1 %"),
    (units.format_power, 1200.0, "1.2 kW"),
    (units.format_power, 5.0, "5 W"),
    (units.format_resistance, 0.005, "5 mΩ"),
    (units.format_resistance, 1200.0, "1.2 kΩ"),
    (units.format_temperature, 84.6, "85 °C"),
    (units.format_capacity, 72.0, "72 Ah"),
    (units.format_area, 2.081, "2.08 mm²"),
    (units.format_diameter, 12.34, "12.3 mm"),
]


@pytest.mark.parametrize(("shown", "value", "text"), FIGURES)
def test_figures_have_sensible_digits_and_a_unit(shown: Callable[[float], str], value: float, text: str) -> None:
    assert shown(value) == text


def test_the_trades_units_are_read_without_building_the_registry() -> None:
    """A grid of a thousand numbers is read on each request; the registry alone takes half a second to build."""
    code = (
        "import sys; from circuits import units as u; from circuits.wire_sizes import parse_size\n"
        "for text in ('2.5', '6 ft', '40 cm'): u.parse_length_m(text)\n"
        "for text in ('5', '380 mA', '13,4 A'): u.parse_current_a(text)\n"
        "u.parse_temperature_c('104 °F'); u.parse_milliohm_ohm('5'); parse_size('14 AWG')\n"
        "sys.exit('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
