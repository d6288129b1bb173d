"""Fuses: standard ratings of each family, and the choice among them.

A fuse protects the wire. Its rating is the smallest of its family that carries the load with the
margin asked for; the wire is then made to suit the fuse, never the fuse the wire.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from circuits.electrical.fuse_loading import Loading, inrush_margin, loading
from circuits.electrical.tables import read_rows
from circuits.plan import FuseFamily
from circuits.rules import SizingRules
from circuits.sized import Fuse
from circuits.wiring import Protection

TOLERANCE = 1e-9
"""Relative slack of every comparison, so that 7.5 A on a 10 A fuse is not refused by a rounding bit."""

_OTHER_FAMILIES: dict[FuseFamily, tuple[FuseFamily, ...]] = {
    FuseFamily.MINI_BLADE: (FuseFamily.BLADE, FuseFamily.MAXI_BLADE, FuseFamily.BOLT_IN),
    FuseFamily.BLADE: (FuseFamily.MAXI_BLADE, FuseFamily.BOLT_IN),
    FuseFamily.GLASS: (FuseFamily.BLADE, FuseFamily.MAXI_BLADE, FuseFamily.BOLT_IN),
    FuseFamily.MAXI_BLADE: (FuseFamily.BOLT_IN,),
    FuseFamily.FUSIBLE_LINK: (FuseFamily.BOLT_IN,),
}
"""Where to look next, the smallest first, when a family ends below the load (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class StandardFuse:
    """One rating of a family as it is sold.

    Parameters
    ----------
    family : FuseFamily
    rating_a : float
    resistance_ohm : float
    colour : str
        Colour of its body; empty where the family has no colours.
    source : str
    """

    family: FuseFamily
    rating_a: float
    resistance_ohm: float
    colour: str
    source: str


@cache
def standard_fuses(family: FuseFamily) -> tuple[StandardFuse, ...]:
    """Every rating of a family, smallest first; none for ``FuseFamily.NONE``.

    Examples
    --------
    >>> [fuse.rating_a for fuse in standard_fuses(FuseFamily.GLASS)]
    [4.0, 6.0, 7.5, 9.0, 14.0, 20.0, 30.0]
    """
    return tuple(
        StandardFuse(
            family,
            float(row["rating_a"]),
            float(row["resistance_ohm"]),
            row["colour"],
            f"{row['source']} ({row['status']})",
        )
        for row in read_rows("fuses")
        if row["family"] == family
    )


def smallest_fuse(family: FuseFamily, load_a: float, share: float, least_a: float = 0.0) -> StandardFuse | None:
    """Smallest rating of a family with ``load <= share × rating``; None if the family ends below.

    Parameters
    ----------
    family : FuseFamily
    load_a : float
    share : float
        Greatest load as a share of the rating.
    least_a : float
        Smallest rating that may be taken [A]; the family's largest where that is smaller still.

    Examples
    --------
    >>> smallest_fuse(FuseFamily.BLADE, 9.2, 0.75).rating_a, smallest_fuse(FuseFamily.BLADE, 31.0, 0.75)
    (15.0, None)
    >>> smallest_fuse(FuseFamily.BLADE, 0.4, 0.75).rating_a, smallest_fuse(FuseFamily.BLADE, 0.4, 0.75, 5.0).rating_a
    (1.0, 5.0)
    """
    fuses = standard_fuses(family)
    least_a = min(least_a, fuses[-1].rating_a) if fuses else least_a
    for fuse in fuses:
        if fuse.rating_a >= least_a and load_a <= share * fuse.rating_a * (1 + TOLERANCE):
            return fuse
    return None


def fuse_of_another_family(family: FuseFamily, load_a: float, share: float) -> StandardFuse | None:
    """The fuse that would do where ``family`` ends below the load; None if no family reaches it.

    Parameters
    ----------
    family : FuseFamily
    load_a : float
    share : float
        Greatest load as a share of the rating.

    Examples
    --------
    >>> fuse = fuse_of_another_family(FuseFamily.BLADE, 31.0, 0.75)
    >>> fuse.family.value, fuse.rating_a
    ('maxi blade', 50.0)
    """
    for other in _OTHER_FAMILIES.get(family, ()):
        fuse = smallest_fuse(other, load_a, share)
        if fuse is not None:
            return fuse
    return None


@dataclass(frozen=True, slots=True)
class RatedProtection:
    """A protection with its fuse.

    Parameters
    ----------
    protection : Protection
    fuse : Fuse or None
        None where the family has no rating for the load.
    held_a : float
        Rating that the wires are held against [A]: the fuse's, or of the one that would be needed.
    share : float
        Greatest load as a share of the rating.
    steps : tuple of (float, float)
        Every load at which a smaller fuse would be full, were it cool and switched on gently [A], with that
        fuse's resistance [ohm]; then the load itself with the fuse chosen.
    steady_share : float
        The share without regard to switching on.
    """

    protection: Protection
    fuse: Fuse | None
    held_a: float
    share: float
    steps: tuple[tuple[float, float], ...]
    steady_share: float

    @property
    def families(self) -> tuple[FuseFamily, ...]:
        """Families that the fuse may be of: its own, and where that has no rating for the load, those that might."""
        family = self.protection.family
        return (family,) if self.fuse else (family, *_OTHER_FAMILIES.get(family, ()))


def fuse_ohm(family: FuseFamily, rating_a: float) -> float:
    """Resistance of a fuse [ohm]: that of the standard rating at or next below, the higher one; 0 if there is none.

    Parameters
    ----------
    family : FuseFamily
    rating_a : float

    Examples
    --------
    >>> fuse_ohm(FuseFamily.BLADE, 10.0), fuse_ohm(FuseFamily.BLADE, 12.0), fuse_ohm(FuseFamily.NONE, 10.0)
    (0.00769, 0.00769, 0.0)
    """
    fuses = standard_fuses(family)
    below = [fuse for fuse in fuses if fuse.rating_a <= rating_a * (1 + TOLERANCE)] or list(fuses[:1])
    return below[-1].resistance_ohm if below else 0.0


def rate(protection: Protection, rules: SizingRules, loaded: Loading | None = None) -> RatedProtection:
    """Choose the fuse of a protection, or take the rating that the plan forces.

    Parameters
    ----------
    protection : Protection
    rules : SizingRules
    loaded : Loading, optional
        How far it may be loaded; by the rule of thumb alone where not given.

    Examples
    --------
    >>> fan = Protection("fan", "fan", "panel", FuseFamily.BLADE, None, 20.0, True)
    >>> rated = rate(fan, SizingRules())
    >>> rated.fuse.rating_a, rated.fuse.colour, rated.held_a
    (30.0, 'green', 30.0)
    """
    loaded = loaded or loading(protection, rules)
    share = loaded.share
    if protection.forced_a is not None:
        return _rate_forced(protection, protection.forced_a, loaded)
    chosen = smallest_fuse(protection.family, protection.load_a, share, rules.min_fuse_a)
    if chosen is None:
        other = fuse_of_another_family(protection.family, protection.load_a, share)
        held_a = other.rating_a if other else protection.load_a / share
        resistance = other.resistance_ohm if other else 0.0
    else:
        held_a, resistance = chosen.rating_a, chosen.resistance_ohm
    # A fuse passed over for heat or inrush counts too: the heat must not make the drop, and with it a wire, smaller.
    smaller = tuple(
        (min(protection.load_a, loaded.cool_share * fuse.rating_a), fuse.resistance_ohm)
        for fuse in standard_fuses(protection.family)
        if rules.min_fuse_a <= fuse.rating_a < held_a
    )
    steps = (*smaller, (protection.load_a, resistance))
    return RatedProtection(
        protection, _fuse(protection, chosen, loaded) if chosen else None, held_a, share, steps, loaded.steady_share
    )


def _fuse(protection: Protection, standard: StandardFuse, loaded: Loading) -> Fuse:
    return Fuse(
        protection.name,
        standard.family,
        standard.rating_a,
        protection.at,
        protection.circuit,
        standard.colour,
        loaded.source,
        _inrush_margin(protection, standard.rating_a, loaded),
    )


def _inrush_margin(protection: Protection, rating_a: float, loaded: Loading) -> float | None:
    if loaded.kind is None:
        return None
    margin = inrush_margin(protection.family, loaded.kind, protection.load_a / rating_a)
    return margin if margin is not None and math.isfinite(margin) else None  # a load that no gate minds has no figure


def _rate_forced(protection: Protection, rating_a: float, loaded: Loading) -> RatedProtection:
    colours = {fuse.rating_a: fuse.colour for fuse in standard_fuses(protection.family)}
    fuse = Fuse(
        protection.name,
        protection.family,
        rating_a,
        protection.at,
        protection.circuit,
        colours.get(rating_a, ""),
        "forced by the plan",
        _inrush_margin(protection, rating_a, loaded),
    )
    steps = ((protection.load_a, fuse_ohm(protection.family, rating_a)),)
    return RatedProtection(protection, fuse, rating_a, loaded.share, steps, loaded.steady_share)
