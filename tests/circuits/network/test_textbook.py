"""Networks whose answer is published, and laws that hold in every network.

Sources, all from memory but for the formulas themselves, which can be checked by hand: the cube of equal resistances
(5/6, 3/4, 7/12: Purcell, Electricity and Magnetism, chapter 4 problems), the endless ladder (Feynman Lectures II,
22-6), the R-2R ladder and the bridge (any handbook), resistance distance of cycles and complete graphs (Klein and
Randic 1993), the sum over the branches of a network (Foster 1949).
"""

from __future__ import annotations

import math
from itertools import combinations

import networkx as nx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.network.branches import compile_branches
from circuits.network.elements import Network, Node, Resistor, Source
from circuits.network.operating import operating_point
from circuits.network.solve import solve
from circuits.network.stubs import strip_stubs
from tests.circuits.network.made import made_network

SOURCE_OHM, SOURCE_V = 1.0, 10.0


def ohm_between(one: str, other: str, *elements: Resistor) -> float:
    """Resistance between two nodes, from what a source behind 1 ohm drives through it [ohm]."""
    names = dict.fromkeys(node for element in elements for node in (element.start, element.end))
    source = Source("source", one, other, SOURCE_V, SOURCE_OHM)
    solution = solve(compile_branches(Network(tuple(map(Node, names)), (source, *elements), one)), {})
    return SOURCE_V / solution.current_a("source") - SOURCE_OHM


def equal(pairs, ohm: float = 1.0) -> list[Resistor]:
    """Equal resistances between pairs of nodes."""
    return [Resistor(f"r{n}", str(one), str(other), ohm) for n, (one, other) in enumerate(pairs)]


@pytest.mark.parametrize(("other", "ohm"), [("1", 7 / 12), ("3", 3 / 4), ("7", 5 / 6)])
def test_the_cube(other, ohm):
    edges = [(a, b) for a, b in combinations(range(8), 2) if (a ^ b).bit_count() == 1]
    assert ohm_between("0", other, *equal(edges)) == pytest.approx(ohm, rel=1e-12)


def test_a_long_ladder_nears_the_golden_ratio():
    rungs = [pair for n in range(40) for pair in ((n, n + 1), (n + 1, "ground"))]
    assert ohm_between("0", "ground", *equal(rungs)) == pytest.approx((1 + math.sqrt(5)) / 2, rel=1e-12)


def test_each_stage_of_an_r_2r_ladder_halves_the_voltage():
    elements = [Resistor(f"s{n}", f"n{n}", f"n{n + 1}", 1.0) for n in range(8)]
    elements += [Resistor(f"p{n}", f"n{n}", "ground", 2.0) for n in range(8)]
    elements += [Resistor("last", "n8", "ground", 1.0)]
    source = Source("source", "ground", "n0", 8.0, 1.0)
    names = ("ground", *(f"n{n}" for n in range(9)))
    solution = solve(compile_branches(Network(tuple(map(Node, names)), (source, *elements), "ground")), {})
    assert [solution.voltage_v(f"n{n}") for n in range(8)] == pytest.approx([4.0 / 2**n for n in range(8)], rel=1e-12)


@pytest.mark.parametrize("fourth_ohm", [600.0, 700.0])
def test_the_bridge_is_balanced_where_its_ratios_are_equal_and_else_as_thevenin_has_it(fourth_ohm):
    arms = [("plus", "l", 100.0), ("l", "minus", 300.0), ("plus", "r", 200.0), ("r", "minus", fourth_ohm)]
    meter_ohm = 50.0
    elements = [Resistor(f"r{n}", *arm) for n, arm in enumerate(arms)] + [Resistor("meter", "l", "r", meter_ohm)]
    source = Source("source", "minus", "plus", 12.0, 2e-5)
    names = ("minus", "plus", "l", "r")
    solution = solve(compile_branches(Network(tuple(map(Node, names)), (source, *elements), "minus")), {})
    open_v = 12.0 * (300.0 / 400.0 - fourth_ohm / (200.0 + fourth_ohm))
    inner_ohm = 100.0 * 300.0 / 400.0 + 200.0 * fourth_ohm / (200.0 + fourth_ohm)
    assert solution.current_a("meter") == pytest.approx(open_v / (inner_ohm + meter_ohm), rel=1e-6, abs=1e-12)


@pytest.mark.parametrize("size", [3, 5, 8])
def test_cycles_and_complete_graphs(size):
    cycle = [(n, (n + 1) % size) for n in range(size)]
    for apart in range(1, size):
        expected = apart * (size - apart) / size
        assert ohm_between("0", str(apart), *equal(cycle)) == pytest.approx(expected, rel=1e-12)
    assert ohm_between("0", "1", *equal(combinations(range(size), 2))) == pytest.approx(2 / size, rel=1e-12)


@pytest.mark.parametrize("seed", range(10))
def test_resistance_is_the_resistance_distance_of_the_graph(seed):
    graph = nx.connected_watts_strogatz_graph(14, 4, 0.5, seed=seed)
    draw = np.random.default_rng(seed)
    for one, other in graph.edges:
        graph[one][other]["ohm"] = float(10 ** draw.uniform(-2, 2))
    elements = [
        Resistor(f"{one}-{other}", str(one), str(other), data["ohm"]) for one, other, data in graph.edges(data=True)
    ]
    foster = 0.0
    for one, other, data in graph.edges(data=True):
        between = ohm_between(str(one), str(other), *elements)
        distance = nx.resistance_distance(graph, one, other, weight="ohm", invert_weight=True)
        assert between == pytest.approx(distance, rel=1e-8)
        foster += between / data["ohm"]
    assert foster == pytest.approx(len(graph) - 1, rel=1e-9)


@given(seed=st.integers(0, 10**6), nodes=st.integers(4, 30), bent=st.booleans())
def test_currents_and_power_are_conserved_in_every_network(seed, nodes, bent):
    branches = compile_branches(made_network(seed, nodes, bent=bent))
    on = np.random.default_rng(seed).random(len(branches.start)) > 0.15
    point = operating_point(branches, on, branches.emf_v)
    assert np.isfinite(point.volt_v).all()
    arriving_a = np.zeros(nodes)
    np.add.at(arriving_a, branches.end, point.current_a)
    np.subtract.at(arriving_a, branches.start, point.current_a)
    assert np.max(np.abs(arriving_a)) < 1e-9
    assert not np.any(point.current_a[~on])
    across_v = point.volt_v[branches.start] - point.volt_v[branches.end]
    given_w = float(np.sum(branches.emf_v * point.current_a))
    source = branches.emf_v != 0
    lost_w = float(np.sum(across_v[~source] * point.current_a[~source]))
    lost_w += float(np.sum(point.current_a[source] ** 2 / branches.conductance_s[source]))
    assert lost_w == pytest.approx(given_w, rel=1e-6, abs=1e-6)
    passive_w = across_v[~source] * point.current_a[~source]
    assert np.min(passive_w, initial=0.0) > -1e-9


@given(seed=st.integers(0, 10**6))
def test_a_dead_end_has_the_voltage_of_where_it_hangs_and_no_current(seed):
    branches = compile_branches(made_network(seed, 20, bent=False))
    on = np.random.default_rng(seed).random(len(branches.start)) > 0.5
    stripped = strip_stubs(20, branches.start, branches.end, on, branches.reference)
    point = operating_point(branches, on, branches.emf_v)
    dead = on & ~stripped.kept & (branches.start != branches.end)
    drop_v = point.volt_v[branches.start] - point.volt_v[branches.end] + branches.emf_v
    assert not np.any(point.current_a[dead])
    assert np.max(np.abs(drop_v[dead]), initial=0.0) < 1e-12
