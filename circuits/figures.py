"""Figures for people: sensible digits, always with the unit. Reached through ``circuits.units``."""

from __future__ import annotations

import math
from decimal import Decimal


def plain(value: Decimal) -> str:
    """Shortest digits without an exponent: ``2.50`` as ``2.5``, ``1E+1`` as ``10``."""
    digits = f"{value:f}"
    return digits.rstrip("0").rstrip(".") if "." in digits else digits


def exact(value: float, shift: int = 0) -> str:
    """Text that reads back as exactly this float, times ``10**shift`` by moving the point.

    Examples
    --------
    >>> exact(13.4), exact(0.005, 3), exact(60.0)
    ('13.4', '5', '60')
    """
    decimal = Decimal(repr(value)).scaleb(shift)
    return plain(decimal) if -7 < decimal.adjusted() < 16 else str(decimal)


def significant(value: float, digits: int = 3) -> str:
    """Number to so many significant digits, without trailing zeros or an exponent.

    Examples
    --------
    >>> significant(13.4), significant(1234.5), significant(15.0), significant(0.02349)
    ('13.4', '1234', '15', '0.0235')
    """
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    text = plain(Decimal(f"{value:.{decimals}f}"))
    return "0" if text == "-0" else text


def _scaled(value: float, unit: str, small: str) -> str:
    """In ``unit`` from 1 up, in the thousandth ``small`` below."""
    if value == 0 or abs(value) >= 0.9995:
        return f"{significant(value)} {unit}"
    return f"{significant(value * 1e3)} {small}"


def format_current(value_a: float) -> str:
    """Current for people.

    Examples
    --------
    >>> format_current(13.4), format_current(0.38), format_current(15.0)
    ('13.4 A', '380 mA', '15 A')
    """
    return _scaled(value_a, "A", "mA")


def format_voltage(value_v: float) -> str:
    """Voltage for people: two decimals, as a meter shows it; millivolts below 1 V.

    Examples
    --------
    >>> format_voltage(12.6), format_voltage(0.252)
    ('12.60 V', '252 mV')
    """
    return f"{value_v:.2f} V" if abs(value_v) >= 0.9995 else _scaled(value_v, "V", "mV")


def format_length(value_m: float) -> str:
    """Length for people, to the centimetre; in millimetres where that would show nothing.

    Examples
    --------
    >>> format_length(2.3), format_length(123.456), format_length(0.004)
    ('2.30 m', '123.5 m', '4 mm')
    """
    if 0 < abs(value_m) < 0.00995:
        return f"{significant(value_m * 1e3)} mm"
    return f"{value_m:.{2 if abs(value_m) < 100 else 1}f} m"


def format_percent(value_percent: float) -> str:
    """Percentage for people, to a tenth.

    Examples
    --------
    >>> format_percent(2.1), format_percent(3.0)
    ('2.1 %', '3.0 %')
    """
    return f"{value_percent:.1f} %"


def format_power(value_w: float) -> str:
    """Power for people.

    Examples
    --------
    >>> format_power(55.0), format_power(1200.0)
    ('55 W', '1.2 kW')
    """
    return f"{significant(value_w / 1e3)} kW" if abs(value_w) >= 999.5 else f"{significant(value_w)} W"


def format_resistance(value_ohm: float) -> str:
    """Resistance for people.

    Examples
    --------
    >>> format_resistance(0.005), format_resistance(85.0), format_resistance(1200.0)
    ('5 mΩ', '85 Ω', '1.2 kΩ')
    """
    return f"{significant(value_ohm / 1e3)} kΩ" if abs(value_ohm) >= 999.5 else _scaled(value_ohm, "Ω", "mΩ")


def format_temperature(value_c: float) -> str:
    """Temperature for people, to the degree.

    Examples
    --------
    >>> format_temperature(85.0)
    '85 °C'
    """
    return f"{value_c:.0f} °C"


def format_capacity(value_ah: float) -> str:
    """Battery capacity for people.

    Examples
    --------
    >>> format_capacity(60.0)
    '60 Ah'
    """
    return f"{significant(value_ah)} Ah"


def format_area(value_mm2: float) -> str:
    """Conductor area for people.

    Examples
    --------
    >>> format_area(2.5), format_area(2.081)
    ('2.5 mm²', '2.08 mm²')
    """
    return f"{significant(value_mm2)} mm²"


def format_diameter(value_mm: float) -> str:
    """Diameter for people.

    Examples
    --------
    >>> format_diameter(12.34)
    '12.3 mm'
    """
    return f"{significant(value_mm)} mm"


def format_mass(value_kg: float) -> str:
    """Mass for people.

    Examples
    --------
    >>> format_mass(1.2468), format_mass(0.2348)
    ('1.25 kg', '235 g')
    """
    return _scaled(value_kg, "kg", "g")
