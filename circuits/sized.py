"""The sized plan: results of ``circuits.electrical.sizing``, each able to say why."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from circuits.findings import Finding, Severity
from circuits.plan import Circuit, Covering, FuseFamily
from circuits.rules import BuildRules
from circuits.wiring import Wire, Wiring


class Limit(StrEnum):
    """Limits a size is held against."""

    AMPACITY = "ampacity"
    DROP = "drop"
    FUSE = "fuse"
    MECHANICAL = "mechanical minimum"
    SHORT_TIME = "short-time heating"
    FORCED = "forced size"


@dataclass(frozen=True, slots=True)
class Conductor:
    """One size of one series.

    Parameters
    ----------
    label : str
        ``14 AWG`` or ``2.5 mm²``.
    area_mm2 : float
        Nominal area [mm²].
    r20_ohm_per_m : float
        Resistance at 20 °C [ohm/m].
    outer_mm : float
        Diameter over insulation [mm].
    source : str
        Where resistance comes from.
    """

    label: str
    area_mm2: float
    r20_ohm_per_m: float
    outer_mm: float
    source: str


@dataclass(frozen=True, slots=True)
class Trial:
    """One limit tried at one size: ``value`` must not exceed ``allowed`` (same unit).

    For ``ampacity`` the value is the wire's current, for ``fuse`` the fuse rating [A], both against the
    ampacity; for ``drop`` the path's drop [%]; for ``mechanical minimum`` the minimum area against
    the size's [mm²]; for ``short-time heating`` the area that the adiabatic equation asks for.
    """

    size: str
    limit: Limit
    value: float
    allowed: float
    unit: str
    ok: bool
    source: str


@dataclass(frozen=True, slots=True)
class Fuse:
    """A fuse as chosen. ``colour`` is the trade's colour name of that rating, empty where it has none.

    ``inrush_margin`` is the shortest time in which it may open over what switching its load on takes of it; None
    where the load has no inrush or no earliest gate is published.
    """

    name: str
    family: FuseFamily
    rating_a: float
    at: str
    circuit: str
    colour: str
    source: str
    inrush_margin: float | None = None


@dataclass(frozen=True, slots=True)
class SizedWire:
    """A wire with its size and the reasons.

    Parameters
    ----------
    wire : Wire
    conductor : Conductor
    ampacity_a : float
        At its ambient, bundle and insulation class [A].
    drop_v : float
        Over this wire at its current and operating temperature [V].
    conductor_c : float
        Operating temperature the resistance was taken at [°C].
    governed_by : Limit
        The limit that refused the next smaller size; mechanical minimum where none did.
    tried : tuple of Trial
        The chosen size and every smaller stocked size that was refused.
    """

    wire: Wire
    conductor: Conductor
    ampacity_a: float
    drop_v: float
    conductor_c: float
    governed_by: Limit
    tried: tuple[Trial, ...]


@dataclass(frozen=True, slots=True)
class SizedCircuit:
    """A circuit with its results. Circuits not wired (remove, cap off) or without a path have no wires.

    ``drop_percent`` counts from where the circuit's supply starts (``fed_at``): from the bus, the battery, or the panel
    at the end of a feeder. ``supply_drop_percent`` is what the feeders before that have dropped already.
    """

    circuit: Circuit
    current_a: float
    drop_v: float
    drop_percent: float
    drop_limit_percent: float
    fuse: Fuse | None
    coil_fuse: Fuse | None
    wires: tuple[SizedWire, ...]
    supply_drop_percent: float = 0.0


@dataclass(frozen=True, slots=True)
class Bundle:
    """One run of the loom with what lies in it.

    Parameters
    ----------
    run : int
        Index into ``plan.runs``.
    wires : tuple of str
        Names of new wires in it, and of existing ones.
    diameter_mm : float
        Over all wires, before covering [mm]; 0 where empty.
    covering : Covering
    covering_mm : float
        Nominal covering size chosen [mm]; 0 where none.
    length_m : float
    opening_mm : float or None
    middle_c : float or None
        Temperature in its middle under its real loads [°C]; None where nothing lies in it.
    """

    run: int
    wires: tuple[str, ...]
    diameter_mm: float
    covering: Covering
    covering_mm: float
    length_m: float
    opening_mm: float | None
    middle_c: float | None = None


@dataclass(frozen=True, slots=True)
class SizedPlan:
    """Plan, wiring, rules and results together: everything the upper floors need."""

    wiring: Wiring
    rules: BuildRules
    circuits: tuple[SizedCircuit, ...]
    bundles: tuple[Bundle, ...]
    fuses: tuple[Fuse, ...]
    findings: tuple[Finding, ...]

    @property
    def wires(self) -> tuple[SizedWire, ...]:
        """All sized wires in plan order."""
        return tuple(wire for circuit in self.circuits for wire in circuit.wires)

    @property
    def has_errors(self) -> bool:
        """True if any finding must be cured before building."""
        return any(finding.severity is Severity.ERROR for finding in self.findings)
