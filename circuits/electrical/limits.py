"""The limits that each wire is held against on its own: mechanical minimum, ampacity, fuse, short-time heating."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from circuits.electrical.ampacity import CRANKING_S, short_time_area_mm2
from circuits.electrical.carrying import Carrying, carrying
from circuits.electrical.conductors import copper_area_mm2
from circuits.electrical.coordination import largest_outlived_a, outlived_source
from circuits.electrical.protection import TOLERANCE, RatedProtection
from circuits.plan import Circuit, Covering, Duty, FuseFamily
from circuits.rules import SizingRules
from circuits.sized import Conductor, Limit, Trial
from circuits.wiring import Role, Wire

CRANKING_A = 100.0
"""Least current of a circuit that may go without a fuse as a cranking cable [A] (common practice, no source)."""

MECHANICAL_SOURCE = "the shop's least area; ISO 10133:2012 7.7 for its default"
FUSE_SOURCE = "a fuse protects the wire: rating at most its ampacity (33 CFR 183.455 would allow 150 %)"
SHORT_TIME_SOURCE = f"IEC 60364-5-54 adiabatic equation, {CRANKING_S:.0f} s of cranking (common practice)"


def is_cranking(wire: Wire, circuit: Circuit, fuse: RatedProtection | None) -> bool:
    """True for the cable of a starter: unfused, ``CRANKING_A`` or more, never for long.

    Parameters
    ----------
    wire : Wire
    circuit : Circuit
        The wire's.
    fuse : RatedProtection or None
        What protects the wire.
    """
    return (
        fuse is None
        and circuit.duty is Duty.INTERMITTENT
        and wire.current_a >= CRANKING_A
        and wire.role is not Role.RELAY_COIL
    )


def holds(value: float, allowed: float) -> bool:
    """True if ``value`` does not exceed ``allowed``, a rounding bit aside.

    Examples
    --------
    >>> holds(0.1 + 0.2, 0.3), holds(3.001, 3.0)
    (True, False)
    """
    return value <= allowed * (1 + TOLERANCE)


class _Task(NamedTuple):
    """All that the limits of a wire at a size depend on. A tuple, as it is looked up for every size tried."""

    label: str
    current_a: float
    ambient_c: float
    bundle: int
    coverings: tuple[Covering, ...]
    held_a: float
    families: tuple[FuseFamily, ...]
    cranking: bool


class OwnLimits:
    """Tries sizes against the limits of single wires and remembers what it tried, as many wires are alike.

    Parameters
    ----------
    rules : SizingRules
    fuses : mapping of str to RatedProtection
        By name of the protection.
    circuits : mapping of str to Circuit
    coverings : sequence of Covering
        Of each run of the plan.
    """

    def __init__(
        self,
        rules: SizingRules,
        fuses: Mapping[str, RatedProtection],
        circuits: Mapping[str, Circuit],
        coverings: Sequence[Covering] = (),
    ) -> None:
        self._rules = rules
        self._fuses = fuses
        self._circuits = circuits
        self._coverings = coverings
        self._wrapped: dict[tuple[int, ...], tuple[Covering, ...]] = {}
        self._known: dict[_Task, tuple[tuple[Trial, ...], bool]] = {}
        self._mechanical: dict[str, Trial] = {}

    def fuse_of(self, wire: Wire) -> RatedProtection | None:
        """The fuse that protects a wire; None where nothing does."""
        return self._fuses.get(wire.protected_by) if wire.protected_by else None

    def is_cranking(self, wire: Wire) -> bool:
        """True for a starter's cable."""
        return is_cranking(wire, self._circuits[wire.circuit], self.fuse_of(wire))

    def tried(self, wire: Wire, size: Conductor) -> tuple[Trial, ...]:
        """Each limit tried at a size."""
        return self._try(wire, size)[0]

    def hold(self, wire: Wire, size: Conductor) -> bool:
        """True if the size meets every limit of the wire's own."""
        return self._try(wire, size)[1]

    def carrying(self, wire: Wire, size: Conductor) -> Carrying:
        """What a wire carries for ever at a size: in the hottest place it passes, in the worst of its coverings."""
        return self._carrying(self._task(wire, size))

    def _task(self, wire: Wire, size: Conductor) -> _Task:
        fuse = self.fuse_of(wire)
        return _Task(
            size.label,
            wire.current_a,
            wire.path.ambient_c,
            wire.bundle,
            self._around(wire.path.runs),
            fuse.held_a if fuse else 0.0,
            fuse.families if fuse else (),
            fuse is None and self.is_cranking(wire),
        )

    def _around(self, runs: tuple[int, ...]) -> tuple[Covering, ...]:
        """Coverings of the runs that a wire passes, each once; none where it stays where it is."""
        found = self._wrapped.get(runs)
        if found is None:
            found = tuple(sorted({self._coverings[run] for run in runs if run < len(self._coverings)}))
            self._wrapped[runs] = found = found or (Covering.NONE,)
        return found

    def _carrying(self, task: _Task) -> Carrying:
        class_c, by = self._rules.insulation_class_c, self._rules.ampacity_by
        if len(task.coverings) == 1:
            return carrying(task.label, class_c, task.ambient_c, task.bundle, task.coverings[0], by)
        found = (carrying(task.label, class_c, task.ambient_c, task.bundle, around, by) for around in task.coverings)
        return min(found, key=lambda carried: carried.ampacity_a)

    def _try(self, wire: Wire, size: Conductor) -> tuple[tuple[Trial, ...], bool]:
        task = self._task(wire, size)
        found = self._known.get(task)
        if found is None:
            trials = self._trials(size, task)
            found = self._known[task] = (trials, all(trial.ok for trial in trials))
        return found

    def _trials(self, size: Conductor, task: _Task) -> tuple[Trial, ...]:
        carried = self._carrying(task)
        trials = [self._try_mechanical(size)]
        # Of a cranking current only the part below CRANKING_A is held to the ampacity: at that current the
        # short-time limit alone would allow a thinner wire than a slightly smaller load is given.
        carried_a = CRANKING_A if task.cranking else task.current_a
        trials.append(_trial(size, Limit.AMPACITY, carried_a, carried.ampacity_a, "A", carried.source))
        if task.held_a:
            trials.append(self._try_fuse(size, task, carried.ampacity_a))
        if task.cranking:
            needed = short_time_area_mm2(task.current_a, self._rules.insulation_class_c)
            trials.append(_trial(size, Limit.SHORT_TIME, needed, copper_area_mm2(size), "mm²", SHORT_TIME_SOURCE))
        return tuple(trials)

    def _try_fuse(self, size: Conductor, task: _Task, ampacity: float) -> Trial:
        class_c = self._rules.insulation_class_c
        allowed_a, slowest = min(
            (largest_outlived_a(task.label, class_c, task.ambient_c, ampacity, family), family)
            for family in task.families
        )
        allowed_a = min(ampacity, allowed_a)
        source = FUSE_SOURCE if allowed_a == ampacity else outlived_source(slowest)
        return _trial(size, Limit.FUSE, task.held_a, allowed_a, "A", source)

    def _try_mechanical(self, size: Conductor) -> Trial:
        found = self._mechanical.get(size.label)
        if found is None:
            least = self._rules.min_area_mm2
            found = _trial(size, Limit.MECHANICAL, least, size.area_mm2, "mm²", MECHANICAL_SOURCE)
            self._mechanical[size.label] = found
        return found


def _trial(size: Conductor, limit: Limit, value: float, allowed: float, unit: str, source: str) -> Trial:
    return Trial(size.label, limit, value, allowed, unit, holds(value, allowed), source)
