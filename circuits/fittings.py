"""What a plan says of its fittings: connectors with their cavities, parts to be mounted, positions of a panel.

All of it is optional: a plan without any is built by the plain rules. Like the rest of a plan these are what was
written down at survey; nothing here is computed.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from circuits.bounds import require, require_positive


class Half(StrEnum):
    """Which half of a pair a connector body is, by the contacts it holds; ``leads``: a unit that brings bare leads."""

    PIN = "pin"
    SOCKET = "socket"
    LEADS = "leads"


class Holds(StrEnum):
    """Which conductor of a circuit a cavity holds.

    ``in`` is the one that comes from the supply, ``out`` the one that goes on to the load, ``return`` the one back; the
    numbers are relay terminals (DIN 72552). Where a circuit passes a connector in the loom twice, ``in`` is the first
    time and ``out`` the second, as the current flows.
    """

    IN = "in"
    OUT = "out"
    RETURN = "return"
    T30 = "30"
    T85 = "85"
    T86 = "86"
    T87 = "87"


@dataclass(frozen=True, slots=True)
class Cavity:
    """One cavity of a connector, or one lead of a unit.

    Parameters
    ----------
    connector : str
        Name of the connector it is part of.
    label : str
        As marked on the body: ``1``, ``B4``; of a unit's lead its function.
    circuit : str
        Name of the circuit whose conductor it holds; empty = not used.
    holds : Holds
    colour : str
        IEC 60757 colour of the lead on a unit's own side; empty where it is the loom's.
    notes : str
    """

    connector: str
    label: str
    circuit: str = ""
    holds: Holds = Holds.IN
    colour: str = ""
    notes: str = ""

    def __post_init__(self) -> None:
        require(bool(self.connector) and bool(self.label), "a cavity needs its connector and its label")


@dataclass(frozen=True, slots=True)
class Connector:
    """One connector body of the loom, or a unit's lead table.

    Parameters
    ----------
    name : str
        Unique, as tagged: ``C1``, ``left headlamp``.
    place : str
    series : str
        Family of bodies that mate with each other; empty = not known.
    half : Half
    ways : int or None
        Cavities of the body; None = as many as are listed.
    keying : str
        Letter or colour of the key that lets only its own half in; empty = none.
    mates_with : str
        Name of the connector it belongs to; empty where that one is part of a device.
    body_mm : float or None
        Smallest opening the body passes [mm]; None = not known.
    min_area_mm2, max_area_mm2 : float or None
        Wire range of its contacts [mm²]; None = not known.
    contact_a : float or None
        Rating of one contact [A]; None = not known.
    in_loom : bool
        True where the pair joins two parts of the loom: wires that pass its place and are listed in it are cut there.
        False where it is on a device at its place.
    notes : str
    """

    name: str
    place: str
    series: str = ""
    half: Half = Half.SOCKET
    ways: int | None = None
    keying: str = ""
    mates_with: str = ""
    body_mm: float | None = None
    min_area_mm2: float | None = None
    max_area_mm2: float | None = None
    contact_a: float | None = None
    in_loom: bool = False
    notes: str = ""

    def __post_init__(self) -> None:
        require(bool(self.name) and bool(self.place), "a connector needs its name and its place")
        for field in ("body_mm", "min_area_mm2", "max_area_mm2", "contact_a", "ways"):
            require_positive(getattr(self, field), f"connector {self.name}: {field}")
        low, high = self.min_area_mm2, self.max_area_mm2
        require(low is None or high is None or low <= high, f"connector {self.name}: wire range {low} to {high} mm²")


@dataclass(frozen=True, slots=True)
class Mounting:
    """A part that is mounted during the work, and what can no longer be reached once it is.

    Parameters
    ----------
    part : str
        Unique: ``dash top``, ``heater box``.
    place : str
        Where it goes; empty where it is no place of the loom.
    hides : tuple of str
        Places, connectors or other parts that it hides.
    wired_first : bool
        True where its own wires go on at the bench, before it is mounted.
    notes : str
    """

    part: str
    place: str = ""
    hides: tuple[str, ...] = ()
    wired_first: bool = False
    notes: str = ""

    def __post_init__(self) -> None:
        require(bool(self.part), "a part to mount needs a name")
        require(self.part not in self.hides, f"part {self.part}: it cannot hide itself")


@dataclass(frozen=True, slots=True)
class PanelPosition:
    """One position of a fuse panel.

    Parameters
    ----------
    panel : str
        Place of the panel, as circuits name it in ``fed_at``.
    label : str
        As marked on the panel, unique in it.
    bus : str
        Bus that feeds it (``battery``, ``ignition`` …).
    family : str
        Fuse family it takes, in the circuit sheet's words; empty = any.
    max_a : float or None
        Greatest rating it takes [A]; None = not known.
    circuit : str
        Circuit that must sit there; empty = chosen.
    """

    panel: str
    label: str
    bus: str
    family: str = ""
    max_a: float | None = None
    circuit: str = ""

    def __post_init__(self) -> None:
        require(bool(self.panel) and bool(self.label), "a panel position needs its panel and its label")
        require(bool(self.bus), f"panel {self.panel} {self.label}: bus is missing")
        require_positive(self.max_a, f"panel {self.panel} {self.label}: max_a")
