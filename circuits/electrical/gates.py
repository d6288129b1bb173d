"""When a fuse opens: the time gates of each family, latest and earliest.

Standards set gates at a few overloads: not before this time, not after that. Between two gates a straight
line in logarithms is taken, as fuse makers draw their curves (common practice, no source). Past the last gate the
heat let through, ``I²·t``, is held: at higher currents a fuse lets through less. Where types of one family
differ, or two sources, the later of the latest and the earlier of the earliest counts. A row that does not
count is held for comparison.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from circuits.electrical.tables import read_rows
from circuits.plan import FuseFamily


@dataclass(frozen=True, slots=True)
class Curve:
    """Times by overload, falling; straight between its points in logarithms.

    Parameters
    ----------
    multiples : tuple of float
        Current over rating, rising.
    seconds : tuple of float
    """

    multiples: tuple[float, ...]
    seconds: tuple[float, ...]

    def at(self, multiple: float) -> float:
        """Time at an overload [s]; infinite below the first point.

        Parameters
        ----------
        multiple : float
            Current over rating.

        Examples
        --------
        >>> curve = Curve((2.0, 4.0), (8.0, 0.5))
        >>> curve.at(1.9), round(curve.at(2.0), 6), round(curve.at(2.828427), 6), curve.at(8.0)
        (inf, 8.0, 2.0, 0.125)
        """
        if multiple < self.multiples[0]:
            return math.inf
        if multiple >= self.multiples[-1]:
            return self.seconds[-1] * (self.multiples[-1] / multiple) ** 2
        above = bisect_right(self.multiples, multiple)
        low, high = self.multiples[above - 1], self.multiples[above]
        share = math.log(multiple / low) / math.log(high / low)
        return self.seconds[above - 1] * math.pow(self.seconds[above] / self.seconds[above - 1], share)

    def multiple_at(self, seconds: float) -> float:
        """Least overload at which the time is no more than ``seconds``.

        Parameters
        ----------
        seconds : float
            Above 0.

        Examples
        --------
        >>> curve = Curve((2.0, 4.0), (8.0, 0.5))
        >>> curve.multiple_at(10.0), round(curve.multiple_at(2.0), 3), curve.multiple_at(0.125)
        (2.0, 2.828, 8.0)
        """
        if seconds >= self.seconds[0]:
            return self.multiples[0]
        if seconds <= self.seconds[-1]:
            return self.multiples[-1] * math.sqrt(self.seconds[-1] / seconds)
        above = next(step for step, time in enumerate(self.seconds) if time < seconds)
        low, high = self.seconds[above - 1], self.seconds[above]
        share = math.log(seconds / low) / math.log(high / low)
        return self.multiples[above - 1] * math.pow(self.multiples[above] / self.multiples[above - 1], share)


@cache
def latest(family: FuseFamily) -> Curve:
    """The latest that a fuse of a family opens, by current over rating; it need not open below the first point.

    Parameters
    ----------
    family : FuseFamily
        Any but none.

    Examples
    --------
    >>> latest(FuseFamily.BLADE).at(2.0), latest(FuseFamily.MAXI_BLADE).at(2.0), latest(FuseFamily.BLADE).at(1.34)
    (5.0, 60.0, inf)
    """
    return _curve(family, "max_s", max)


@cache
def earliest(family: FuseFamily) -> Curve | None:
    """The earliest that a fuse of a family may open, by current over rating; None where no gate says so.

    Parameters
    ----------
    family : FuseFamily
        Any but none.

    Examples
    --------
    >>> curve = earliest(FuseFamily.BLADE)
    >>> (curve.at(3.5), curve.at(1.0)) if curve else None
    (0.08, inf)
    >>> earliest(FuseFamily.GLASS) is None
    True
    """
    overloads = [row for row in _rows(family) if row["min_s"]]
    if all(float(row["percent"]) <= _CARRIED_PERCENT for row in overloads):
        return None
    return _curve(family, "min_s", min)


_CARRIED_PERCENT = 110.0
"""Up to this share of the rating a gate says what a fuse carries, not when it opens."""


def _curve(family: FuseFamily, column: str, of_several: Callable[[list[float]], float]) -> Curve:
    found: defaultdict[float, list[float]] = defaultdict(list)
    for row in _rows(family):
        if row[column]:
            found[float(row["percent"]) / 100].append(float(row[column]))
    multiples = tuple(sorted(found))
    return Curve(multiples, tuple(of_several(found[multiple]) for multiple in multiples))


@cache
def is_from_memory(family: FuseFamily) -> bool:
    """True where any of the family's gates is from memory, and not read in a document.

    Parameters
    ----------
    family : FuseFamily

    Examples
    --------
    >>> is_from_memory(FuseFamily.BLADE)
    True
    """
    return any(row["status"] != "read" for row in _rows(family))


def _rows(family: FuseFamily) -> list[dict[str, str]]:
    return [row for row in read_rows("fuse_gates") if row["family"] == family and row["counts"] == "yes"]
