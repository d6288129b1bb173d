"""The plan as frozen values: what the survey wrote down, before anything is computed from it.

A ``Plan`` is what a circuit sheet holds, no more: forced values are kept apart from chosen ones
by being ``None`` when they are to be chosen. Every core reads these values; none changes them.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from circuits.bounds import require, require_not_negative, require_positive, require_within
from circuits.fittings import Cavity, Connector, Mounting, PanelPosition


class Disposition(StrEnum):
    """What happens to an existing circuit."""

    KEEP = "keep"
    REPAIR = "repair"
    REPLACE = "replace"
    NEW = "new"
    REMOVE = "remove"
    CAP_OFF = "cap off"

    @property
    def is_wired(self) -> bool:
        """True where the vehicle leaves with this circuit connected."""
        return self not in (Disposition.REMOVE, Disposition.CAP_OFF)

    @property
    def is_pulled_new(self) -> bool:
        """True where new wire is cut and pulled for it."""
        return self in (Disposition.REPLACE, Disposition.NEW)


class Kind(StrEnum):
    """What the load is, as far as wiring cares."""

    LAMP = "lamp"
    LED = "led"
    MOTOR = "motor"
    HEATER = "heater"
    ELECTRONICS = "electronics"
    COIL = "coil"
    SENDER = "sender"
    FEEDER = "feeder"


class Duty(StrEnum):
    """Continuous is more than 10 minutes."""

    CONTINUOUS = "continuous"
    INTERMITTENT = "intermittent"


class Return(StrEnum):
    """How the current comes back."""

    CHASSIS = "chassis"
    WIRED = "wired"


class Covering(StrEnum):
    """Loom covering of a run."""

    SPLIT_LOOM = "split loom"
    BRAID = "braid"
    SLEEVE = "sleeve"
    TAPE = "tape"
    NONE = "none"


class FuseFamily(StrEnum):
    """Families of protection in the trade's words."""

    BLADE = "blade"
    MINI_BLADE = "mini blade"
    MAXI_BLADE = "maxi blade"
    GLASS = "glass"
    BOLT_IN = "bolt-in"
    FUSIBLE_LINK = "fusible link"
    NONE = "none"


BUSES = ("battery", "ignition", "accessory", "lighting", "start")
"""Supplies a circuit may name as its ``feed``; any other feed is the name of a circuit."""

DEFAULT_ZONES_C: dict[str, float] = {
    "cabin": 40.0,
    "engine bay": 85.0,
    "near exhaust": 120.0,
    "underbody": 60.0,
    "boot": 40.0,
}
"""Zone ambients where the sheet gives none (the circuit sheet's defaults; common practice, no source)."""

SAFETY_MAX_DROP_PERCENT = 3.0
OTHER_MAX_DROP_PERCENT = 5.0


@dataclass(frozen=True, slots=True)
class Vehicle:
    """The vehicle's supply and body, as far as the loom cares.

    Parameters
    ----------
    description : str
    system_v : float
        12 or 24 [V].
    battery_cca_a, battery_ah, alternator_a, alternator_idle_a : float or None
        Cold cranking current [A], capacity [Ah], alternator output hot at cruise and at idle [A];
        None where not known.
    chassis_return : bool
        False for a body that cannot carry current (fibreglass, wood).
    chassis_resistance_ohm : float
        Between any two ground points [ohm].
    """

    description: str = ""
    system_v: float = 12.0
    battery_cca_a: float | None = None
    battery_ah: float | None = None
    alternator_a: float | None = None
    alternator_idle_a: float | None = None
    chassis_return: bool = True
    chassis_resistance_ohm: float = 0.005

    def __post_init__(self) -> None:
        require(self.system_v in (12.0, 24.0), f"system_v must be 12 or 24, got {self.system_v}")
        for field in ("battery_cca_a", "battery_ah", "alternator_a", "alternator_idle_a"):
            require_positive(getattr(self, field), field)
        require_not_negative(self.chassis_resistance_ohm, "chassis resistance")


@dataclass(frozen=True, slots=True)
class Zone:
    """A part of the vehicle with one ambient temperature [°C]."""

    name: str
    ambient_c: float

    def __post_init__(self) -> None:
        require(bool(self.name), "a zone needs a name")
        require_within(self.ambient_c, -60, 250, f"zone {self.name}: ambient")


@dataclass(frozen=True, slots=True)
class Run:
    """One stretch of loom between two places; can be walked both ways.

    Parameters
    ----------
    start, end : str
        Places; they exist by being named here.
    length_m : float
    zone : str
        Name of a zone.
    covering : Covering
    opening_mm : float or None
        Diameter of the opening in body or bulkhead that the run passes; None = no opening.
    notes : str
    moves : bool
        True where it bends in use: over a door hinge, along a steering column.
    """

    start: str
    end: str
    length_m: float
    zone: str = "cabin"
    covering: Covering = Covering.NONE
    opening_mm: float | None = None
    notes: str = ""
    moves: bool = False

    def __post_init__(self) -> None:
        require(bool(self.start) and bool(self.end), "a run needs both its places")
        require(self.start != self.end, f"run {self.start}: a run must lead to another place")
        require_positive(self.length_m, f"run {self.start} to {self.end}: length")
        require_positive(self.opening_mm, f"run {self.start} to {self.end}: opening")

    @property
    def name(self) -> str:
        """Name for people: ``panel to left headlamp``."""
        return f"{self.start} to {self.end}"


@dataclass(frozen=True, slots=True)
class Circuit:
    """One circuit of the plan, one row of the sheet.

    Parameters
    ----------
    name, section : str
        Unique name; part of the vehicle that groups quotes and work.
    feed : str
        One of ``BUSES`` or the name of another circuit.
    fed_at : str
        Place where the protected supply starts (the panel).
    load : str
        What it drives.
    load_at : tuple of str
        One place a load.
    kind : Kind
    load_a, load_w : float or None
        Per load; exactly one of the two [A], [W at ``system_v``].
    disposition : Disposition
    switch_at, switch : str
        Place of the switch, and its function and position(s), e.g. ``headlamp:low``; empty = none.
    relay_at : str
        Place of the relay that carries the load; empty = none.
    duty : Duty
    return_by : Return
    ground_at : str
        Ground point of the load; empty = at the load.
    max_drop_percent : float or None
        Of ``system_v`` over the whole path out and back; None = by ``safety``.
    safety : bool
        Loss of it endangers people.
    colour : str
        IEC 60757 base or base/tracer; empty = chosen.
    size : str
        Forced wire size as labelled (``14 AWG``, ``2.5 mm²``): checked, not chosen; empty = chosen.
    fuse_a : float or None
        Forced rating [A]; None = chosen.
    fuse_family : FuseFamily or None
        None = the shop's usual family.
    notes : str
    switch_a, relay_a : float or None
        Resistive rating of its switch and of its relay's contact [A]; None = not known.
    """

    name: str
    section: str
    feed: str
    fed_at: str
    load: str
    load_at: tuple[str, ...]
    kind: Kind
    load_a: float | None = None
    load_w: float | None = None
    disposition: Disposition = Disposition.REPLACE
    switch_at: str = ""
    switch: str = ""
    relay_at: str = ""
    duty: Duty = Duty.CONTINUOUS
    return_by: Return = Return.CHASSIS
    ground_at: str = ""
    max_drop_percent: float | None = None
    safety: bool = False
    colour: str = ""
    size: str = ""
    fuse_a: float | None = None
    fuse_family: FuseFamily | None = None
    notes: str = ""
    switch_a: float | None = None
    relay_a: float | None = None

    def __post_init__(self) -> None:
        for field in ("name", "section", "feed", "fed_at", "load"):
            require(bool(getattr(self, field)), f"circuit {self.name}: {field} is missing")
        require(bool(self.load_at) and all(self.load_at), f"circuit {self.name}: load_at is missing")
        require(
            (self.load_a is None) != (self.load_w is None),
            f"circuit {self.name}: give either load_a or load_w, one of the two",
        )
        for field in ("load_a", "load_w", "max_drop_percent", "fuse_a", "switch_a", "relay_a"):
            require_positive(getattr(self, field), f"circuit {self.name}: {field}")
        require(
            self.max_drop_percent is None or self.max_drop_percent <= 50,
            f"circuit {self.name}: max_drop_percent must be at most 50, got {self.max_drop_percent}",
        )

    def load_current_a(self, system_v: float) -> float:
        """Current of one load [A].

        Examples
        --------
        >>> lamp = Circuit("tail", "rear", "lighting", "panel", "tail lamp", ("tl", "tr"), Kind.LAMP, load_w=6.0)
        >>> lamp.load_current_a(12.0)
        0.5
        """
        if self.load_a is not None:
            return self.load_a
        assert self.load_w is not None  # guarded by __post_init__
        return self.load_w / system_v

    @property
    def drop_limit_percent(self) -> float:
        """Drop allowed over the whole path, of the system voltage [%]."""
        if self.max_drop_percent is not None:
            return self.max_drop_percent
        return SAFETY_MAX_DROP_PERCENT if self.safety else OTHER_MAX_DROP_PERCENT

    @property
    def is_fed_by_circuit(self) -> bool:
        """True where ``feed`` names another circuit rather than a bus."""
        return self.feed not in BUSES


@dataclass(frozen=True, slots=True)
class Plan:
    """The circuit plan of one vehicle. Names of circuits, zones, connectors and parts are unique."""

    vehicle: Vehicle
    zones: tuple[Zone, ...]
    runs: tuple[Run, ...]
    circuits: tuple[Circuit, ...]
    connectors: tuple[Connector, ...] = ()
    cavities: tuple[Cavity, ...] = ()
    mountings: tuple[Mounting, ...] = ()
    positions: tuple[PanelPosition, ...] = ()

    def __post_init__(self) -> None:
        for what, names in (
            ("circuit", [circuit.name for circuit in self.circuits]),
            ("zone", [zone.name for zone in self.zones]),
            ("connector", [connector.name for connector in self.connectors]),
            ("cavity", [f"{cavity.connector} {cavity.label}" for cavity in self.cavities]),
            ("part to mount", [mounting.part for mounting in self.mountings]),
            ("panel position", [f"{position.panel} {position.label}" for position in self.positions]),
        ):
            twice = sorted({name for name in names if names.count(name) > 1}) if len(set(names)) != len(names) else []
            require(not twice, f"{what} named twice: {', '.join(twice)}")

    @property
    def places(self) -> tuple[str, ...]:
        """Every place a run names, in order of first mention."""
        seen: dict[str, None] = {}
        for run in self.runs:
            seen.setdefault(run.start)
            seen.setdefault(run.end)
        return tuple(seen)

    def zone_ambient_c(self, zone: str) -> float | None:
        """Ambient of a zone [°C]: the sheet's, else the default of that name, else None."""
        for known in self.zones:
            if known.name == zone:
                return known.ambient_c
        return DEFAULT_ZONES_C.get(zone)
