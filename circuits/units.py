"""Where numbers cross the border: text with a unit in, SI floats out, and back again for people.

Inside the house every number is an SI float with its unit in the name (``length_m``,
``area_mm2`` being the one customary exception, as conductors are sold by mm²). Forms, sheets
and readings speak feet, inches, °F, mA and so on; this module is the only place that knows them.

The units of the trade are a small table, so that a sheet of a thousand numbers is read in
milliseconds; any other unit goes to ``pint``, whose registry is built on first need.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache
from typing import Any

from circuits.errors import QuantityError
from circuits.figures import exact as exact
from circuits.figures import format_area as format_area
from circuits.figures import format_capacity as format_capacity
from circuits.figures import format_current as format_current
from circuits.figures import format_diameter as format_diameter
from circuits.figures import format_length as format_length
from circuits.figures import format_mass as format_mass
from circuits.figures import format_percent as format_percent
from circuits.figures import format_power as format_power
from circuits.figures import format_resistance as format_resistance
from circuits.figures import format_temperature as format_temperature
from circuits.figures import format_voltage as format_voltage
from circuits.figures import plain as plain
from circuits.figures import significant as significant

_NUMBER_UNIT = re.compile(r"([+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][+-]?[0-9]{1,3})?)\s*(.*)", re.DOTALL)
_AMBIGUOUS_COMMA = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}(?![0-9])")
_FOREIGN_UNIT = re.compile(r"[^\W\d_]{1,20}(?: [^\W\d_]{1,20})?")
_FEET_INCHES = re.compile(r"([0-9]+) ?(?:ft|feet|foot|') ?([0-9]+(?:[.,][0-9]+)?) ?(?:inches|inch|in|''|\")")
_LOOKALIKES = str.maketrans("\u2212\u2013\u2019\u2032\u201d\u2033", "--''\"\"")
MAX_TEXT = 60
"""No quantity is longer [characters]; keeps hostile text away from the patterns."""


@dataclass(frozen=True, slots=True)
class Dimension:
    """One kind of quantity and the units it is written in.

    Parameters
    ----------
    name : str
        With its article, for messages: ``a current``.
    example : str
        What a person may write, for messages.
    inside : str
        Pint's name of the unit used inside.
    factors : mapping of str to Decimal
        Unit as written to its factor: ``number × factor`` is in the unit used inside. The empty
        unit is that of a bare number.
    """

    name: str
    example: str
    inside: str
    factors: Mapping[str, Decimal]

    @property
    def expected(self) -> str:
        """What would be accepted, in words."""
        return f"{self.name} such as {self.example}"


def _table(bare: str, units: str) -> dict[str, Decimal]:
    """``"1 m metre; 0.01 cm"`` as a table of factors, ``bare`` being that of a number without unit."""
    rows = [group.split() for group in units.split(";")]
    return {"": Decimal(bare)} | {unit: Decimal(factor) for factor, *names in rows for unit in names}


_LENGTHS_M = "1 m metre metres meter meters; 0.01 cm; 0.001 mm; 0.3048 ft feet foot '; 0.0254 in inch inches \""
_LENGTHS_MM = "1000 m metre metres; 10 cm; 1 mm; 304.8 ft feet foot '; 25.4 in inch inches \""
_OHMS = "1 Ω ohm ohms Ohm R; 0.001 mΩ mohm mOhm milliohm; 0.000001 μΩ uΩ μohm uohm; 1000 kΩ kohm; 1000000 MΩ Mohm"
_LENGTH = Dimension("a length", "2.5, 40 cm or 6 ft", "metre", _table("1", _LENGTHS_M))
_DIAMETER = Dimension("a diameter", "25, 25 mm or 1 in", "millimetre", _table("1", _LENGTHS_MM))
_CURRENT = Dimension(
    "a current",
    "5 or 380 mA",
    "ampere",
    _table("1", "1 A a amp amps ampere amperes; 0.001 mA ma milliamp milliamps; 0.000001 μA uA; 1000 kA"),
)
_POWER = Dimension("a power", "55 or 1.2 kW", "watt", _table("1", "1 W w watt watts; 0.001 mW; 1000 kW kw KW"))
_VOLTAGE = Dimension(
    "a voltage", "12.6 or 380 mV", "volt", _table("1", "1 V v volt volts; 0.001 mV mv; 0.000001 μV uV; 1000 kV kv")
)
_RESISTANCE = Dimension("a resistance", "0.5, 85 ohm or 5 mohm", "ohm", _table("1", _OHMS))
_MILLIOHM = Dimension("a resistance", "5, 5 mohm or 0.005 ohm", "ohm", _table("0.001", _OHMS))
_CAPACITY = Dimension("a capacity", "60 or 60 Ah", "ampere_hour", _table("1", "1 Ah ah AH A·h; 0.001 mAh mah"))
_PERCENT = Dimension("a percentage", "3 or 3 %", "percent", _table("1", "1 % percent pct"))
_TEMPERATURE = Dimension("a temperature", "40, 85 °C or 104 °F", "degC", {})
_FAHRENHEIT = frozenset(("°F", "F", "degF", "deg F", "f"))
_CELSIUS = frozenset(("", "°C", "C", "degC", "deg C", "c", "°"))


def tidy(text: str) -> str:
    """Text in one spelling: fullwidth, narrow spaces, µ, Ω, ² and dashes made alike."""
    if text.isascii():
        return text.strip()
    return unicodedata.normalize("NFKC", text.replace("²", "2")).translate(_LOOKALIKES).strip()


def refusal(text: str, expected: str) -> QuantityError:
    """The error to raise for a text that cannot be read."""
    shown = text if len(text) <= MAX_TEXT else text[:MAX_TEXT] + "…"
    return QuantityError(f"found {shown!r}, expected {expected}", expected=expected)


def split_number(text: str, expected: str) -> tuple[Decimal, str]:
    """Number and unit of a text; refuses whatever has no number, or one that could mean two."""
    if len(text) > MAX_TEXT:
        raise refusal(text, expected)
    match = _NUMBER_UNIT.fullmatch(tidy(text))
    if match is None:
        raise refusal(text, expected)
    number, unit = match.groups()
    if _AMBIGUOUS_COMMA.match(number):
        whole, decimals = number.split(",")
        raise refusal(text, f"{expected}; is it {whole}{decimals} or {whole}.{decimals}? Write it without the comma")
    return Decimal(number.replace(",", ".")), unit.strip()


def finite_float(value: Decimal, text: str, expected: str) -> float:
    """Value as a float; refuses the text it came from where it is too great for one."""
    number = float(value)
    if not math.isfinite(number):
        raise refusal(text, expected)
    return number


def _parse(text: str, dimension: Dimension) -> float:
    number, unit = split_number(text, dimension.expected)
    factor = dimension.factors.get(unit)
    if factor is None:
        return _convert(number, unit, text, dimension)
    return finite_float(number * factor, text, dimension.expected)


@cache
def _registry() -> Any:
    """The one unit registry; takes a good part of a second to build, so only when it is needed."""
    import pint

    return pint.UnitRegistry()


def _convert(number: Decimal, unit: str, text: str, dimension: Dimension) -> float:
    """Value of a unit outside the table, by pint. Only plain words reach it: it evaluates expressions."""
    factor = _foreign_factor(unit, dimension.inside) if _FOREIGN_UNIT.fullmatch(unit) else None
    if factor is None:
        raise refusal(text, dimension.expected)
    return finite_float(number * factor, text, dimension.expected)


@lru_cache(maxsize=256)
def _foreign_factor(unit: str, inside: str) -> Decimal | None:
    """Factor of a unit outside the tables; None where there is none."""
    try:
        value = _registry().Quantity(1.0, unit.replace(" ", "_")).to(inside).magnitude
    except Exception:  # pint raises its own, tokenizer and attribute errors alike on a word it does not know
        return None
    return Decimal(repr(float(value)))


def parse_length_m(text: str) -> float:
    r"""Length [m]; a bare number is in metres.

    Raises ``QuantityError`` if the text is not a length.

    Examples
    --------
    >>> parse_length_m("2,30"), parse_length_m("6 ft"), round(parse_length_m("5' 6\""), 4)
    (2.3, 1.8288, 1.6764)
    """
    match = _FEET_INCHES.fullmatch(tidy(text)) if len(text) <= MAX_TEXT else None
    if match:
        inches = Decimal(match[1]) * 12 + Decimal(match[2].replace(",", "."))
        return finite_float(inches * Decimal("0.0254"), text, _LENGTH.expected)
    return _parse(text, _LENGTH)


def parse_diameter_mm(text: str) -> float:
    """Diameter [mm]; a bare number is in millimetres. Raises ``QuantityError``.

    Examples
    --------
    >>> parse_diameter_mm("25"), parse_diameter_mm("1 in")
    (25.0, 25.4)
    """
    return _parse(text, _DIAMETER)


def parse_current_a(text: str) -> float:
    """Current [A]; a bare number is in amperes.

    Raises ``QuantityError`` naming the value and what is expected.

    Examples
    --------
    >>> parse_current_a("380 mA"), parse_current_a("13,4")
    (0.38, 13.4)
    >>> parse_current_a("5 ft")
    Traceback (most recent call last):
    ...
    circuits.errors.QuantityError: found '5 ft', expected a current such as 5 or 380 mA
    """
    return _parse(text, _CURRENT)


def parse_power_w(text: str) -> float:
    """Power [W]; a bare number is in watts. Raises ``QuantityError``.

    Examples
    --------
    >>> parse_power_w("1.2 kW")
    1200.0
    """
    return _parse(text, _POWER)


def parse_voltage_v(text: str) -> float:
    """Voltage [V]; a bare number is in volts. Raises ``QuantityError``.

    Examples
    --------
    >>> parse_voltage_v("380 mV")
    0.38
    """
    return _parse(text, _VOLTAGE)


def parse_resistance_ohm(text: str) -> float:
    """Resistance [ohm]; a bare number is in ohms. Raises ``QuantityError``.

    Examples
    --------
    >>> parse_resistance_ohm("85 Ω"), parse_resistance_ohm("5 mohm")
    (85.0, 0.005)
    """
    return _parse(text, _RESISTANCE)


def parse_reading(text: str) -> tuple[float, str]:
    """Value and unit of a meter reading typed with its unit, whichever of ohm, volt and ampere it is in.

    Raises
    ------
    QuantityError

    Examples
    --------
    >>> parse_reading("380 mA"), parse_reading("11.9 V")
    ((0.38, 'A'), (11.9, 'V'))
    >>> parse_reading("12")
    Traceback (most recent call last):
    ...
    circuits.errors.QuantityError: found '12', expected a reading with its unit, such as 11.9 V, 380 mA or 0.4 ohm
    """
    expected = "a reading with its unit, such as 11.9 V, 380 mA or 0.4 ohm"
    parsers = (("ohm", parse_resistance_ohm), ("V", parse_voltage_v), ("A", parse_current_a))
    for unit, parse in parsers if any(sign.isalpha() or sign == "Ω" for sign in text) else ():
        try:
            return parse(text), unit
        except QuantityError:
            continue
    raise QuantityError(f"found {text!r}, expected {expected}", expected=expected)


def parse_milliohm_ohm(text: str) -> float:
    """Resistance [ohm] where a bare number is in milliohms. Raises ``QuantityError``.

    Examples
    --------
    >>> parse_milliohm_ohm("5"), parse_milliohm_ohm("0.2 ohm")
    (0.005, 0.2)
    """
    return _parse(text, _MILLIOHM)


def parse_capacity_ah(text: str) -> float:
    """Charge a battery holds [Ah]; a bare number is in ampere-hours. Raises ``QuantityError``.

    Examples
    --------
    >>> parse_capacity_ah("60 Ah")
    60.0
    """
    return _parse(text, _CAPACITY)


def parse_percent(text: str) -> float:
    """Percentage [%]; a bare number is in per cent. Raises ``QuantityError``.

    Examples
    --------
    >>> parse_percent("2,5 %")
    2.5
    """
    return _parse(text, _PERCENT)


def parse_temperature_c(text: str) -> float:
    """Temperature [°C]; a bare number is in °C. Raises ``QuantityError``.

    Examples
    --------
    >>> parse_temperature_c("85"), parse_temperature_c("104 °F"), parse_temperature_c("-40C")
    (85.0, 40.0, -40.0)
    """
    number, unit = split_number(text, _TEMPERATURE.expected)
    if unit in _CELSIUS:
        value = number
    elif unit in _FAHRENHEIT:
        value = (number - 32) * 5 / 9
    elif unit == "K":
        value = number - Decimal("273.15")
    else:
        raise refusal(text, _TEMPERATURE.expected)
    return finite_float(value, text, _TEMPERATURE.expected)
