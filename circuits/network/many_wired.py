"""What conducts in many cases at once, and currents and voltages along the chains between forks: a column a case."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

import numpy as np

from circuits.network.branches import Bools, Branches, Ints
from circuits.network.laws import Floats
from circuits.network.many_cases import Layout

NOWHERE = 1 << 30
"""Place of the first open branch of a chain that has none."""


class Settings:
    """States of the switches: for each pole whether it is open, for each source its force, a column a state."""

    def __init__(self, branches: Branches, states: Sequence[Mapping[str, str]]) -> None:
        self.switches = np.array([row for row, _ in branches.switches], dtype=np.int64)
        sources = np.array([row for row, _ in branches.sources], dtype=np.int64)
        self.is_open: Bools = np.zeros((len(self.switches), len(states)), dtype=np.bool_)
        self.emf_v: Floats = np.zeros((len(sources), len(states)))
        for column, state in enumerate(states):
            self.is_open[:, column] = ~branches.thrown(state)[self.switches]
            self.emf_v[:, column] = branches.forces_v(state)[sources]


class Wired:
    """Cases with their switches, relays and fuses where they are.

    Parameters
    ----------
    layout : Layout
    settings : Settings
    state, case : array of int
        Of each column.
    pulled, blown : array of bool
        By relay and by rated fuse, a column a case: pulled in; opened.
    """

    def __init__(
        self, layout: Layout, settings: Settings, state: Ints, case: Ints, pulled: Bools, blown: Bools
    ) -> None:
        self.layout, self.columns = layout, len(state)
        branches, chains, tables = layout.branches, layout.chains, layout.tables
        rest_closed = np.array([rows.relay.rest_closed for rows in branches.relays], dtype=np.bool_)
        contacts = np.array([rows.contact for rows in branches.relays], dtype=np.int64)
        self._rows = np.concatenate((settings.switches, contacts, branches.fuse_rows, layout.broken_rows))
        broken = np.ones((len(layout.broken_rows), self.columns), dtype=np.bool_)
        self._open = np.concatenate((settings.is_open[:, state], pulled == rest_closed[:, None], blown, broken))
        self._cut = np.flatnonzero(tables.open_row[case] >= 0)
        self._cut_row = tables.open_row[case[self._cut]]
        self.dead: Bools = np.zeros((len(chains.first), self.columns), dtype=np.bool_)
        for chain, is_open in zip(chains.chain[self._rows].tolist(), self._open, strict=True):
            self.dead[chain] |= is_open
        self.dead[chains.chain[self._cut_row], self._cut] = True
        self.alive_bent: Bools = ~self.dead[chains.chain[layout.bent]]
        ohm = np.repeat(layout.chain_ohm[:, None], self.columns, axis=1)
        self._worse = np.flatnonzero(tables.worse_row[case] >= 0)
        self._worse_row, self._worse_ohm = tables.worse_row[case[self._worse]], tables.worse_ohm[case[self._worse]]
        ohm[layout.linear_place[chains.chain[self._worse_row]], self._worse] += self._worse_ohm
        self.conduct_s: Floats = np.where(self.dead[layout.linear], 0.0, 1.0 / ohm)
        self._add_shorts(tables.short_node[case], tables.short_ohm[case])
        self.force_v = settings.emf_v[:, state].copy()
        turned = tables.turned_row[case]
        for place, row in enumerate(layout.source_rows.tolist()):
            self.force_v[place, turned == row] *= -1.0
            self.force_v[place] *= chains.sign[row]

    def _add_shorts(self, node: Ints, short_ohm: Floats) -> None:
        """Shorts: from a fork one leg to the target; from within a chain, the star around the node as a mesh."""
        layout, chains = self.layout, self.layout.chains
        shorted = np.flatnonzero(node >= 0)
        chain = chains.node_chain[node[shorted]]
        inner, plain = shorted[chain >= 0], shorted[chain < 0]
        self.inner, self.at = inner, node[inner]
        self.chain = chains.node_chain[self.at]
        self.within = layout.within[self.at]
        here = (chains.chain[self._rows][:, None] == self.chain) & self._open[:, inner]
        before = chains.position[self._rows][:, None] < self.within
        self._here = here & before, here & ~before
        self.near_s = np.where(self._here[0].any(axis=0), 0.0, 1.0 / chains.from_ohm[self.at])
        self.far_s = np.where(self._here[1].any(axis=0), 0.0, 1.0 / chains.to_ohm[self.at])
        self.short_s = 1.0 / short_ohm[inner]
        total_s = self.near_s + self.far_s + self.short_s
        self.conduct_s[layout.linear_place[self.chain], inner] = self.near_s * self.far_s / total_s
        target = layout.place[layout.target]
        fork = np.concatenate((chains.first[self.chain], chains.last[self.chain], layout.place[node[plain]]))
        column = np.concatenate((inner, inner, plain))
        leg_s = np.concatenate(
            (self.near_s * self.short_s / total_s, self.far_s * self.short_s / total_s, 1.0 / short_ohm[plain])
        )
        kept = fork != target
        self.leg_fork, self.leg_column, self.leg_s = fork[kept], column[kept], leg_s[kept]

    def edges_s(self) -> Floats:
        """Conductances between forks without lamps and junctions [S]."""
        edge_s = np.asarray(self.layout.onto_edges @ self.conduct_s)
        np.add.at(edge_s, (self.layout.leg_edge[self.leg_fork], self.leg_column), self.leg_s)
        return edge_s

    def put_a(self) -> Floats:
        """What the sources put into each fork [A]."""
        layout, chains = self.layout, self.layout.chains
        put_a = np.zeros((len(chains.forks), self.columns))
        for chain, force_v in zip(chains.chain[layout.source_rows].tolist(), self.force_v, strict=True):
            driven_a = self.conduct_s[layout.linear_place[chain]] * force_v
            put_a[chains.first[chain]] -= driven_a
            put_a[chains.last[chain]] += driven_a
        return put_a

    def joined(self) -> Bools:
        """True for each fork that something leads to from the reference."""
        edge_s = self.edges_s() + self.layout.bent_onto_edges @ self.alive_bent.astype(np.float64)
        self.layout.shape.take_out(edge_s, None)
        return self.layout.shape.joined(edge_s)

    def chain_a(self, fork_v: Floats) -> Floats:
        """Current of each linear chain; of a shorted one what both its ends share [A]."""
        layout, chains = self.layout, self.layout.chains
        first, last = chains.first[layout.linear], chains.last[layout.linear]
        across_v = fork_v[first] - fork_v[last]
        for chain, force_v in zip(chains.chain[layout.source_rows].tolist(), self.force_v, strict=True):
            across_v[layout.linear_place[chain]] += force_v
        across_v *= self.conduct_s
        return across_v

    def short_v(self, fork_v: Floats) -> Floats:
        """Voltage of each node within a chain that is shorted [V]."""
        first_v, last_v = self._ends(fork_v)
        target_v = fork_v[self.layout.place[self.layout.target], self.inner]
        driven = self.near_s * first_v + self.far_s * last_v + self.short_s * target_v
        shorted_v: Floats = driven / (self.near_s + self.far_s + self.short_s)
        return shorted_v

    def _ends(self, fork_v: Floats) -> tuple[Floats, Floats]:
        chains = self.layout.chains
        return fork_v[chains.first[self.chain], self.inner], fork_v[chains.last[self.chain], self.inner]

    def halves_a(self, fork_v: Floats) -> tuple[Floats, Floats]:
        """Currents of shorted chains before and behind the short [A]."""
        (first_v, last_v), at_v = self._ends(fork_v), self.short_v(fork_v)
        return self.near_s * (first_v - at_v), self.far_s * (at_v - last_v)

    def currents_a(self, rows: Ints, fork_v: Floats, chain_a: Floats) -> Floats:
        """Currents of branches that are no lamps or junctions, from start to end [A]."""
        layout, chains = self.layout, self.layout.chains
        current_a = chain_a[layout.linear_place[chains.chain[rows]]]
        near_a, far_a = self.halves_a(fork_v)
        row, short = np.nonzero(chains.chain[rows][:, None] == self.chain)
        is_before = chains.position[rows[row]] < self.within[short]
        current_a[row, self.inner[short]] = np.where(is_before, near_a[short], far_a[short])
        current_a *= chains.sign[rows][:, None]
        return current_a

    def breach_a(self, fork_v: Floats, chain_a: Floats, bent_a: Floats) -> Floats:
        """Worst breach of Kirchhoff's law at the forks of each case [A]."""
        layout = self.layout
        arriving_a = layout.into_forks @ chain_a + layout.bent_into_forks @ bent_a
        target = layout.place[layout.target]
        leg_a = self.leg_s * (fork_v[self.leg_fork, self.leg_column] - fork_v[target, self.leg_column])
        np.subtract.at(arriving_a, (self.leg_fork, self.leg_column), leg_a)
        np.add.at(arriving_a, (np.full(len(leg_a), target), self.leg_column), leg_a)
        breach_a: Floats = np.max(np.abs(arriving_a), axis=0, initial=0.0)
        return breach_a

    @cached_property
    def _open_span(self) -> tuple[Ints, Ints]:
        """Position of the first and the last open branch of each chain."""
        chains = self.layout.chains
        first = np.full(self.dead.shape, NOWHERE, dtype=np.int64)
        last = np.full(self.dead.shape, -1, dtype=np.int64)
        for row, is_open in zip(self._rows.tolist(), self._open, strict=True):
            chain, position = chains.chain[row], chains.position[row]
            first[chain, is_open] = np.minimum(first[chain, is_open], position)
            last[chain, is_open] = np.maximum(last[chain, is_open], position)
        at = chains.chain[self._cut_row], self._cut
        first[at] = np.minimum(first[at], chains.position[self._cut_row])
        last[at] = np.maximum(last[at], chains.position[self._cut_row])
        return first, last

    def nodes_v(self, nodes: Ints, fork_v: Floats, joined: Bools) -> tuple[Floats, Bools]:
        """Voltages of nodes, and which of them float; 0 where they do [V].

        Parameters
        ----------
        nodes : array of int
        fork_v : array of float
        joined : array of bool
            By fork.
        """
        layout, chains = self.layout, self.layout.chains
        volt_v = np.empty((len(nodes), self.columns))
        holds = np.empty((len(nodes), self.columns), dtype=np.bool_)
        is_inner = chains.node_chain[nodes] >= 0
        fork = layout.place[nodes[~is_inner]]
        volt_v[~is_inner], holds[~is_inner] = fork_v[fork], joined[fork]
        if is_inner.any():
            volt_v[is_inner], holds[is_inner] = self._inner_v(nodes[is_inner], fork_v, joined)
        return np.where(holds, volt_v, 0.0), ~holds

    def _inner_v(self, nodes: Ints, fork_v: Floats, joined: Bools) -> tuple[Floats, Bools]:
        layout, chains = self.layout, self.layout.chains
        chain, within = chains.node_chain[nodes], layout.within[nodes][:, None]
        first, last = chains.first[chain], chains.last[chain]
        along_a = self.chain_a(fork_v)[layout.linear_place[chain]]
        volt_v = fork_v[first] - along_a * chains.from_ohm[nodes][:, None]
        node, worse = np.nonzero(chain[:, None] == chains.chain[self._worse_row])
        behind = within[node, 0] > chains.position[self._worse_row[worse]]
        node, worse = node[behind], worse[behind]
        volt_v[node, self._worse[worse]] -= along_a[node, self._worse[worse]] * self._worse_ohm[worse]
        opens, closes = (span[chain] for span in self._open_span)
        dead, near, far = self.dead[chain], within <= opens, within > closes
        volt_v = np.where(dead, np.where(near, fork_v[first], fork_v[last]), volt_v)
        holds = np.where(dead, (near & joined[first]) | (far & joined[last]), joined[first])
        self._shorted_v(nodes, chain, fork_v, joined, volt_v, holds)
        return volt_v, holds

    def _shorted_v(self, nodes: Ints, chain: Ints, fork_v: Floats, joined: Bools, volt_v: Floats, holds: Bools) -> None:
        """Nodes of shorted chains, in place: each half is a chain of its own."""
        layout, chains = self.layout, self.layout.chains
        node, short = np.nonzero(chain[:, None] == self.chain)
        if not len(node):
            return
        within, column = layout.within[nodes[node]], self.inner[short]
        (first_v, last_v), at_v, (near_a, far_a) = self._ends(fork_v), self.short_v(fork_v), self.halves_a(fork_v)
        target = layout.place[layout.target]
        first_joined = joined[chains.first[self.chain], self.inner]
        last_joined = joined[chains.last[self.chain], self.inner]
        at_joined = joined[target, self.inner]
        ohm = chains.from_ohm[nodes[node]]
        position = chains.position[self._rows][:, None]
        is_near = within <= self.within[short]
        near_v = first_v[short] - near_a[short] * ohm
        far_v = at_v[short] - far_a[short] * (ohm - chains.from_ohm[self.at[short]])
        for half, is_half, from_v, to_v, from_joined, to_joined, along_v in (
            (0, is_near, first_v, at_v, first_joined, at_joined, near_v),
            (1, ~is_near, at_v, last_v, at_joined, last_joined, far_v),
        ):
            is_open = self._here[half]
            opens = np.min(np.where(is_open, position, NOWHERE), axis=0, initial=NOWHERE)[short]
            closes = np.max(np.where(is_open, position, -1), axis=0, initial=-1)[short]
            near, far, dead = within <= opens, within > closes, opens < NOWHERE
            half_v = np.where(dead, np.where(near, from_v[short], to_v[short]), along_v)
            half_holds = np.where(dead, (near & from_joined[short]) | (far & to_joined[short]), from_joined[short])
            volt_v[node[is_half], column[is_half]] = half_v[is_half]
            holds[node[is_half], column[is_half]] = half_holds[is_half]
