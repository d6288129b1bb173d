"""What single changes do to a linear network: one factorisation, then an update of rank one for each change.

With ``Z`` the inverse of the conductances between forks and ``u`` the difference of two forks, a chain whose
conductance changes by ``dg`` and whose drive changes by ``dj`` moves all voltages by ``Z u c`` with
``c = (dj - dg·u'v)/(1 + dg·u'Zu)`` (Sherman, Morrison 1950). Where the denominator is small the digits are gone: a
bound on the error is kept for each change, and beyond ``MOST_ERROR_V`` the network is solved anew. A chain that is a
bridge carries no current, so that opening it changes nothing but what it cuts off, which then floats.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from circuits.network.branches import Bools, Ints
from circuits.network.bridges import bridges_of
from circuits.network.chains import Chains, LinearNet, reduce_to_chains
from circuits.network.changes import Change, Joined, Opened, Turned, Worsened, changed
from circuits.network.laws import Floats
from circuits.network.linear import Factored, islands_of, solve_linear

MOST_ERROR_V = 1e-9
"""Bound on the error of an update above which the network is solved anew [V]."""

ROUNDING = 16 * float(np.finfo(np.float64).eps)
"""What a few sums and products leave of the last digits."""

BLOCK = 48
"""Changes worked on at once, so that their rows stay in the cache."""


@dataclass(frozen=True, eq=False)
class Swept:
    """Voltages after each change.

    Parameters
    ----------
    volt_v : array of float
        One row a change, one column a node [V]; without meaning where the node floats.
    floating : array of bool
        Nodes that float with or without a change.
    cut_off : mapping of int to array of bool
        Nodes that float, by change, where the change cuts some off.
    anew : tuple of int
        Changes for which the network was solved anew.
    """

    volt_v: Floats
    floating: Bools
    cut_off: Mapping[int, Bools]
    anew: tuple[int, ...]

    def voltage_v(self, change: int, node: int) -> float | None:
        """Voltage of a node after a change [V]; None where it floats."""
        floats = self.cut_off.get(change, self.floating)
        return None if floats[node] else float(self.volt_v[change, node])


class Sweep:
    """A linear network ready to be changed.

    Parameters
    ----------
    net : LinearNet

    Examples
    --------
    12 V on two resistances in series: open the lower one, and the middle rises to 12 V.

    >>> net = LinearNet(3, 0, np.array([0, 1, 2]), np.array([1, 2, 0]), np.ones(3), np.array([12.0, 0.0, 0.0]))
    >>> sweep = Sweep(net)
    >>> sweep.volt_v.round(9).tolist(), sweep.run([Opened(2)]).volt_v.round(9).tolist()
    ([0.0, 8.0, 4.0], [[0.0, 12.0, 12.0]])
    """

    def __init__(self, net: LinearNet) -> None:
        self.net = net
        chains = self.chains = reduce_to_chains(net)
        forks = len(chains.forks)
        islands = islands_of(forks, chains.first, chains.last, int(np.searchsorted(chains.forks, net.reference)))
        self._fork_islands = islands
        factored = Factored(islands, chains.first, chains.last, 1.0 / chains.ohm)
        inverse = factored.solve(np.eye(forks))
        self.inverse = (inverse + inverse.T) / 2.0
        self._first, self._last, self._to_last = _shares(chains, net.nodes)
        self.spread = self.inverse[:, self._first]
        inner = np.flatnonzero(chains.node_chain >= 0)
        self.spread[:, inner] *= 1.0 - self._to_last[inner]
        self.spread[:, inner] += self.inverse[:, self._last[inner]] * self._to_last[inner]
        fork_v = solve_linear(factored, chains.emf_v).volt_v
        self.volt_v = self._inner_v(fork_v)
        across_v = fork_v[chains.first] - fork_v[chains.last] + chains.emf_v
        self.chain_a = across_v / chains.ohm
        self._own_ohm = _between(self.inverse, chains.first, chains.last)
        self.bridges = bridges_of(forks, chains.first, chains.last, np.flatnonzero(islands.fixed).tolist())
        self._sizes = np.array([len(members) for members in chains.members], dtype=np.int64)
        self._offset = np.concatenate(([0], np.cumsum(self._sizes)))
        self._members = np.concatenate(chains.members) if chains.members else np.zeros(0, dtype=np.int64)

    def _inner_v(self, fork_v: Floats) -> Floats:
        """Voltages of all nodes from those of the forks [V]."""
        chains = self.chains
        volt_v = fork_v[self._first] * (1.0 - self._to_last) + fork_v[self._last] * self._to_last
        inner = np.flatnonzero(chains.node_chain >= 0)
        emf_v = chains.emf_v[chains.node_chain[inner]]
        volt_v[inner] += chains.from_v[inner] - emf_v * self._to_last[inner]
        return volt_v

    def run(self, changes: Sequence[Change]) -> Swept:
        """Voltages after each of the changes, each alone.

        Parameters
        ----------
        changes : sequence of Change
        """
        volt_v = np.empty((len(changes), self.net.nodes))
        anew: list[int] = []
        cut_off: dict[int, Bools] = {}
        along = [n for n, change in enumerate(changes) if not isinstance(change, Joined)]
        if along:
            self._run_along(np.array(along), [changes[n] for n in along], volt_v, anew, cut_off)
        joined = [n for n, change in enumerate(changes) if isinstance(change, Joined)]
        if joined:
            self._run_joined(np.array(joined), [c for c in changes if isinstance(c, Joined)], volt_v, anew)
        for n in anew:
            net = changed(self.net, changes[n])
            volt_v[n] = solve_linear(net.factored(), net.emf_v).volt_v
            cut_off[n] = net.islands.floating
        return Swept(volt_v, self.net.islands.floating, cut_off, tuple(sorted(anew)))

    def _run_along(
        self, at: Ints, changes: Sequence[Change], volt_v: Floats, anew: list[int], cut_off: dict[int, Bools]
    ) -> None:
        """Changes along a chain: opened, worsened, turned."""
        chains = self.chains
        row = np.array([change.row for change in changes if not isinstance(change, Joined)], dtype=np.int64)
        chain = chains.chain[row]
        added_ohm = np.array(
            [np.inf if isinstance(c, Opened) else c.ohm if isinstance(c, Worsened) else 0.0 for c in changes]
        )
        forward_v = np.array([float(self.net.emf_v[c.row]) if isinstance(c, Turned) else 0.0 for c in changes])
        turned_v = -2.0 * forward_v * chains.sign[row]
        ohm = chains.ohm[chain]
        after_s = 1.0 / (ohm + added_ohm)
        less_s = after_s - 1.0 / ohm
        # dj - dg u'v, written so that nothing cancels: the chain's own current is known
        push_a = -less_s * ohm * self.chain_a[chain] - after_s * turned_v
        held = 1.0 + less_s * self._own_ohm[chain]
        is_bridge = self.bridges.is_bridge[chain] | (chains.first[chain] == chains.last[chain])
        moved_a = np.where(is_bridge, 0.0, push_a / np.where(is_bridge, 1.0, held))
        coarse = np.diagonal(self.inverse)[chains.first[chain]] + np.diagonal(self.inverse)[chains.last[chain]]
        error_v = ROUNDING * coarse * np.abs(moved_a) / np.where(is_bridge, 1.0, np.abs(held))
        anew += at[(error_v > MOST_ERROR_V) | (is_bridge & (turned_v != 0.0))].tolist()
        for lower in range(0, len(at), BLOCK):
            part = slice(lower, lower + BLOCK)
            shift = self.spread[chains.first[chain[part]]]
            shift -= self.spread[chains.last[chain[part]]]
            shift *= moved_a[part, None]
            shift += self.volt_v
            self.refill(shift, row[part], added_ohm[part], turned_v[part])
            volt_v[at[part]] = shift
        for n in np.flatnonzero(self.bridges.is_bridge[chain] & np.isinf(added_ohm)).tolist():
            cut_off[int(at[n])] = self._cut_off(int(row[n]))

    def refill(self, volt_v: Floats, row: Ints, added_ohm: Floats, turned_v: Floats) -> None:
        """Voltages, in place, of the inner nodes of the chain each change is in."""
        chains = self.chains
        chain = chains.chain[row]
        sizes = self._sizes[chain]
        total = int(sizes.sum())
        if total == 0:
            return
        change = np.repeat(np.arange(len(row)), sizes)
        place = np.arange(total) - np.repeat(np.cumsum(sizes) - sizes, sizes)
        node = self._members[self._offset[chain][change] + place]
        beyond = place >= chains.position[row][change]
        ohm, emf_v = chains.ohm[chain][change], chains.emf_v[chain][change] + turned_v[change]
        added = added_ohm[change]
        opened = np.isinf(added)
        plain = np.where(opened, 0.0, added)
        share = np.where(opened, beyond, (chains.from_ohm[node] + beyond * plain) / (ohm + plain))
        first_v = volt_v[change, chains.forks[chains.first[chain]][change]]
        last_v = volt_v[change, chains.forks[chains.last[chain]][change]]
        own_v = chains.from_v[node] + beyond * turned_v[change] - emf_v * share
        volt_v[change, node] = first_v * (1.0 - share) + last_v * share + own_v

    def _cut_off(self, row: int) -> Bools:
        """Nodes that float once a branch of a bridge is opened."""
        chains, chain = self.chains, int(self.chains.chain[row])
        forks_off = self.bridges.beyond(chain)
        inner = chains.node_chain >= 0
        floats = self.net.islands.floating.copy()
        floats[chains.forks] |= forks_off
        floats[inner] |= (
            forks_off[chains.first[chains.node_chain[inner]]] & (forks_off[chains.last[chains.node_chain[inner]]])
        )
        members = chains.members[chain]
        beyond = np.arange(len(members)) >= chains.position[row]
        is_last_off = bool(forks_off[chains.last[chain]])
        floats[members] |= beyond == is_last_off
        return floats

    def _run_joined(self, at: Ints, joins: Sequence[Joined], volt_v: Floats, anew: list[int]) -> None:
        """Changes that join two nodes."""
        one = np.array([join.one for join in joins], dtype=np.int64)
        other = np.array([join.other for join in joins], dtype=np.int64)
        join_ohm = np.array([join.ohm for join in joins])
        label, own = self.net.islands.label, np.diagonal(self.inverse)
        coarse = own[self._first[one]] + own[self._last[one]] + own[self._first[other]] + own[self._last[other]]
        each, whole = np.arange(BLOCK), self.whole
        for lower in range(0, len(at), BLOCK):
            part = slice(lower, lower + BLOCK)
            here, there, change = one[part], other[part], each[: len(one[part])]
            shift = whole[here]
            shift -= whole[there]
            ohm = shift[change, here] - shift[change, there]
            moved_a = -(self.volt_v[here] - self.volt_v[there]) / (join_ohm[part] + ohm)
            shift *= moved_a[:, None]
            shift += self.volt_v
            volt_v[at[part]] = shift
            error_v = ROUNDING * (coarse[part] + ohm) * np.abs(moved_a) * (1.0 + ohm / (join_ohm[part] + ohm))
            anew += at[part][(error_v > MOST_ERROR_V) | (label[here] != label[there])].tolist()

    @cached_property
    def whole(self) -> Floats:
        """Inverse between all nodes: row by row the voltages for one ampere put into a node [V]."""
        chains, to_last = self.chains, self._to_last[:, None]
        volt_v = self.spread[self._first]
        inner = np.flatnonzero(chains.node_chain >= 0)
        volt_v[inner] *= 1.0 - to_last[inner]
        volt_v[inner] += self.spread[self._last[inner]] * to_last[inner]
        chain = chains.node_chain[inner]
        sizes = self._sizes[chain]
        node = np.repeat(inner, sizes)
        place = np.arange(len(node)) - np.repeat(np.cumsum(sizes) - sizes, sizes)
        member = self._members[np.repeat(self._offset[chain], sizes) + place]
        near = np.minimum(chains.from_ohm[member], chains.from_ohm[node])
        far = np.minimum(chains.to_ohm[member], chains.to_ohm[node])
        volt_v[node, member] += near * far / chains.ohm[chains.node_chain[node]]
        return volt_v


def _shares(chains: Chains, nodes: int) -> tuple[Ints, Ints, Floats]:
    """Of each node the two forks it lies between, and how far it is on the way to the second, as a share."""
    first, last, to_last = np.zeros(nodes, dtype=np.int64), np.zeros(nodes, dtype=np.int64), np.zeros(nodes)
    first[chains.forks] = last[chains.forks] = np.arange(len(chains.forks))
    inner = np.flatnonzero(chains.node_chain >= 0)
    chain = chains.node_chain[inner]
    first[inner], last[inner] = chains.first[chain], chains.last[chain]
    to_last[inner] = chains.from_ohm[inner] / chains.ohm[chain]
    return first, last, to_last


def _between(inverse: Floats, first: Ints, last: Ints) -> Floats:
    """``u'Zu``: resistance between two forks [ohm]."""
    own = np.diagonal(inverse)
    between: Floats = own[first] + own[last] - 2.0 * inverse[first, last]
    return between
