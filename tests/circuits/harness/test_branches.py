"""Where one conductor is spliced to reach several loads."""

from __future__ import annotations

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.harness.branches import Segment, branch
from circuits.harness.routes import RouteError, Router
from circuits.plan import Plan, Run, Vehicle
from tests.circuits.cast import marsh_hare
from tests.circuits.looms import meshes

Node = tuple[str, object]


def nodes_of(segments: tuple[Segment, ...]) -> list[tuple[Node, Node, Segment]]:
    """Segments with what they join: source, splices by place, loads by number."""
    return [
        (
            ("splice", s.path.places[0]) if s.from_splice else ("source", ""),
            ("splice", s.path.places[-1]) if s.load is None else ("load", s.load),
            s,
        )
        for s in segments
    ]


@st.composite
def spreads(draw: st.DrawFn) -> tuple[Router, str, tuple[str, ...]]:
    plan = Plan(Vehicle(), (), draw(meshes()), ())
    at = st.sampled_from(plan.places)
    return Router(plan), draw(at), tuple(draw(st.lists(at, min_size=1, max_size=6)))


@given(spreads())
def test_segments_make_a_tree_that_reaches_every_load_by_its_shortest_way(spread: tuple[Router, str, tuple[str, ...]]):
    router, source, loads = spread
    tree: nx.DiGraph = nx.DiGraph()
    for start, end, segment in nodes_of(branch(router, source, loads)):
        tree.add_edge(start, end, length=segment.path.length_m)
    assert nx.is_arborescence(tree)
    for load, place in enumerate(loads):
        way = nx.dijkstra_path_length(tree, ("source", ""), ("load", load), weight="length")
        assert way == pytest.approx(router.path(source, place).length_m, abs=1e-9)


@given(spreads())
def test_every_splice_joins_three_wires_or_more_and_their_loads_add_up(spread: tuple[Router, str, tuple[str, ...]]):
    joined = nodes_of(branch(*spread))
    for splice in {end for _, end, _ in joined if end[0] == "splice"}:
        [into] = [s for _, end, s in joined if end == splice]
        legs = [s for start, _, s in joined if start == splice]
        assert len(legs) >= 2
        assert sorted(into.loads) == sorted(load for leg in legs for load in leg.loads)


@given(spreads())
def test_no_stretch_of_loom_carries_the_conductor_twice(spread: tuple[Router, str, tuple[str, ...]]):
    walked = [run for segment in branch(*spread) for run in segment.path.runs]
    assert len(walked) == len(set(walked))


@given(spreads())
def test_a_segment_comes_after_the_one_that_feeds_it(spread: tuple[Router, str, tuple[str, ...]]):
    fed: set[Node] = {("source", "")}
    for start, end, _ in nodes_of(branch(*spread)):
        assert start in fed
        fed.add(end)


def test_one_load_has_one_segment():
    [segment] = branch(Router(marsh_hare()), "panel", ("nose",))
    assert (segment.path.places, segment.load, segment.from_splice) == (("panel", "bulkhead", "nose"), 0, False)


def test_loads_beyond_a_fork_are_spliced_at_the_fork():
    trunk, left, right = branch(Router(marsh_hare()), "panel", ("left tail", "right tail"))
    assert (trunk.path.places, trunk.load, trunk.loads) == (("panel", "tail"), None, (0, 1))
    assert (left.path.places, left.from_splice, left.load) == (("tail", "left tail"), True, 0)
    assert (right.path.places, right.from_splice, right.load) == (("tail", "right tail"), True, 1)


def test_a_load_on_the_way_to_another_is_spliced_in_where_it_sits():
    trunk, here, beyond = branch(Router(marsh_hare()), "panel", ("left tail", "tail"))
    assert (trunk.path.places, here.path.places, beyond.path.places) == (
        ("panel", "tail"),
        ("tail",),
        ("tail", "left tail"),
    )
    assert (here.load, here.path.length_m) == (1, 0.0)


def test_ways_that_part_at_the_source_are_fed_by_a_stub():
    stub, tail, nose = branch(Router(marsh_hare()), "panel", ("tail", "nose"))
    assert (stub.path.places, stub.path.length_m, stub.from_splice, stub.load) == (("panel",), 0.0, False, None)
    assert (tail.from_splice, nose.from_splice) == (True, True)


def test_a_load_beside_the_source_is_reached_without_a_run():
    [segment] = branch(Router(marsh_hare()), "panel", ("panel",))
    assert (segment.path.runs, segment.load) == ((), 0)


def test_a_load_out_of_reach_is_refused():
    plan = Plan(Vehicle(), (), (Run("a", "b", 1.0), Run("c", "d", 1.0)), ())
    with pytest.raises(RouteError):
        branch(Router(plan), "a", ("b", "c"))


def test_a_thousand_loads_in_a_row_are_no_trouble():
    runs = tuple(Run(f"p{n}", f"p{n + 1}", 0.1) for n in range(1000))
    segments = branch(Router(Plan(Vehicle(), (), runs, ())), "p0", tuple(f"p{n + 1}" for n in range(1000)))
    assert len(segments) == 1000 + 999
