"""The choice of sizes along one circuit.

One size level runs along the power path of a circuit: the smallest stocked size with which the worst
of its ways keeps the drop limit, all its wires being of that size. Each wire then gets the smallest
size that is at least the level and meets its own limits (ampacity, fuse, mechanical minimum). That is
how looms are built, and it keeps order: were the level lowered because one wire had to be thicker for
heat, a larger load could make another wire thinner. Wires of a relay coil are chosen by their own limits.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from circuits.electrical.limits import OwnLimits, holds
from circuits.sized import Conductor, Limit, Trial
from circuits.wiring import Wire


@dataclass(frozen=True, slots=True)
class Choice:
    """Size chosen for one wire.

    Parameters
    ----------
    size : Conductor
    governed_by : Limit
    tried : tuple of Trial
    """

    size: Conductor
    governed_by: Limit
    tried: tuple[Trial, ...]


@dataclass(frozen=True, slots=True)
class DropTried:
    """A drop and the limit it must not exceed [%]."""

    value_percent: float
    limit_percent: float


class DropLadder:
    """Drop of a circuit's worst way at each size of a stock, tried once a size.

    Parameters
    ----------
    stock : tuple of Conductor
        Thinnest first.
    drop_of : callable
        Drop of the worst way with every wire in the size given, and its limit.
    """

    def __init__(self, stock: tuple[Conductor, ...], drop_of: Callable[[Conductor], DropTried]) -> None:
        self._stock = stock
        self._drop_of = drop_of
        self._trials: list[Trial] = []

    def trial(self, step: int) -> Trial:
        """The drop limit tried at a size of the stock."""
        while len(self._trials) <= step:
            size = self._stock[len(self._trials)]
            tried = self._drop_of(size)
            value, limit = tried.value_percent, tried.limit_percent
            self._trials.append(Trial(size.label, Limit.DROP, value, limit, "%", holds(value, limit), size.source))
        return self._trials[step]

    def level(self) -> int:
        """Step of the smallest size that keeps the limit; the last one if none does."""
        for step in range(len(self._stock)):
            if self.trial(step).ok:
                return step
        return len(self._stock) - 1


def choose(wire: Wire, stock: tuple[Conductor, ...], level: int, ladder: DropLadder | None, own: OwnLimits) -> Choice:
    """Smallest size from ``level`` up that meets the wire's own limits; the thickest if none does.

    Parameters
    ----------
    wire : Wire
    stock : tuple of Conductor
        Thinnest first.
    level : int
        Step in the stock below which the drop limit does not let it go.
    ladder : DropLadder or None
        None for a wire that is on no load's way.
    own : OwnLimits
    """
    step = next((s for s in range(level, len(stock)) if own.hold(wire, stock[s])), len(stock) - 1)
    tried: list[Trial] = []
    at_step: list[Trial] = []
    refused_by = Limit.MECHANICAL
    for at in range(step + 1):
        if at == step:
            refused_by = _worst(at_step)
        at_step = [*own.tried(wire, stock[at])]
        if ladder is not None:
            at_step.append(ladder.trial(at))
        tried += at_step
    return Choice(stock[step], refused_by, tuple(tried))


def _worst(trials: list[Trial]) -> Limit:
    """The limit broken by most; the mechanical minimum where none is."""
    broken = [trial for trial in trials if not trial.ok]
    if not broken:
        return Limit.MECHANICAL
    return max(broken, key=lambda t: t.value / t.allowed if t.allowed > 0 else float("inf")).limit
