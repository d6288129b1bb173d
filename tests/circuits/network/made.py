"""Networks invented from a seed: the same seed, the same network."""

from __future__ import annotations

import random

import numpy as np

from circuits.network.chains import LinearNet
from circuits.network.elements import Diode, Element, Lamp, Network, Node, Resistor, Source
from circuits.network.laws import THERMAL_V


def made_net(seed: int, nodes: int, extra: int, *, stiff: bool = False) -> LinearNet:
    """A linear network: a tree, more branches on it, a few sources. ``stiff``: resistances from joints to senders."""
    draw = random.Random(seed)
    start, end = [], []
    for node in range(1, nodes):
        start.append(draw.randrange(max(0, node - 6), node))
        end.append(node)
    for _ in range(extra):
        one, other = draw.sample(range(nodes), 2)
        start.append(one)
        end.append(other)
    lowest, highest = (-4.0, 3.0) if stiff else (-2.0, 1.0)
    ohm = [10 ** draw.uniform(lowest, highest) for _ in start]
    emf_v = [0.0] * len(start)
    for row in draw.sample(range(len(start)), min(3, len(start))):
        emf_v[row] = draw.choice((12.0, 12.6, 24.0, -12.0))
        ohm[row] = draw.uniform(0.005, 0.1)
    return LinearNet(nodes, 0, np.array(start), np.array(end), 1.0 / np.array(ohm), np.array(emf_v))


def made_network(seed: int, nodes: int = 14, *, bent: bool = True) -> Network:
    """A network of elements on a battery: resistances, lamps both ways round, junctions."""
    draw = random.Random(seed)
    names = [f"n{number}" for number in range(nodes)]
    elements: list[Element] = [Source("battery", "n0", "n1", draw.choice((12.6, 25.2, -12.6)), 0.01)]
    ends = [(names[draw.randrange(node)], names[node]) for node in range(2, nodes)]
    for _ in range(nodes):
        one, other = draw.sample(names, 2)
        ends.append((one, other))
    for number, (start, end) in enumerate(ends):
        kind = draw.random() if bent else 0.0
        if kind < 0.6:
            elements.append(Resistor(f"r{number}", start, end, 10 ** draw.uniform(-2.5, 2.5)))
        elif kind < 0.85:
            elements.append(Lamp(f"lamp{number}", start, end, 12.0, draw.choice((1.2, 5.0, 21.0, 55.0))))
        else:
            slope_v = draw.choice((1.4, 2.0)) * THERMAL_V * draw.choice((1, 3))
            elements.append(Diode(f"d{number}", start, end, 10 ** draw.uniform(-12, -8), slope_v))
    return Network(tuple(Node(name) for name in names), tuple(elements), "n0")
