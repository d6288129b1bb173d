"""Sizing of one circuit: its ways made ready, its sizes chosen, its drop added up."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.electrical.ampacity import ampacity_a
from circuits.electrical.choice import Choice, DropLadder, choose
from circuits.electrical.conductors import conductor, stocked_conductors
from circuits.electrical.drop import (
    conductor_c,
    has_bolted_joints,
    joint_drop_v,
    way_drop_v,
    wire_drop_v,
    with_fuses_v,
)
from circuits.electrical.limits import OwnLimits
from circuits.electrical.protection import RatedProtection
from circuits.errors import TableError
from circuits.plan import Circuit, Vehicle
from circuits.rules import SizingRules
from circuits.sized import Conductor, Limit, SizedCircuit, SizedWire
from circuits.wiring import CurrentPath, Role, Wire


@dataclass(frozen=True, slots=True)
class CircuitJob:
    """All that the sizing of one circuit needs.

    Parameters
    ----------
    circuit : Circuit
    vehicle : Vehicle
    rules : SizingRules
    wires : tuple of Wire
    paths : tuple of CurrentPath
    fuses : tuple of RatedProtection
        Its own.
    limit_percent : float
        Drop allowed at its end, feeders included [%].
    upstream_percent : float
        Drop set apart for the circuits that feed it [%].
    upstream_actual_percent : float
        Drop that those circuits really have [%].
    """

    circuit: Circuit
    vehicle: Vehicle
    rules: SizingRules
    wires: tuple[Wire, ...]
    paths: tuple[CurrentPath, ...]
    fuses: tuple[RatedProtection, ...]
    limit_percent: float
    upstream_percent: float = 0.0
    upstream_actual_percent: float = 0.0

    @property
    def own_fuse(self) -> RatedProtection | None:
        """The fuse of the load current; None where it has none of its own."""
        return next((fuse for fuse in self.fuses if fuse.protection.name == self.circuit.name), None)

    @property
    def forced_size(self) -> Conductor | None:
        """The size that the plan forces; None where it forces none, or one that no table holds."""
        try:
            return conductor(self.circuit.size) if self.circuit.size else None
        except TableError:
            return None

    def own_drop_percent(self, sizes: Conductor | dict[str, Conductor]) -> float:
        """Drop of the worst way within this circuit [%], every wire in one size or each in its own."""
        drops_v = {
            wire.name: wire_drop_v(wire, sizes if isinstance(sizes, Conductor) else sizes[wire.name], self.rules)
            for wire in self.wires
        }
        return max((self._way_v(path, drops_v) for path in self.paths), default=0.0) / self.vehicle.system_v * 100

    def unavoidable_percent(self) -> float:
        """What joints, fuse and chassis take however thick the wires are, and what is set apart upstream [%]."""
        none = dict.fromkeys((wire.name for wire in self.wires), 0.0)
        own_v = max((self._way_v(path, none) for path in self.paths), default=0.0)
        return self.upstream_percent + own_v / self.vehicle.system_v * 100

    def _way_v(self, path: CurrentPath, drops_v: dict[str, float]) -> float:
        on_way = set(path.out) | set(path.back)
        current_a = max((wire.current_a for wire in self.wires if wire.name in on_way), default=0.0)
        joint_v = joint_drop_v(current_a, self.rules.contact_ohm, has_bolted_joints(self.circuit, self.own_fuse))
        way_v = way_drop_v(path, drops_v, current_a, joint_v, self.vehicle.chassis_resistance_ohm)
        return with_fuses_v(way_v, (fuse for fuse in self.fuses if fuse.protection.name in path.protections))

    def ladder(self, stock: tuple[Conductor, ...]) -> DropLadder:
        """The drop limit at each size of a stock."""
        return DropLadder(stock, lambda size: self.upstream_percent + self.own_drop_percent(size), self.limit_percent)


@dataclass(frozen=True, slots=True)
class Outcome:
    """One circuit sized, with what the rules of ``checks`` look at."""

    job: CircuitJob
    sized: SizedCircuit

    @property
    def set_apart_percent(self) -> float:
        """What the circuits fed by this one must leave for it [%]: its allowance, or its drop if that is greater.

        A forced size is fixed, so that its real drop counts.
        """
        if self.job.forced_size:
            return self.sized.drop_percent
        return max(self.job.limit_percent, self.sized.drop_percent)


def size_circuit(job: CircuitJob, own: OwnLimits) -> Outcome:
    """Choose the size of each wire of a circuit, or check the one forced."""
    stock = stocked_conductors(job.rules)
    forced = job.forced_size
    power_stock = (forced,) if forced else stock
    ladder = job.ladder(power_stock) if job.paths else None
    level = ladder.level() if ladder else 0
    sized = []
    for wire in job.wires:
        if wire.role is Role.RELAY_COIL:
            sized.append(_sized_wire(wire, choose(wire, stock, 0, None, own), job.rules, forced=False))
        else:
            choice = choose(wire, power_stock, level, ladder, own)
            sized.append(_sized_wire(wire, choice, job.rules, forced=forced is not None))
    return Outcome(job, _sized_circuit(job, tuple(sized)))


def _sized_wire(wire: Wire, choice: Choice, rules: SizingRules, *, forced: bool) -> SizedWire:
    return SizedWire(
        wire=wire,
        conductor=choice.size,
        ampacity_a=ampacity_a(choice.size.label, rules.insulation_class_c, wire.path.ambient_c, wire.bundle),
        drop_v=wire_drop_v(wire, choice.size, rules),
        conductor_c=conductor_c(wire, choice.size, rules),
        governed_by=Limit.FORCED if forced else choice.governed_by,
        tried=choice.tried,
    )


def _sized_circuit(job: CircuitJob, wires: tuple[SizedWire, ...]) -> SizedCircuit:
    own_percent = job.own_drop_percent({sized.wire.name: sized.conductor for sized in wires}) if wires else 0.0
    drop_percent = job.upstream_actual_percent + own_percent if wires else 0.0
    coil_fuse = next((f.fuse for f in job.fuses if f is not job.own_fuse), None)
    return SizedCircuit(
        circuit=job.circuit,
        current_a=job.circuit.load_current_a(job.vehicle.system_v) * len(job.circuit.load_at),
        drop_v=drop_percent / 100 * job.vehicle.system_v,
        drop_percent=drop_percent,
        drop_limit_percent=job.limit_percent,
        fuse=job.own_fuse.fuse if job.own_fuse else None,
        coil_fuse=coil_fuse,
        wires=wires,
    )
