"""What a wire carries in its place: the lower of table and heat balance, unless the shop decides on one.

The bundle lowers both by the same published factors. They count on wires that are not all full at once;
whether a bundle stays cool under its real loads is looked at when sizes are chosen (``bundle_heat``).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from circuits.electrical.ampacity import AMPACITY_SOURCE, TABLE_AMBIENT_C, ampacity_a, bundle_factor
from circuits.electrical.heating import HEAT_SOURCE, heat_ampacity_a
from circuits.plan import Covering
from circuits.rules import AmpacityBy


@dataclass(frozen=True, slots=True)
class Carrying:
    """An ampacity and what it rests on.

    Parameters
    ----------
    ampacity_a : float
    by : AmpacityBy
        Table or heat balance: the one that governs.
    source : str
        In words.
    """

    ampacity_a: float
    by: AmpacityBy
    source: str


@lru_cache(maxsize=16384)
def carrying(
    label: str,
    class_c: int,
    ambient_c: float,
    bundle: int = 1,
    covering: Covering = Covering.NONE,
    by: AmpacityBy = AmpacityBy.LOWER,
) -> Carrying:
    """What a wire carries for ever, and by which of the two.

    Parameters
    ----------
    label : str
        A size of ``conductors.csv``.
    class_c : int
        Insulation class [°C].
    ambient_c : float
        Hottest place it passes [°C]. Below 30 °C nothing more is granted than at 30 °C: a parked vehicle warms up
        before its loom cools.
    bundle : int
        Loaded wires in the bundle, itself included.
    covering : Covering
        Around it; only the heat balance knows it.
    by : AmpacityBy
        What the shop goes by.

    Raises
    ------
    TableError
        If the size or the class is in no table.

    Examples
    --------
    >>> found = carrying("14 AWG", 105, 85.0)
    >>> round(found.ampacity_a, 1), found.by.value, round(carrying("14 AWG", 75, 30.0).ampacity_a, 1)
    (17.7, 'heat balance', 20.0)
    """
    table = Carrying(ampacity_a(label, class_c, ambient_c, bundle), AmpacityBy.TABLE, AMPACITY_SOURCE)
    if by == AmpacityBy.TABLE:
        return table
    warm_c = max(ambient_c, TABLE_AMBIENT_C)
    carried_a = heat_ampacity_a(label, class_c, warm_c, covering) * bundle_factor(bundle)
    heat = Carrying(carried_a, AmpacityBy.HEAT, HEAT_SOURCE)
    if by == AmpacityBy.HEAT:
        return heat
    return min(table, heat, key=lambda found: found.ampacity_a)
