"""Two changes at once: an update of rank two, solved by its determinant, and anew where that is small.

Two openings that together cut a part of the network off have a determinant of zero: the network is then solved anew,
and what is cut off floats.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from circuits.network.branches import Bools
from circuits.network.changes import Change, Joined, Opened, Turned, Worsened, changed
from circuits.network.laws import Floats
from circuits.network.linear import solve_linear
from circuits.network.sweep import MOST_ERROR_V, ROUNDING, Sweep, Swept


@dataclass(frozen=True, eq=False)
class _Part:
    """One change of a pair: what it does by itself.

    ``answer_v`` are all voltages for one ampere along it, ``high`` and ``low`` the nodes it lies between, ``more_s``
    its change of conductance, ``push_a`` its change of current with the voltages held.
    """

    answer_v: Floats
    high: int
    low: int
    more_s: float
    push_a: float
    coarse_ohm: float


def sweep_pairs(sweep: Sweep, pairs: Sequence[tuple[Change, Change]]) -> Swept:
    """Voltages after each pair of changes.

    Parameters
    ----------
    sweep : Sweep
    pairs : sequence of tuple of Change

    Examples
    --------
    Two loads on a source: with both open, its whole voltage stands at its post.

    >>> from circuits.network.chains import LinearNet
    >>> start, end = np.array([0, 1, 1]), np.array([1, 0, 0])
    >>> sweep = Sweep(LinearNet(2, 0, start, end, np.ones(3), np.array([12.0, 0.0, 0.0])))
    >>> sweep_pairs(sweep, [(Opened(1), Opened(2)), (Opened(1), Worsened(2, 1.0))]).volt_v.round(9).tolist()
    [[0.0, 12.0], [0.0, 8.0]]
    """
    net = sweep.net
    volt_v = np.empty((len(pairs), net.nodes))
    cut_off: dict[int, Bools] = {}
    anew = []
    for number, (one, other) in enumerate(pairs):
        if not _update(sweep, one, other, volt_v[number : number + 1]):
            fresh = changed(net, one, other)
            volt_v[number] = solve_linear(fresh.factored(), fresh.emf_v).volt_v
            cut_off[number] = fresh.islands.floating
            anew.append(number)
    return Swept(volt_v, net.islands.floating, cut_off, tuple(anew))


def _update(sweep: Sweep, one: Change, other: Change, volt_v: Floats) -> bool:
    """Voltages, in place, by an update; False where it would not be exact."""
    if _meet(sweep, one, other):
        return False
    first, second = _part(sweep, one), _part(sweep, other)
    if first is None or second is None:
        return False
    own_first = first.answer_v[first.high] - first.answer_v[first.low]
    own_second = second.answer_v[second.high] - second.answer_v[second.low]
    mutual = second.answer_v[first.high] - second.answer_v[first.low]
    a, b = 1.0 + first.more_s * own_first, first.more_s * mutual
    c, d = second.more_s * mutual, 1.0 + second.more_s * own_second
    determinant = a * d - b * c
    scale = max(1.0, abs(a), abs(b)) * max(1.0, abs(c), abs(d))
    if abs(determinant) <= ROUNDING * scale:
        return False
    moved_a = np.array([d * first.push_a - b * second.push_a, a * second.push_a - c * first.push_a]) / determinant
    coarse_ohm = first.coarse_ohm + second.coarse_ohm
    if ROUNDING * coarse_ohm * float(np.max(np.abs(moved_a))) * scale / abs(determinant) > MOST_ERROR_V:
        return False
    volt_v[0] = sweep.volt_v + moved_a[0] * first.answer_v + moved_a[1] * second.answer_v
    for change in (one, other):
        if not isinstance(change, Joined):
            added_ohm, turned_v = _added_ohm(change), _turned_v(sweep, change)
            sweep.refill(volt_v, np.array([change.row]), np.array([added_ohm]), np.array([turned_v]))
    return True


def _chains_of(sweep: Sweep, change: Change) -> set[int]:
    """Chains a change lies in."""
    if isinstance(change, Joined):
        return {int(sweep.chains.node_chain[node]) for node in (change.one, change.other)} - {-1}
    return {int(sweep.chains.chain[change.row])}


def _meet(sweep: Sweep, one: Change, other: Change) -> bool:
    """True where both lie in one chain, of which one of them changes the way."""
    if isinstance(one, Joined) and isinstance(other, Joined):
        return False
    return bool(_chains_of(sweep, one) & _chains_of(sweep, other))


def _added_ohm(change: Opened | Worsened | Turned) -> float:
    return float("inf") if isinstance(change, Opened) else change.ohm if isinstance(change, Worsened) else 0.0


def _turned_v(sweep: Sweep, change: Opened | Worsened | Turned) -> float:
    if not isinstance(change, Turned):
        return 0.0
    return -2.0 * float(sweep.net.emf_v[change.row]) * int(sweep.chains.sign[change.row])


def _part(sweep: Sweep, change: Change) -> _Part | None:
    """One change by itself; None where only a solve anew is exact."""
    chains, own = sweep.chains, np.diagonal(sweep.inverse)
    if isinstance(change, Joined):
        label, one, other = sweep.net.islands.label, change.one, change.other
        if label[one] != label[other]:
            return None
        answer_v = sweep.whole[one] - sweep.whole[other]
        push_a = -float(sweep.volt_v[one] - sweep.volt_v[other]) / change.ohm
        coarse_ohm = float(sweep.whole[one, one] + sweep.whole[other, other])
        return _Part(answer_v, one, other, 1.0 / change.ohm, push_a, coarse_ohm)
    chain = int(chains.chain[change.row])
    first, last = int(chains.first[chain]), int(chains.last[chain])
    if sweep.bridges.is_bridge[chain] or first == last:
        return None
    ohm = float(chains.ohm[chain])
    after_s = 1.0 / (ohm + _added_ohm(change))
    more_s = after_s - 1.0 / ohm
    push_a = -more_s * ohm * float(sweep.chain_a[chain]) - after_s * _turned_v(sweep, change)
    answer_v = sweep.spread[first] - sweep.spread[last]
    high, low = int(chains.forks[first]), int(chains.forks[last])
    return _Part(answer_v, high, low, more_s, push_a, float(own[first] + own[last]))
