"""Newton's method over the lamps and junctions of many cases at once; each step takes along what has not settled."""

from __future__ import annotations

import numpy as np

from circuits.network.branches import Bools, Branches
from circuits.network.laws import Floats, diode_current_a, diode_slope_s, lamp_current_a, lamp_slope_s
from circuits.network.many_wired import Wired
from circuits.network.operating import HELD_A, MOST_IDLE, SETTLED_A, SETTLED_V, eased_junction_v, eased_lamp_v

IDLE_A = HELD_A / 4
"""Breach of Kirchhoff's law by the tangents with which a case that gets no better is at rest: rounding adds its own."""


class Bent:
    """Laws of a layout's lamps and junctions, a row each, lamps first."""

    def __init__(self, branches: Branches) -> None:
        self.lamps = len(branches.lamps)
        self.rated = branches.rated_v[:, None], branches.rated_w[:, None]
        self.junction = branches.saturation_a[:, None], branches.slope_v[:, None]

    def current_a(self, volt_v: Floats) -> Floats:
        """Currents [A]."""
        lamp_a = lamp_current_a(volt_v[: self.lamps], *self.rated)
        return np.concatenate((lamp_a, diode_current_a(volt_v[self.lamps :], *self.junction)))

    def slope_s(self, volt_v: Floats) -> Floats:
        """Slopes of their curves [S]."""
        lamp_s = lamp_slope_s(volt_v[: self.lamps], *self.rated)
        return np.concatenate((lamp_s, diode_slope_s(volt_v[self.lamps :], *self.junction)))

    def eased_v(self, wanted_v: Floats, old_v: Floats) -> Floats:
        """Voltages to linearise at next [V]."""
        lamp_v = eased_lamp_v(wanted_v[: self.lamps], old_v[: self.lamps], self.rated[0])
        return np.concatenate((lamp_v, eased_junction_v(wanted_v[self.lamps :], old_v[self.lamps :], *self.junction)))


def newton(wired: Wired, bent: Bent, start_v: Floats, most_steps: int) -> tuple[Floats, Floats, Bools]:
    """Voltages of the forks, voltages over lamps and junctions, and which cases settled.

    Parameters
    ----------
    wired : Wired
    bent : Bent
    start_v : array of float
        Over lamps and junctions, to linearise at first [V].
    most_steps : int
    """
    shape = wired.layout.shape
    edge_s = wired.edges_s()
    shape.take_out(edge_s, None, 0, shape.early)
    search = _Search(wired, bent, start_v, edge_s[shape.first_late :])
    fork_v, bent_v = np.zeros((shape.nodes, wired.columns)), start_v.copy()
    settled = np.zeros(wired.columns, dtype=np.bool_)
    for _ in range(most_steps):
        search.step()
        done = search.done()
        columns = search.columns[done]
        fork_v[:, columns], bent_v[:, columns], settled[columns] = search.fork_v[:, done], search.bent_v[:, done], True
        if settled.all():
            break
        search.go_on(~done)
    return shape.give_back(edge_s, fork_v, 0, shape.early), bent_v, settled


class _Search:
    """The cases that have not settled: ``columns`` says which they are."""

    def __init__(self, wired: Wired, bent: Bent, start_v: Floats, late_s: Floats) -> None:
        self.layout, self.bent = wired.layout, bent
        self.columns = np.arange(wired.columns)
        self.fork_v, self.bent_v = np.zeros((0, wired.columns)), start_v
        self._late_s, self._put_a, self._alive = late_s, wired.put_a(), wired.alive_bent
        self._old_v, self._old_a = start_v, bent.current_a(start_v)
        self._now_a, self._off_a, self._away_v = self._old_a, np.zeros(0), np.zeros(0)
        self._best_a, self._idle = np.full(wired.columns, np.inf), np.zeros(wired.columns, dtype=np.int64)

    def step(self) -> None:
        """Solve with the tangents at the last voltages."""
        layout, shape, alive = self.layout, self.layout.shape, self._alive
        slope_s = np.where(alive, self.bent.slope_s(self._old_v), 0.0)
        push_a = np.where(alive, self._old_a, 0.0) - slope_s * self._old_v
        edge_s = np.empty((shape.size, len(self.columns)))
        np.add(self._late_s, (layout.bent_onto_edges @ slope_s)[shape.first_late :], out=edge_s[shape.first_late :])
        fork_v = self._put_a + layout.bent_into_forks @ push_a
        shape.take_out(edge_s, fork_v, shape.early)
        self.fork_v = shape.give_back(edge_s, fork_v, shape.early)
        first, last = layout.bent_ends
        self.bent_v = np.where(alive, fork_v[first] - fork_v[last], self._old_v)
        self._now_a = self.bent.current_a(self.bent_v)
        off_a = np.where(alive, self._now_a - push_a - slope_s * self.bent_v, 0.0)
        self._off_a = np.max(np.abs(off_a), axis=0, initial=0.0)
        self._away_v = np.max(np.abs(self.bent_v - self._old_v), axis=0, initial=0.0)

    def done(self) -> Bools:
        """True for each case that has settled, or gets no better while Kirchhoff's law holds."""
        self._idle = np.where(self._off_a < self._best_a, 0, self._idle + 1)
        self._best_a = np.minimum(self._best_a, self._off_a)
        is_idle = (self._off_a <= IDLE_A) & (self._idle >= MOST_IDLE)
        done: Bools = ((self._off_a <= SETTLED_A) & (self._away_v <= SETTLED_V)) | is_idle
        return done

    def go_on(self, left: Bools) -> None:
        """Go on with some of the cases, from the voltages that they came to."""
        old_v, wanted_v = self._old_v[:, left], self.bent_v[:, left]
        self.columns, self._best_a, self._idle = self.columns[left], self._best_a[left], self._idle[left]
        self._late_s, self._put_a, self._alive = self._late_s[:, left], self._put_a[:, left], self._alive[:, left]
        self._old_v = np.where(self._alive, self.bent.eased_v(wanted_v, old_v), old_v)
        self._old_a = self._now_a[:, left]
        eased = np.flatnonzero((self._old_v != wanted_v).any(axis=0))
        self._old_a[:, eased] = self.bent.current_a(self._old_v[:, eased])
