"""The limits that each wire is held against on its own: mechanical minimum, ampacity, fuse, short-time heating."""

from __future__ import annotations

from collections.abc import Mapping

from circuits.electrical.ampacity import AMPACITY_SOURCE, CRANKING_S, ampacity_a, short_time_area_mm2
from circuits.electrical.conductors import copper_area_mm2
from circuits.electrical.protection import TOLERANCE, RatedProtection
from circuits.plan import Circuit, Duty
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


class OwnLimits:
    """Tries sizes against the limits of single wires and remembers what it tried, as many wires are alike.

    Parameters
    ----------
    rules : SizingRules
    fuses : mapping of str to RatedProtection
        By name of the protection.
    circuits : mapping of str to Circuit
    """

    def __init__(
        self, rules: SizingRules, fuses: Mapping[str, RatedProtection], circuits: Mapping[str, Circuit]
    ) -> None:
        self._rules = rules
        self._fuses = fuses
        self._circuits = circuits
        self._known: dict[tuple[str, float, float, int, float, bool], tuple[tuple[Trial, ...], bool]] = {}
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

    def _try(self, wire: Wire, size: Conductor) -> tuple[tuple[Trial, ...], bool]:
        fuse = self.fuse_of(wire)
        held_a = fuse.held_a if fuse else 0.0
        cranking = fuse is None and self.is_cranking(wire)
        key = (size.label, wire.current_a, wire.path.ambient_c, wire.bundle, held_a, cranking)
        found = self._known.get(key)
        if found is None:
            trials = self._trials(size, wire, held_a, cranking)
            found = self._known[key] = (trials, all(trial.ok for trial in trials))
        return found

    def _trials(self, size: Conductor, wire: Wire, held_a: float, cranking: bool) -> tuple[Trial, ...]:
        ampacity = ampacity_a(size.label, self._rules.insulation_class_c, wire.path.ambient_c, wire.bundle)
        trials = [self._try_mechanical(size)]
        # Of a cranking current only the part below CRANKING_A is held to the ampacity: at that current the
        # short-time limit alone would allow a thinner wire than a slightly smaller load is given.
        carried_a = CRANKING_A if cranking else wire.current_a
        trials.append(_trial(size, Limit.AMPACITY, carried_a, ampacity, "A", AMPACITY_SOURCE))
        if held_a:
            trials.append(_trial(size, Limit.FUSE, held_a, ampacity, "A", FUSE_SOURCE))
        if cranking:
            needed = short_time_area_mm2(wire.current_a, self._rules.insulation_class_c)
            trials.append(_trial(size, Limit.SHORT_TIME, needed, copper_area_mm2(size), "mm²", SHORT_TIME_SOURCE))
        return tuple(trials)

    def _try_mechanical(self, size: Conductor) -> Trial:
        found = self._mechanical.get(size.label)
        if found is None:
            least = self._rules.min_area_mm2
            found = _trial(size, Limit.MECHANICAL, least, size.area_mm2, "mm²", MECHANICAL_SOURCE)
            self._mechanical[size.label] = found
        return found


def _trial(size: Conductor, limit: Limit, value: float, allowed: float, unit: str, source: str) -> Trial:
    return Trial(size.label, limit, value, allowed, unit, holds(value, allowed), source)
