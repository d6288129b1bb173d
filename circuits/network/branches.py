"""The network as arrays: one row a branch, in the order of the elements. Compiled once, never altered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from circuits.network.elements import (
    LEAST_OHM,
    Diode,
    Lamp,
    Network,
    Part,
    Relay,
    Resistor,
    Source,
    Switch,
    branches_of,
)
from circuits.network.laws import Floats

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class RelayRows:
    """Rows of one relay's coil and contact."""

    relay: Relay
    coil: int
    contact: int


@dataclass(frozen=True)
class Branches:
    """A compiled network.

    Parameters
    ----------
    network : Network
    start, end : array of int
        Nodes by index.
    conductance_s, emf_v : array of float
        Of each branch; conductance 0 for lamps and junctions. The force drives current from start to end.
    lamps, diodes : array of int
        Rows that are lamps and junctions.
    rated_v, rated_w : array of float
        Of the lamps.
    saturation_a, slope_v : array of float
        Of the junctions.
    switches : tuple of (int, Switch)
        Rows that are switch poles.
    sources : tuple of (int, Source)
    relays : tuple of RelayRows
    rating_a : array of float
        Infinite where there is none.
    """

    network: Network
    start: Ints
    end: Ints
    conductance_s: Floats
    emf_v: Floats
    lamps: Ints
    diodes: Ints
    rated_v: Floats
    rated_w: Floats
    saturation_a: Floats
    slope_v: Floats
    switches: tuple[tuple[int, Switch], ...]
    sources: tuple[tuple[int, Source], ...]
    relays: tuple[RelayRows, ...]
    rating_a: Floats

    @cached_property
    def names(self) -> tuple[str, ...]:
        """Name of each branch."""
        return tuple(name for element in self.network.elements for name in branches_of(element))

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """What each branch stands for; of a relay both coil and contact are the relay."""
        return tuple(element.part for element in self.network.elements for _ in branches_of(element))

    @cached_property
    def row(self) -> Mapping[str, int]:
        """Row of each branch by name."""
        return {name: row for row, name in enumerate(self.names)}

    @cached_property
    def node(self) -> Mapping[str, int]:
        """Index of each node by name."""
        return {node.name: index for index, node in enumerate(self.network.nodes)}

    @cached_property
    def fuse_rows(self) -> Ints:
        """Rows of the fuses that have a rating."""
        return np.array(
            [
                self.row[element.name]
                for element in self.network.elements
                if isinstance(element, Resistor) and element.part is Part.FUSE and element.rating_a is not None
            ],
            dtype=np.int64,
        )

    @property
    def reference(self) -> int:
        """Index of the node voltages count from."""
        return self.node[self.network.reference]

    def forces_v(self, positions: Mapping[str, str]) -> Floats:
        """Electromotive force of each branch in a state [V]."""
        emf_v = self.emf_v.copy()
        for row, source in self.sources:
            if source.needs is not None and positions.get(source.needs[0]) != source.needs[1]:
                emf_v[row] = 0.0
        return emf_v

    def thrown(self, positions: Mapping[str, str]) -> Bools:
        """True for each branch that conducts with these switch positions and all relays at rest."""
        on = np.ones(len(self.start), dtype=np.bool_)
        for row, switch in self.switches:
            on[row] = positions.get(switch.function) in switch.closed_in
        for rows in self.relays:
            on[rows.contact] = rows.relay.rest_closed
        return on


def compile_branches(network: Network) -> Branches:
    """Compile a network.

    Examples
    --------
    >>> from circuits.network.elements import Node, Resistor
    >>> wire = Resistor("wire", "a", "b", 0.5)
    >>> compile_branches(Network((Node("a"), Node("b")), (wire,), "a")).conductance_s.tolist()
    [2.0]
    """
    node = {one.name: index for index, one in enumerate(network.nodes)}
    rows: list[tuple[int, int, float, float, float]] = []
    lamps: list[tuple[int, Lamp]] = []
    diodes: list[tuple[int, Diode]] = []
    switches: list[tuple[int, Switch]] = []
    sources: list[tuple[int, Source]] = []
    relays: list[RelayRows] = []
    for element in network.elements:
        at, start, end = len(rows), node[element.start], node[element.end]
        if isinstance(element, Relay):
            relays.append(RelayRows(element, at, at + 1))
            coil = (node[element.coil_start], node[element.coil_end], _siemens(element.coil_ohm), 0.0, np.inf)
            rows += [coil, (start, end, _siemens(element.ohm), 0.0, np.inf)]
            continue
        if isinstance(element, Lamp):
            lamps.append((at, element))
        elif isinstance(element, Diode):
            diodes.append((at, element))
        elif isinstance(element, Switch):
            switches.append((at, element))
        elif isinstance(element, Source):
            sources.append((at, element))
        rows.append((start, end, *_figures(element)))
    table = np.array(rows, dtype=np.float64).reshape(-1, 5)
    return Branches(
        network=network,
        start=table[:, 0].astype(np.int64),
        end=table[:, 1].astype(np.int64),
        conductance_s=table[:, 2],
        emf_v=table[:, 3],
        lamps=np.array([row for row, _ in lamps], dtype=np.int64),
        diodes=np.array([row for row, _ in diodes], dtype=np.int64),
        rated_v=np.array([lamp.rated_v for _, lamp in lamps]),
        rated_w=np.array([lamp.rated_w for _, lamp in lamps]),
        saturation_a=np.array([diode.saturation_a for _, diode in diodes]),
        slope_v=np.array([diode.slope_v for _, diode in diodes]),
        switches=tuple(switches),
        sources=tuple(sources),
        relays=tuple(relays),
        rating_a=table[:, 4],
    )


def _siemens(ohm: float) -> float:
    return 1.0 / max(ohm, LEAST_OHM)


def _figures(element: Resistor | Source | Lamp | Diode | Switch) -> tuple[float, float, float]:
    """Conductance, force and rating of a branch."""
    if isinstance(element, Lamp | Diode):
        return 0.0, 0.0, np.inf
    if isinstance(element, Source):
        return _siemens(element.ohm), element.emf_v, element.rating_a or np.inf
    rating_a = element.rating_a if isinstance(element, Resistor) else None
    return _siemens(element.ohm), 0.0, np.inf if rating_a is None else rating_a
