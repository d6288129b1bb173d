"""The network as frozen values: nodes, and elements between two of them.

A network says nothing of time: it is the DC picture of one vehicle. Switches are thrown by ``positions``, a position
for each function; relays follow from the solution.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from circuits.errors import LoomwrightError

LEAST_OHM = 2e-5
"""Resistance below which an element is taken to have this one [ohm]: less than any bolted joint, and far enough from
zero that currents can be told from voltages."""


class NetworkError(LoomwrightError, ValueError):
    """A network that cannot be: unknown node, name used twice, figure out of range."""


class NodeKind(StrEnum):
    """What a node is."""

    TERMINAL = "terminal"
    SPLICE = "splice"
    STUD = "stud"
    GROUND = "ground point"
    BODY = "body"


class Part(StrEnum):
    """What an element is, in the trade's words."""

    WIRE = "wire"
    JOINT = "joint"
    FUSE = "fuse"
    SWITCH = "switch"
    RELAY = "relay"
    LAMP = "lamp"
    LED = "led"
    DIODE = "diode"
    MOTOR = "motor"
    HEATER = "heater"
    ELECTRONICS = "electronics"
    COIL = "coil"
    SENDER = "sender"
    CHASSIS = "chassis"
    BATTERY = "battery"
    ALTERNATOR = "alternator"


def _need(condition: bool, message: str) -> None:
    if not condition:
        raise NetworkError(message)


def _need_figure(name: str, what: str, value: float, least: float | None = None) -> None:
    _need(math.isfinite(value), f"{name}: {what} must be a number, got {value}")
    _need(least is None or value >= least, f"{name}: {what} must be {least} or more, got {value}")


@dataclass(frozen=True, slots=True)
class Node:
    """A point of one voltage: terminal, splice, stud, ground point."""

    name: str
    kind: NodeKind = NodeKind.TERMINAL
    place: str = ""


@dataclass(frozen=True, slots=True)
class Resistor:
    """Anything that obeys Ohm: wire, joint, fuse, heater, running motor, sender, chassis.

    Parameters
    ----------
    name, start, end : str
        Unique name; nodes.
    ohm : float
        0 or more; below ``LEAST_OHM`` it is taken as that [ohm].
    part : Part
    circuit : str
    rating_a : float or None
        Current it stands: rating of a fuse, ampacity of a wire [A].
    """

    name: str
    start: str
    end: str
    ohm: float
    part: Part = Part.WIRE
    circuit: str = ""
    rating_a: float | None = None

    def __post_init__(self) -> None:
        _need_figure(self.name, "resistance", self.ohm, 0.0)


@dataclass(frozen=True, slots=True)
class Source:
    """Battery or alternator: an electromotive force behind a resistance; ``end`` is its positive post.

    ``needs`` names a function and position without which its force is zero, e.g. the engine running.
    """

    name: str
    start: str
    end: str
    emf_v: float
    ohm: float
    part: Part = Part.BATTERY
    needs: tuple[str, str] | None = None
    rating_a: float | None = None
    circuit: str = ""

    def __post_init__(self) -> None:
        _need_figure(self.name, "voltage", self.emf_v)
        _need_figure(self.name, "resistance", self.ohm, 0.0)


@dataclass(frozen=True, slots=True)
class Lamp:
    """Filament lamp, by the law ``laws.lamp_current_a``."""

    name: str
    start: str
    end: str
    rated_v: float
    rated_w: float
    circuit: str = ""
    part: Part = Part.LAMP

    def __post_init__(self) -> None:
        for what, value in (("rated voltage", self.rated_v), ("rated power", self.rated_w)):
            _need(math.isfinite(value) and value > 0, f"{self.name}: {what} must be above 0, got {value}")


@dataclass(frozen=True, slots=True)
class Diode:
    """Junction, or several in series, by the law ``laws.diode_current_a``; ``start`` is the anode.

    ``slope_v`` is emission coefficient times thermal voltage times junctions [V].
    """

    name: str
    start: str
    end: str
    saturation_a: float
    slope_v: float
    circuit: str = ""
    part: Part = Part.DIODE

    def __post_init__(self) -> None:
        for what, value in (("saturation current", self.saturation_a), ("slope", self.slope_v)):
            _need(math.isfinite(value) and value > 0, f"{self.name}: {what} must be above 0, got {value}")


@dataclass(frozen=True, slots=True)
class Switch:
    """One pole of a switch: closed in the ``closed_in`` positions of its ``function``."""

    name: str
    start: str
    end: str
    function: str
    closed_in: tuple[str, ...]
    ohm: float = 0.0005
    circuit: str = ""
    part: Part = Part.SWITCH

    def __post_init__(self) -> None:
        _need_figure(self.name, "resistance", self.ohm, 0.0)


@dataclass(frozen=True, slots=True)
class Relay:
    """Coil between ``coil_start`` and ``coil_end`` (86, 85); contact between ``start`` and ``end`` (30, 87).

    Parameters
    ----------
    name, coil_start, coil_end, start, end : str
    coil_ohm, ohm : float
        Of coil and closed contact [ohm].
    pull_in_v, drop_out_v : float
        It pulls in at the first or more, either way round, and lets go below the second; in between it stays [V].
    rest_closed : bool
        True where the contact is closed at rest (87a).
    circuit : str
    part : Part
    """

    name: str
    coil_start: str
    coil_end: str
    start: str
    end: str
    coil_ohm: float
    ohm: float = 0.0005
    pull_in_v: float = 8.0
    drop_out_v: float = 1.2
    rest_closed: bool = False
    circuit: str = ""
    part: Part = Part.RELAY

    def __post_init__(self) -> None:
        for what, value in (("coil resistance", self.coil_ohm), ("contact resistance", self.ohm)):
            _need_figure(self.name, what, value, 0.0)
        _need(0 < self.drop_out_v <= self.pull_in_v, f"{self.name}: must let go below the voltage it pulls in at")

    @property
    def coil(self) -> str:
        """Name of its coil as a branch."""
        return f"{self.name} coil"

    @property
    def contact(self) -> str:
        """Name of its contact as a branch."""
        return f"{self.name} contact"


Element = Resistor | Source | Lamp | Diode | Switch | Relay


@dataclass(frozen=True, slots=True)
class Load:
    """A consumer as people see it: what is measured is its voltage, from ``start`` to ``end``, and its current.

    Parameters
    ----------
    name, circuit, place : str
    part : Part
    start, end : str
        Nodes: supply side and return side.
    branch : str
        The element whose current is the load's.
    rated_v, rated_a : float
    """

    name: str
    circuit: str
    place: str
    part: Part
    start: str
    end: str
    branch: str
    rated_v: float
    rated_a: float

    @property
    def words(self) -> str:
        """What people call it: its name without what only the network needs.

        Examples
        --------
        >>> Load("load: horn at grille of horns", "horns", "grille", Part.COIL, "a", "b", "c", 12.0, 5.0).words
        'horn at grille'
        """
        return self.name.removeprefix("load: ").removesuffix(f" of {self.circuit}")


@dataclass(frozen=True, slots=True)
class Network:
    """Nodes, elements and loads. Voltages count from ``reference``, the battery's negative post.

    Raises
    ------
    NetworkError
        If a name stands twice, or an element names a node there is not.

    Examples
    --------
    >>> Network((Node("minus"),), (Resistor("wire", "minus", "plus", 1.0),), "minus")
    Traceback (most recent call last):
    ...
    circuits.network.elements.NetworkError: wire: no node named plus
    """

    nodes: tuple[Node, ...]
    elements: tuple[Element, ...]
    reference: str
    loads: tuple[Load, ...] = ()

    def __post_init__(self) -> None:
        names = {node.name for node in self.nodes}
        _need(len(names) == len(self.nodes), "a node is named twice")
        _need(self.reference in names, f"no node named {self.reference} to count voltages from")
        branches: set[str] = set()
        for element in self.elements:
            for node in ends(element):
                _need(node in names, f"{element.name}: no node named {node}")
            for branch in branches_of(element):
                _need(branch not in branches, f"element named twice: {branch}")
                branches.add(branch)
        for load in self.loads:
            _need(load.branch in branches, f"load {load.name}: no element named {load.branch}")
            _need({load.start, load.end} <= names, f"load {load.name}: its nodes are not in the network")


def ends(element: Element) -> tuple[str, ...]:
    """Nodes an element hangs on."""
    if isinstance(element, Relay):
        return (element.coil_start, element.coil_end, element.start, element.end)
    return (element.start, element.end)


def branches_of(element: Element) -> tuple[str, ...]:
    """Names of an element's branches: its own, and for a relay its coil and its contact."""
    return (element.coil, element.contact) if isinstance(element, Relay) else (element.name,)
