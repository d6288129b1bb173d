"""The plan expanded into wires: what ``circuits.patterns`` makes of a plan and ``electrical`` sizes.

Names are stable under edits elsewhere in the plan: a wire is ``<circuit>/<n>``, numbered from the
supply to the load and back within its own circuit.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from circuits.findings import Finding
from circuits.fittings import Half
from circuits.plan import Circuit, FuseFamily, Plan


class Role(StrEnum):
    """What a wire is for."""

    FEED = "feed"
    SWITCHED = "switched"
    RELAY_POWER = "relay power"
    RELAY_COIL = "relay coil"
    LOAD = "load"
    RETURN = "return"
    SPLICE_LEG = "splice leg"


class Lands(StrEnum):
    """What a wire end lands on; decides the terminal it gets."""

    SUPPLY = "supply"  # bus, battery post or upstream circuit: a stud at large sizes
    FUSE = "fuse"
    SWITCH = "switch"
    RELAY = "relay"
    LOAD = "load"
    SPLICE = "splice"
    GROUND = "ground point"
    CONNECTOR = "connector"  # a pair in the loom, where the wire is cut


@dataclass(frozen=True, slots=True)
class End:
    """One end of a wire.

    Parameters
    ----------
    place : str
    lands : Lands
    device : str
        Name of the device at that place, unique in the plan, e.g. ``relay: cooling fan``.
    terminal : str
        DIN 72552 number where one applies (``30``, ``87``, ``85``, ``86``, ``31``); else empty.
    connector, cavity : str
        Name of the plan's connector and label of the cavity it sits in; empty where none is listed.
    half : Half or None
        Which half of that connector: tells both ends apart where a pair in the loom has one name; None where it sits
        in none.
    """

    place: str
    lands: Lands
    device: str
    terminal: str = ""
    connector: str = ""
    cavity: str = ""
    half: Half | None = None

    @property
    def seat(self) -> str:
        """Where it sits, in words; empty where it sits in no connector.

        Examples
        --------
        >>> End("nose", Lands.LOAD, "load: horn at nose", connector="C7", cavity="2", half=Half.SOCKET).seat
        'C7 cavity 2'
        """
        return f"{self.connector} cavity {self.cavity}" if self.connector else ""


@dataclass(frozen=True, slots=True)
class Path:
    """Route of a wire over the runs of the plan.

    Parameters
    ----------
    places : tuple of str
        Walked in order; one place where the wire stays there.
    runs : tuple of int
        Indices into ``plan.runs``, one fewer than ``places``.
    length_m : float
        Sum of the runs.
    ambient_c : float
        Hottest zone crossed [°C].
    hottest_zone : str
    """

    places: tuple[str, ...]
    runs: tuple[int, ...]
    length_m: float
    ambient_c: float
    hottest_zone: str


@dataclass(frozen=True, slots=True)
class Protection:
    """A fuse yet to be rated.

    Parameters
    ----------
    name : str
        Unique: the circuit's name, or ``<circuit> coil`` for the control fuse of a relay.
    circuit, at : str
        Circuit that owns it, and place it sits at.
    family : FuseFamily
    forced_a : float or None
        Rating the plan forces [A].
    load_a : float
        Current it must carry [A].
    continuous : bool
    """

    name: str
    circuit: str
    at: str
    family: FuseFamily
    forced_a: float | None
    load_a: float
    continuous: bool


@dataclass(frozen=True, slots=True)
class Wire:
    """One wire before it has a size.

    Parameters
    ----------
    name, circuit : str
    role : Role
    start, end : End
        In the direction of conventional current.
    path : Path
    length_m : float
        Cut length: path with slack and both end allowances [m]. Drop and take-off use this one.
    current_a : float
        Greatest current it carries in normal use [A].
    colour : str
        IEC 60757, base or base/tracer.
    protected_by : str or None
        Name of the ``Protection`` upstream; None where nothing protects it.
    is_existing : bool
        True where the wire stays in the vehicle (keep, repair) and none is cut.
    bundle : int
        Loaded wires (itself included) in the fullest run it crosses; 1 = alone.
    """

    name: str
    circuit: str
    role: Role
    start: End
    end: End
    path: Path
    length_m: float
    current_a: float
    colour: str
    protected_by: str | None
    is_existing: bool
    bundle: int = 1


@dataclass(frozen=True, slots=True)
class CurrentPath:
    """The way of one load's current, for its drop.

    Parameters
    ----------
    circuit : str
    load_at : str
    out, back : tuple of str
        Names of wires walked, supply to load and load to ground.
    contacts : int
        Joints and contacts passed: each wire end, plus switch and relay contacts.
    protections : tuple of str
        Fuses passed, by name.
    through_chassis : bool
    upstream : str
        Name of the circuit that feeds this one; empty if a bus does.
    """

    circuit: str
    load_at: str
    out: tuple[str, ...]
    back: tuple[str, ...]
    contacts: int
    protections: tuple[str, ...]
    through_chassis: bool
    upstream: str = ""


@dataclass(frozen=True, slots=True)
class Device:
    """A thing at a place that wires land on: switch, relay, splice, ground point, load.

    ``circuits`` are those that share it, e.g. one switch for low and high beam.
    """

    name: str
    lands: Lands
    place: str
    circuits: tuple[str, ...]
    current_a: float


@dataclass(frozen=True, slots=True)
class Wiring:
    """The expanded plan. Circuits that cannot be routed have no wires and a finding instead."""

    plan: Plan
    wires: tuple[Wire, ...]
    protections: tuple[Protection, ...]
    paths: tuple[CurrentPath, ...]
    devices: tuple[Device, ...]
    findings: tuple[Finding, ...]

    def circuit(self, name: str) -> Circuit:
        """The circuit of that name; KeyError if the plan has none."""
        for circuit in self.plan.circuits:
            if circuit.name == name:
                return circuit
        raise KeyError(name)
