"""Sizing of one circuit: its ways made ready, its sizes chosen, its drop added up."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.electrical.choice import Choice, DropLadder, DropTried, choose
from circuits.electrical.conductors import conductor, stocked_conductors
from circuits.electrical.drop import Way, conductor_c, has_bolted_joints, way_of, wire_drop_v
from circuits.electrical.limits import OwnLimits
from circuits.electrical.protection import RatedProtection
from circuits.errors import TableError
from circuits.plan import Circuit, Kind, Vehicle
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
    allowance_percent : float or None
        Drop allowed up to where it is tapped for other circuits, upstream included [%]; None where it is not.
    upstream_percent : float
        Drop set apart for the circuits that it is tapped from [%].
    upstream_actual_percent : float
        Drop that those circuits really have [%].
    supply_percent : float
        Drop of the feeders before the panel where its supply starts [%].
    supply_ohm : float
        Resistance of the circuits that feed it, the battery left out [ohm].
    above : RatedProtection or None
        The next fuse upstream of its own.
    """

    circuit: Circuit
    vehicle: Vehicle
    rules: SizingRules
    wires: tuple[Wire, ...]
    paths: tuple[CurrentPath, ...]
    fuses: tuple[RatedProtection, ...]
    allowance_percent: float | None = None
    upstream_percent: float = 0.0
    upstream_actual_percent: float = 0.0
    supply_percent: float = 0.0
    supply_ohm: float = 0.0
    above: RatedProtection | None = None

    @property
    def limit_percent(self) -> float:
        """Drop allowed at its loads [%]. A feeder has the shop's limit for feeders unless the plan sets another."""
        if self.circuit.kind is Kind.FEEDER and self.circuit.max_drop_percent is None:
            return self.rules.feeder_max_drop_percent
        return self.circuit.drop_limit_percent

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

    def ways(self) -> tuple[Way, ...]:
        """The way of each load's current."""
        wires = {wire.name: wire for wire in self.wires}
        bolted = has_bolted_joints(self.circuit, self.own_fuse)
        return tuple(
            way_of(
                path,
                wires,
                self.fuses,
                contact_ohm=self.rules.contact_ohm,
                bolted=bolted,
                chassis_ohm=self.vehicle.chassis_resistance_ohm,
            )
            for path in self.paths
        )

    def percent(self, drop_v: float) -> float:
        """A drop as a share of the system voltage [%]."""
        return drop_v / self.vehicle.system_v * 100

    def ladder(self, stock: tuple[Conductor, ...]) -> DropLadder:
        """The drop limit at each size of a stock."""
        ways = self.ways()
        on_way = {wire.name: wire for way in ways for wire in (*way.out, *way.back)}.values()

        def drop_of(size: Conductor) -> DropTried:
            return self._tighter(ways, {wire.name: wire_drop_v(wire, size, self.rules) for wire in on_way})

        return DropLadder(stock, drop_of)

    def unavoidable(self) -> DropTried:
        """What is left of the drop however thick the wires are: joints, fuses, chassis, circuits upstream."""
        return self._tighter(self.ways(), {wire.name: 0.0 for wire in self.wires})

    def _tighter(self, ways: tuple[Way, ...], drops_v: dict[str, float]) -> DropTried:
        """The drop at the loads, or the one up to where others are fed, whichever is nearer to its limit."""
        at_loads_v = max((way.drop_v(drops_v, at_any_load=True) for way in ways), default=0.0)
        at_loads = DropTried(self.upstream_percent + self.percent(at_loads_v), self.limit_percent)
        if self.allowance_percent is None:
            return at_loads
        outward_v = max((way.outward_drop_v(drops_v, at_any_load=True) for way in ways), default=0.0)
        outward = DropTried(self.upstream_percent + self.percent(outward_v), self.allowance_percent)
        return max(at_loads, outward, key=lambda tried: tried.value_percent / tried.limit_percent)


@dataclass(frozen=True, slots=True)
class Outcome:
    """One circuit sized, with what the rules of ``checks`` look at."""

    job: CircuitJob
    sized: SizedCircuit
    own: OwnLimits

    @property
    def outward_percent(self) -> float:
        """Drop with which a circuit really starts that is fed from this one [%]."""
        return self.job.upstream_actual_percent + self._outward_percent(at_any_load=False)

    @property
    def supply_beyond_percent(self) -> float:
        """Drop of all feeders before a circuit that is fed from this one [%]: its own counts where it is a feeder."""
        own_percent = self.outward_percent if self.job.circuit.kind is Kind.FEEDER else 0.0
        return self.job.supply_percent + own_percent

    @property
    def set_apart_percent(self) -> float:
        """What the circuits tapped from this one must leave for it [%]: its allowance, or its drop if that is greater.

        A forced size is fixed, so that its own drop counts.
        """
        drop_percent = self.job.upstream_percent + self._outward_percent(at_any_load=True)
        if self.job.forced_size or self.job.allowance_percent is None:
            return drop_percent
        return max(self.job.allowance_percent, drop_percent)

    def _outward_percent(self, *, at_any_load: bool) -> float:
        drops_v = _drops_v(self.sized.wires)
        ways = self.job.ways()
        return self.job.percent(max((w.outward_drop_v(drops_v, at_any_load=at_any_load) for w in ways), default=0.0))


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
            sized.append(_sized_wire(wire, choose(wire, stock, 0, None, own), job.rules, own, forced=False))
        else:
            choice = choose(wire, power_stock, level, ladder, own)
            sized.append(_sized_wire(wire, choice, job.rules, own, forced=forced is not None))
    return Outcome(job, _sized_circuit(job, tuple(sized)), own)


def _drops_v(wires: tuple[SizedWire, ...]) -> dict[str, float]:
    return {sized.wire.name: sized.drop_v for sized in wires}


def _sized_wire(wire: Wire, choice: Choice, rules: SizingRules, own: OwnLimits, *, forced: bool) -> SizedWire:
    return SizedWire(
        wire=wire,
        conductor=choice.size,
        ampacity_a=own.carrying(wire, choice.size).ampacity_a,
        drop_v=wire_drop_v(wire, choice.size, rules),
        conductor_c=conductor_c(wire, choice.size, rules),
        governed_by=Limit.FORCED if forced else choice.governed_by,
        tried=choice.tried,
    )


def _sized_circuit(job: CircuitJob, wires: tuple[SizedWire, ...]) -> SizedCircuit:
    drops_v = _drops_v(wires)
    own_v = max((way.drop_v(drops_v, at_any_load=False) for way in job.ways()), default=0.0)
    drop_percent = job.upstream_actual_percent + job.percent(own_v) if wires else 0.0
    coil_fuse = next((fuse.fuse for fuse in job.fuses if fuse is not job.own_fuse), None)
    return SizedCircuit(
        circuit=job.circuit,
        current_a=job.circuit.load_current_a(job.vehicle.system_v) * len(job.circuit.load_at),
        drop_v=drop_percent / 100 * job.vehicle.system_v,
        drop_percent=drop_percent,
        drop_limit_percent=job.limit_percent,
        fuse=job.own_fuse.fuse if job.own_fuse else None,
        coil_fuse=coil_fuse,
        wires=wires,
        supply_drop_percent=job.supply_percent if wires else 0.0,
    )
