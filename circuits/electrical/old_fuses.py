"""Old fuses for new: which blade fuse takes the place of a tube, by when each opens and not by its number alone.

A number says little: an American tube opens within the hour at 135 % of it, a European one carries 150 % for an hour,
and some are marked with the current that blows them. The blade fuse that protects as well is the largest that opens no
later than the old one at any overload. Whether it carries the load is another question, and both are answered.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from circuits.electrical.gates import Curve, latest
from circuits.electrical.protection import TOLERANCE, smallest_fuse, standard_fuses
from circuits.electrical.tables import of_kind, read_rows
from circuits.plan import FuseFamily

AT_ONCE_S = 1.0
"""Openings within this time count as equally fast [s]: past it fuses let through little (an assumption of ours)."""

_GREATEST_MULTIPLE = 20.0
_STEPS = 200


@dataclass(frozen=True, slots=True)
class OldFuse:
    """A kind of fuse that is no longer fitted.

    Parameters
    ----------
    kind : str
    ratings_a : tuple of float
        As it was sold [A].
    carries : float
        What it carries for hours, as a share of its rating.
    opening : Curve
        The latest that it opens.
    is_from_memory : bool
        True where any of its gates is.
    sources : tuple of str
    """

    kind: str
    ratings_a: tuple[float, ...]
    carries: float
    opening: Curve
    is_from_memory: bool
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NewForOld:
    """The fuse that takes the place of an old one.

    Parameters
    ----------
    old : OldFuse
    old_a : float
        Its rating [A].
    family : FuseFamily
    protects_a : float or None
        Largest rating that opens no later than the old fuse at any overload [A]; None where none of the family does.
    carries_a : float or None
        Smallest rating that carries the load with its margin [A]; None where no load is given, or none does.
    later_from_a, later_to_a : float
        Currents between which the fuse to fit opens later than the old one, or not at all [A]; 0 where nowhere.
    """

    old: OldFuse
    old_a: float
    family: FuseFamily
    protects_a: float | None
    carries_a: float | None
    later_from_a: float = 0.0
    later_to_a: float = 0.0

    @property
    def fit_a(self) -> float | None:
        """Rating to fit [A]: what protects as well, or more where the load asks for it; None where none is known."""
        return max((a for a in (self.protects_a, self.carries_a) if a is not None), default=None)

    @property
    def protects_as_well(self) -> bool:
        """True where the fuse to fit opens no later than the old one: the old wires do."""
        return self.protects_a is not None and self.fit_a == self.protects_a


@cache
def old_fuses() -> tuple[OldFuse, ...]:
    """Every kind of old fuse known.

    Examples
    --------
    >>> [old.kind for old in old_fuses()][:2]
    ['length-graded glass', 'glass cartridge (UL)']
    """
    kinds = dict.fromkeys(row["kind"] for row in read_rows("old_fuse_gates"))
    return tuple(_old_fuse(kind) for kind in kinds)


def old_fuse(kind: str) -> OldFuse:
    """The kind of that name.

    Parameters
    ----------
    kind : str

    Raises
    ------
    TableError
        If no table holds it.

    Examples
    --------
    >>> old_fuse("length-graded glass").carries, old_fuse("glass cartridge (IEC, fast)").carries
    (1.1, 1.5)
    """
    return of_kind(old_fuses(), kind, "old fuse")


def _old_fuse(kind: str) -> OldFuse:
    rows = [row for row in read_rows("old_fuse_gates") if row["kind"] == kind]
    opening = [(float(row["percent"]) / 100, float(row["max_s"])) for row in rows if row["max_s"]]
    carried = [float(row["percent"]) / 100 for row in rows if row["min_s"] and float(row["min_s"]) >= 3600]
    return OldFuse(
        kind,
        tuple(float(rating) for rating in rows[0]["ratings"].split(";")),
        max(carried),
        Curve(tuple(multiple for multiple, _ in opening), tuple(seconds for _, seconds in opening)),
        any(row["status"] != "read" for row in rows),
        tuple(dict.fromkeys(row["source"] for row in rows)),
    )


def new_for_old(
    kind: str, old_a: float, load_a: float | None = None, share: float = 0.75, family: FuseFamily = FuseFamily.BLADE
) -> NewForOld:
    """The fuse that takes the place of an old one.

    Parameters
    ----------
    kind : str
        One of ``old_fuses``.
    old_a : float
        Its rating as marked, above 0 [A].
    load_a : float, optional
        What it carries, above 0 [A]; the protection alone decides where not given.
    share : float
        Greatest load as a share of the new rating, above 0 and at most 1.
    family : FuseFamily
        Of the new fuse, any but none.

    Raises
    ------
    TableError
        If the kind is not known.

    Examples
    --------
    >>> [new_for_old("length-graded glass", rating_a).fit_a for rating_a in (7.5, 9.0, 14.0, 20.0)]
    [7.5, 7.5, 10.0, 20.0]
    >>> new_for_old("length-graded glass", 14.0, load_a=9.0).fit_a, new_for_old("cone-ended ceramic", 16.0).fit_a
    (15.0, 15.0)
    """
    old = old_fuse(kind)
    protecting = [fuse.rating_a for fuse in standard_fuses(family) if not _later(old, old_a, family, fuse.rating_a)]
    protects_a = max(protecting, default=None)
    carrying = smallest_fuse(family, load_a, share) if load_a is not None else None
    found = NewForOld(old, old_a, family, protects_a, carrying.rating_a if carrying else None)
    later = _later(old, old_a, family, found.fit_a) if found.fit_a and not found.protects_as_well else []
    if not later:
        return found
    return NewForOld(old, old_a, family, protects_a, found.carries_a, later[0], later[-1])


def _later(old: OldFuse, old_a: float, family: FuseFamily, new_a: float) -> list[float]:
    """Currents at which the new fuse opens later than the old one must [A]."""
    new = latest(family)
    first, last = old.opening.multiples[0], _GREATEST_MULTIPLE
    grid = {first * (last / first) ** (step / _STEPS) for step in range(_STEPS + 1)}
    currents = sorted({multiple * old_a for multiple in (*grid, *old.opening.multiples)})
    return [
        current_a
        for current_a in currents
        if new.at(current_a / new_a * (1 + TOLERANCE))
        > max(AT_ONCE_S, old.opening.at(current_a / old_a)) * (1 + TOLERANCE)
    ]
