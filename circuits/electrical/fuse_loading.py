"""How far a fuse may be loaded: by the rule of thumb, by its ambient, by what its load draws at switch-on.

A load that draws a multiple of its current at first uses up part of the shortest time in which its fuse may open.
The part is summed over the decay, ``sum dt / t_min(i(t))``; below 1 the fuse must not open. That part's inverse
is the margin that is stated. Families without a published earliest gate have none.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache

from circuits.electrical.gates import earliest
from circuits.electrical.roots import root
from circuits.electrical.tables import read_rows
from circuits.harness.routes import run_ambients_c
from circuits.plan import FuseFamily, Kind, Plan
from circuits.rules import SizingRules
from circuits.wiring import Protection

SHARE_SOURCE = "load within 75 % of the rating if continuous (fuse makers' rule of thumb at 25 °C), 100 % if not"
HEAT_SOURCE = "less by 0.2 % for each degree above 40 °C at the fuse (derating guides, read)"
INRUSH_SOURCE = "less, so that switching on does not open it before its earliest gate (inrush from memory)"

_STEPS = 48
_DECAYS = 8.0


@dataclass(frozen=True, slots=True)
class Loading:
    """How far a fuse may be loaded.

    Parameters
    ----------
    share : float
        Greatest load as a share of the rating.
    source : str
        The rule, and what lowered it.
    steady_share : float
        The same without regard to switching on.
    cool_share : float
        The same without regard to heat either: the shop's own.
    kind : Kind or None
        Kind of the load that is switched on; None where it has no inrush.
    """

    share: float
    source: str
    steady_share: float
    cool_share: float
    kind: Kind | None = None


def loading(protection: Protection, rules: SizingRules, kind: Kind | None = None, ambient_c: float = 25.0) -> Loading:
    """How far the fuse of a protection may be loaded.

    Parameters
    ----------
    protection : Protection
    rules : SizingRules
        The shop's shares for continuous and intermittent loads.
    kind : Kind or None
        Of the load it feeds; None for a coil or where it does not matter.
    ambient_c : float
        At the fuse [°C].

    Examples
    --------
    >>> from circuits.plan import FuseFamily
    >>> wiper = Protection("wiper", "wiper", "panel", FuseFamily.BLADE, None, 5.0, continuous=False)
    >>> [round(loading(wiper, SizingRules(), kind).share, 2) for kind in (None, Kind.HEATER, Kind.MOTOR)]
    [1.0, 1.0, 0.79]
    >>> round(loading(wiper, SizingRules(), None, 85.0).share, 2)
    0.91
    """
    cool = rules.continuous_share if protection.continuous else rules.intermittent_share
    share = cool * ambient_share(ambient_c)
    source = SHARE_SOURCE if ambient_share(ambient_c) == 1.0 else f"{SHARE_SOURCE}; {HEAT_SOURCE}"
    if kind not in _inrush() or protection.family is FuseFamily.NONE:
        return Loading(share, source, share, cool)
    assert kind is not None  # _inrush holds kinds only
    at_first = inrush_share(protection.family, kind)
    if at_first < share:
        return Loading(at_first, f"{SHARE_SOURCE}; {INRUSH_SOURCE}", share, cool, kind)
    return Loading(share, source, share, cool, kind)


def ambient_share(ambient_c: float) -> float:
    """Share of its rating that a fuse carries in the heat, against 40 °C.

    Parameters
    ----------
    ambient_c : float
        At the fuse [°C].

    Examples
    --------
    >>> ambient_share(25.0), round(ambient_share(85.0), 3)
    (1.0, 0.91)
    """
    rated_at_c, less_per_k = (_figure(name) for name in ("rated_at_c", "less_per_k"))
    return max(0.1, min(1.0, 1 - less_per_k * (ambient_c - rated_at_c)))


@cache
def _figure(quantity: str) -> float:
    return next(float(row["value"]) for row in read_rows("fuse_loading") if row["quantity"] == quantity)


@cache
def _inrush() -> Mapping[Kind, tuple[float, float]]:
    """Multiple of the current at first, and how fast it falls [s], by kind."""
    return {Kind(row["kind"]): (float(row["multiple"]), float(row["decay_s"])) for row in read_rows("inrush")}


@lru_cache(maxsize=4096)
def inrush_margin(family: FuseFamily, kind: Kind, share: float) -> float | None:
    """Shortest time to opening over what switching on takes; None where there is no inrush, or no gate.

    Parameters
    ----------
    family : FuseFamily
    kind : Kind
        Of the load.
    share : float
        Load over rating.

    Examples
    --------
    >>> [round(inrush_margin(FuseFamily.BLADE, Kind.LAMP, share) or 0, 2) for share in (0.5, 0.75, 1.0)]
    [2.51, 1.11, 0.62]
    >>> inrush_margin(FuseFamily.GLASS, Kind.LAMP, 0.75), inrush_margin(FuseFamily.BLADE, Kind.HEATER, 0.75)
    (None, None)
    """
    if kind not in _inrush() or family is FuseFamily.NONE:
        return None
    curve = earliest(family)
    if curve is None:
        return None
    multiple, decay_s = _inrush()[kind]
    step_s = _DECAYS * decay_s / _STEPS
    used = 0.0
    for step in range(_STEPS):
        drawn = share * (1 + (multiple - 1) * math.exp(-(step + 0.5) * step_s / decay_s))
        used += step_s / curve.at(drawn)
    return math.inf if used == 0 else 1 / used


@cache
def inrush_share(family: FuseFamily, kind: Kind) -> float:
    """Greatest load as a share of the rating at which switching on does not open the fuse; 1 where no gate tells.

    Parameters
    ----------
    family : FuseFamily
    kind : Kind

    Examples
    --------
    >>> round(inrush_share(FuseFamily.BLADE, Kind.LAMP), 2), inrush_share(FuseFamily.GLASS, Kind.LAMP)
    (0.79, 1.0)
    """
    margin = inrush_margin(family, kind, 1.0)
    if margin is None or margin >= 1:
        return 1.0
    found = root(lambda share: 1 - 1 / (inrush_margin(family, kind, share) or math.inf), 0.05, 1.0)
    return math.floor(found * 1000) / 1000


def fuse_ambients_c(plan: Plan) -> dict[str, float]:
    """Ambient of a fuse by the place it sits at [°C]: the coolest zone of the runs that meet there.

    Fuses are mounted on the cool side of a bulkhead (common practice, no source).

    Parameters
    ----------
    plan : Plan

    Examples
    --------
    >>> from circuits.plan import Run, Vehicle
    >>> runs = (Run("battery", "panel", 1.2, "engine bay"), Run("panel", "boot", 3.0, "cabin"))
    >>> fuse_ambients_c(Plan(Vehicle(), (), runs, ()))
    {'battery': 85.0, 'panel': 40.0, 'boot': 40.0}
    """
    coolest: dict[str, float] = {}
    for run, ambient_c in zip(plan.runs, run_ambients_c(plan), strict=True):
        for place in (run.start, run.end):
            coolest[place] = min(ambient_c, coolest.get(place, ambient_c))
    return coolest
