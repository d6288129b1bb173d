"""Filament lamps by their category or trade number, and what an LED in their place draws."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from circuits.electrical.tables import read_rows
from circuits.errors import TableError

LED_LM_PER_W = 80.0
"""Light of an LED lamp per watt, its driver counted [lm/W] (common practice, from memory)."""

LEAST_LED_W = 0.3
"""Least that an LED lamp draws [W] (common practice, from memory)."""


@dataclass(frozen=True, slots=True)
class FilamentLamp:
    """One filament of a lamp.

    Parameters
    ----------
    lamp, filament, base : str
        Category of UN R37 or trade number; ``single``, ``major`` or ``minor``.
    rated_w : float
        As it is named [W].
    at_v, drawn_w, flux_lm : float
        Voltage of test [V], and what it draws at most [W] and gives there [lm].
    source : str
    """

    lamp: str
    filament: str
    base: str
    rated_w: float
    at_v: float
    drawn_w: float
    flux_lm: float
    source: str

    @property
    def drawn_a(self) -> float:
        """Current at the voltage of test [A]."""
        return self.drawn_w / self.at_v


@dataclass(frozen=True, slots=True)
class LedForLamp:
    """An LED in place of a filament.

    Parameters
    ----------
    lamp : FilamentLamp
    led_w, led_a : float
        What it draws for the same light [W], [A at the lamp's voltage of test].
    resistor_ohm, resistor_w : float
        Resistor across it that makes it draw as much as the filament [ohm], and the heat in that while lit [W].
    """

    lamp: FilamentLamp
    led_w: float
    led_a: float
    resistor_ohm: float
    resistor_w: float


@cache
def filament_lamps() -> tuple[FilamentLamp, ...]:
    """Every filament known.

    Examples
    --------
    >>> len(filament_lamps()) > 80
    True
    """
    return tuple(
        FilamentLamp(
            row["lamp"],
            row["filament"],
            row["base"],
            float(row["rated_w"]),
            float(row["at_v"]),
            float(row["drawn_w"]),
            float(row["flux_lm"]),
            row["source"],
        )
        for row in read_rows("lamps")
    )


def filament_lamp(lamp: str, filament: str = "") -> FilamentLamp:
    """A filament by its lamp; of two filaments the major one unless it is named.

    Parameters
    ----------
    lamp : str
        Category or trade number, in any case.
    filament : str
        ``single``, ``major`` or ``minor``; empty = the first.

    Raises
    ------
    TableError
        If no table holds it.

    Examples
    --------
    >>> filament_lamp("p21w").rated_w, filament_lamp("1157", "minor").drawn_w
    (21.0, 8.26)
    """
    wanted = lamp.strip().casefold()
    for one in filament_lamps():
        if one.lamp.casefold() == wanted and filament in ("", one.filament):
            return one
    raise TableError(f"no lamp {lamp!r} is known; expected a category or trade number such as P21W or 1157")


def led_for(lamp: FilamentLamp) -> LedForLamp:
    """What an LED of the same light draws, and the resistor that would hide the difference.

    Parameters
    ----------
    lamp : FilamentLamp

    Examples
    --------
    >>> led = led_for(filament_lamp("P21W"))
    >>> round(led.led_w, 2), round(led.resistor_ohm, 1), round(led.resistor_w, 1)
    (5.75, 8.8, 20.8)
    """
    led_w = max(LEAST_LED_W, lamp.flux_lm / LED_LM_PER_W)
    led_w = min(led_w, lamp.drawn_w / 2)
    led_a = led_w / lamp.at_v
    missing_a = lamp.drawn_a - led_a
    return LedForLamp(lamp, led_w, led_a, lamp.at_v / missing_a, lamp.at_v * missing_a)
