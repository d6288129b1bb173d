"""Relays and fuses of many cases at once: what moves until nothing does.

The rounds are those of ``solve``: relays start at rest and follow their coils, one that finds no position it can keep
oscillates, and of the fuses that carry too much the most overloaded opens. Each round only takes along the cases in
which something moved.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from circuits.network.branches import Bools, Ints
from circuits.network.laws import Floats, figure
from circuits.network.many_cases import Layout
from circuits.network.many_steps import Bent, newton
from circuits.network.many_wired import Settings, Wired
from circuits.network.solve import ALIKE, MOST_STEPS

MOST_ROUNDS = 60
"""Steps of Newton's method after which a case is left to be solved by itself."""


@dataclass(eq=False)
class Settled:
    """Cases at rest: a column a case.

    Parameters
    ----------
    fork_v : array of float
        Voltage of each fork [V].
    bent_a : array of float
        Current of each lamp and junction [A].
    pulled, oscillating, blown : array of bool
        By relay, by relay, by rated fuse.
    breach_a : array of float
        Of Kirchhoff's law, the worst of each case; infinite where it did not settle [A].
    """

    fork_v: Floats
    bent_a: Floats
    pulled: Bools
    oscillating: Bools
    blown: Bools
    breach_a: Floats

    def put(self, columns: Ints, other: Settled) -> None:
        """Put other cases in the place of these columns."""
        for name in _FIELDS:
            getattr(self, name)[..., columns] = getattr(other, name)


_FIELDS = tuple(one.name for one in fields(Settled))


def joined(parts: Sequence[Settled]) -> Settled:
    """Cases side by side.

    Parameters
    ----------
    parts : sequence of Settled
        At least one.
    """
    return Settled(*(np.concatenate([getattr(one, name) for one in parts], axis=-1) for name in _FIELDS))


class Rounds:
    """Solver of the cases of a layout.

    Parameters
    ----------
    layout : Layout
    settings : Settings
    """

    def __init__(self, layout: Layout, settings: Settings) -> None:
        self.layout, self.settings = layout, settings
        branches = layout.branches
        self.bent = Bent(branches)
        relays = [rows.relay for rows in branches.relays]
        self.coils = np.array([rows.coil for rows in branches.relays], dtype=np.int64)
        self.coil_s = branches.conductance_s[self.coils][:, None]
        self.pull_in_v = np.array([relay.pull_in_v for relay in relays])[:, None]
        self.drop_out_v = np.array([relay.drop_out_v for relay in relays])[:, None]
        self.fuses = branches.fuse_rows
        self.rating_a = branches.rating_a[self.fuses][:, None]
        self.opens_at = figure("fuse_opens_share")

    def cold(self, columns: int) -> Floats:
        """Voltages to start at where nothing better is known: lamps at their rated voltage, junctions at none [V]."""
        rated_v = self.bent.rated[0]
        start_v = np.concatenate((rated_v, np.zeros((len(self.layout.branches.diodes), 1))))
        return np.repeat(start_v, columns, axis=1)

    def run(
        self, state: Ints, case: Ints, starts_v: list[Floats], most_rounds: int = MOST_ROUNDS
    ) -> tuple[Settled, list[Floats]]:
        """Settle cases.

        Parameters
        ----------
        state, case : array of int
            Of each column.
        starts_v : list of array of float
            Voltages of lamps and junctions to start from, by round of the relays, a column a case [V].
        most_rounds : int
            Steps of Newton's method after which a case counts as not settled.

        Returns
        -------
        tuple of Settled and list of array of float
            And the voltages of lamps and junctions after each round [V].
        """
        columns = len(state)
        now = _Standing(len(self.coils), len(self.fuses), columns)
        fork_v = np.zeros((len(self.layout.chains.forks), columns))
        bent_v, bent_a = starts_v[0].copy(), np.zeros_like(starts_v[0])
        breach_a = np.full(columns, np.inf)
        rounds_v: list[Floats] = []
        active = np.arange(columns)
        for step in range(MOST_STEPS):
            wired = Wired(
                self.layout, self.settings, state[active], case[active], now.pulled[:, active], now.blown[:, active]
            )
            found_v, across_v, settled = newton(wired, self.bent, bent_v[:, active], most_rounds)
            fork_v[:, active], bent_v[:, active] = found_v, across_v
            now_a = self.bent.current_a(across_v) * wired.alive_bent
            bent_a[:, active], chain_a = now_a, wired.chain_a(found_v)
            breach_a[active] = np.where(settled, wired.breach_a(found_v, chain_a, now_a), np.inf)
            rounds_v.append(bent_v.copy())
            moved = now.follow(active, self._asked(wired, found_v, chain_a, now.pulled[:, active]))
            opened = now.blow(active, moved, self._loaded(wired, found_v, chain_a), self.opens_at)
            if len(starts_v) > 1:
                start_v = starts_v[min(step + 1, len(starts_v) - 1)]
                bent_v[:, active[moved]] = start_v[:, active[moved]]
            active = active[(moved | opened) & settled]
            if not len(active):
                break
        breach_a[active] = np.inf
        return Settled(fork_v, bent_a, now.pulled, now.oscillating, now.blown, breach_a), rounds_v

    def _asked(self, wired: Wired, fork_v: Floats, chain_a: Floats, pulled: Bools) -> Bools:
        """Relays that the voltages over their coils pull in, or hold."""
        coil_v = np.abs(wired.currents_a(self.coils, fork_v, chain_a)) / self.coil_s
        asked: Bools = coil_v >= np.where(pulled, self.drop_out_v, self.pull_in_v)
        return asked

    def _loaded(self, wired: Wired, fork_v: Floats, chain_a: Floats) -> Floats:
        """Currents of the rated fuses as shares of their ratings."""
        share: Floats = np.abs(wired.currents_a(self.fuses, fork_v, chain_a)) / self.rating_a
        return share


class _Standing:
    """Where relays and fuses stand, a column a case."""

    def __init__(self, relays: int, fuses: int, columns: int) -> None:
        self.pulled, self.oscillating = np.zeros((relays, columns), bool), np.zeros((relays, columns), bool)
        self.blown = np.zeros((fuses, columns), bool)
        self._seen = [[bytes(relays)] for _ in range(columns)]

    def follow(self, columns: Ints, asked: Bools) -> Bools:
        """Let relays follow their coils; True where one moved. One that comes round again oscillates."""
        moved = np.zeros(len(columns), dtype=np.bool_)
        differs = (asked != self.pulled[:, columns]).any(axis=0) & ~self.oscillating[:, columns].any(axis=0)
        for place in np.flatnonzero(differs).tolist():
            column, wanted = int(columns[place]), asked[:, place]
            seen, key = self._seen[column], wanted.tobytes()
            if key in seen:
                cycle = np.array([np.frombuffer(one, dtype=np.bool_) for one in seen[seen.index(key) :]])
                self.oscillating[:, column] = cycle.any(axis=0) & ~cycle.all(axis=0)
            else:
                seen.append(key)
                self.pulled[:, column] = wanted
                moved[place] = True
        return moved

    def blow(self, columns: Ints, moved: Bools, share: Floats, limit: float) -> Bools:
        """Where no relay moved, open the most overloaded fuse if it is beyond the limit; True where one opened."""
        if not len(share):
            return np.zeros(len(columns), dtype=np.bool_)
        worst = np.argmax(share >= (1.0 - ALIKE) * share.max(axis=0), axis=0)
        opened: Bools = (share[worst, np.arange(len(columns))] >= limit) & ~moved
        for place in np.flatnonzero(opened).tolist():
            column = int(columns[place])
            self.blown[worst[place], column] = True
            self.oscillating[:, column] = False
            self._seen[column] = [self.pulled[:, column].tobytes()]
        return opened
