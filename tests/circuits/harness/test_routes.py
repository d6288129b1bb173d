"""Routes against networkx, an independent program, and against ways worked out by hand."""

from __future__ import annotations

import itertools
from dataclasses import replace

import networkx as nx
import pytest
from hypothesis import given

from circuits.errors import LoomwrightError
from circuits.harness.routes import RouteError, Router, UnknownPlaceError, nearest_name, run_ambients_c, unknown_zones
from circuits.plan import Plan, Run, Vehicle, Zone
from circuits.rules import LengthRules, RouteBy, RouteRules
from tests.circuits.cast import RUNS, marsh_hare
from tests.circuits.looms import meshes


def plan_of(*runs: Run, zones: tuple[Zone, ...] = ()) -> Plan:
    return Plan(Vehicle(), zones, runs, ())


def graph_of(runs: tuple[Run, ...]) -> nx.MultiGraph:
    graph: nx.MultiGraph = nx.MultiGraph()
    for number, run in enumerate(runs):
        graph.add_edge(run.start, run.end, key=number, length=run.length_m)
    return graph


@given(meshes())
def test_every_route_is_as_short_as_networkx_finds_it(runs: tuple[Run, ...]):
    router, lengths = Router(plan_of(*runs)), dict(nx.all_pairs_dijkstra_path_length(graph_of(runs), weight="length"))
    for start, end in itertools.product(plan_of(*runs).places, repeat=2):
        assert router.path(start, end).length_m == pytest.approx(lengths[start][end], abs=1e-9)


@given(meshes())
def test_the_gentlest_way_counts_hot_and_moving_runs_longer_as_networkx_finds_it(runs: tuple[Run, ...]):
    runs = tuple(replace(run, moves=number % 3 == 0) for number, run in enumerate(runs))
    plan, rules = plan_of(*runs), RouteRules(route_by=RouteBy.GENTLEST, hot_per_k=0.03, moving_share=0.5)
    graph = graph_of(runs)
    for start, end, number in graph.edges(keys=True):
        run, hot_c = runs[number], run_ambients_c(plan)[number]
        share = 0.03 * max(0.0, hot_c - 40.0) + 0.5 * run.moves
        graph.edges[start, end, number]["length"] = run.length_m * (1 + share)
    router, counted = Router(plan, rules), dict(nx.all_pairs_dijkstra_path_length(graph, weight="length"))
    weights = nx.get_edge_attributes(graph, "length")
    by_number = {edge[-1]: weight for edge, weight in weights.items()}
    for start, end in itertools.permutations(plan.places, 2):
        path = router.path(start, end)
        assert sum(by_number[number] for number in path.runs) == pytest.approx(counted[start][end])
        assert path.length_m == pytest.approx(sum(runs[number].length_m for number in path.runs))


def test_loops_are_laid_once_a_moving_stretch_and_once_an_opening():
    runs = (
        Run("a", "b", 1.0, opening_mm=20.0),
        Run("b", "c", 0.2, moves=True),
        Run("c", "d", 0.2, moves=True),
        Run("d", "e", 1.0, opening_mm=20.0),
        Run("e", "f", 0.2, moves=True),
    )
    router = Router(plan_of(*runs))
    rules = LengthRules(moving_loop_m=0.3, drip_loop_m=0.05)
    assert router.loops_m(router.path("a", "f"), rules) == pytest.approx(2 * 0.3 + 2 * 0.05)
    assert router.loops_m(router.path("f", "a"), rules) == pytest.approx(2 * 0.3 + 2 * 0.05)
    assert router.loops_m(router.path("b", "b"), rules) == 0.0
    assert LengthRules().drip_loop_m == 0.0


@given(meshes())
def test_a_route_follows_its_runs_and_is_as_hot_as_the_hottest(runs: tuple[Run, ...]):
    plan = plan_of(*runs)
    router = Router(plan)
    for start, end in itertools.permutations(plan.places, 2):
        path = router.path(start, end)
        assert (path.places[0], path.places[-1]) == (start, end)
        for here, there, number in zip(path.places[:-1], path.places[1:], path.runs, strict=True):
            assert {here, there} == {runs[number].start, runs[number].end}
        ambients = [plan.zone_ambient_c(runs[number].zone) or 120.0 for number in path.runs]
        assert path.ambient_c == max(ambients)
        assert path.hottest_zone == runs[path.runs[ambients.index(max(ambients))]].zone
        assert path.length_m == pytest.approx(sum(runs[number].length_m for number in path.runs))


@given(meshes())
def test_two_routes_from_one_place_part_once_and_never_meet_again(runs: tuple[Run, ...]):
    plan = plan_of(*runs)
    router = Router(plan)
    for source in plan.places:
        run_to: dict[str, int] = {}
        for end in plan.places:
            path = router.path(source, end)
            for place, number in zip(path.places[1:], path.runs, strict=True):
                assert run_to.setdefault(place, number) == number


@given(meshes())
def test_routes_do_not_depend_on_what_was_asked_before(runs: tuple[Run, ...]):
    places = plan_of(*runs).places
    asked = Router(plan_of(*runs))
    forward = {(a, b): asked.path(a, b) for a, b in itertools.product(places, repeat=2)}
    again = Router(plan_of(*runs))
    assert all(again.path(a, b) == forward[a, b] for a, b in reversed(list(forward)))


@given(meshes())
def test_a_path_reversed_is_the_same_way_back(runs: tuple[Run, ...]):
    router, places = Router(plan_of(*runs)), plan_of(*runs).places
    path = router.path(places[0], places[-1])
    back = router.reverse(path)
    assert (back.places, back.runs) == (path.places[::-1], path.runs[::-1])
    assert back.length_m == pytest.approx(path.length_m)
    assert router.reverse(back) == path


def test_a_way_of_fewer_runs_wins_among_equals_then_the_run_named_first():
    around = (Run("a", "m", 1.0), Run("m", "b", 1.0))
    router = Router(plan_of(*around, Run("a", "b", 2.0), Run("a", "b", 2.0)))
    assert router.path("a", "b").runs == (2,)


def test_of_two_runs_side_by_side_the_shorter_is_walked():
    assert Router(plan_of(Run("a", "b", 2.0, "boot"), Run("a", "b", 1.0, "engine bay"))).path("b", "a").runs == (1,)


def test_a_hand_worked_route_of_the_cast():
    path = Router(marsh_hare()).path("dash", "right lamp")
    assert path.places == ("dash", "panel", "bulkhead", "nose", "right lamp")
    assert path.length_m == pytest.approx(0.5 + 0.6 + 1.5 + 0.6)
    assert (path.ambient_c, path.hottest_zone) == (120.0, "near exhaust")


def test_a_path_that_stays_has_no_length_and_the_ambient_of_the_hottest_run_that_touches():
    path = Router(marsh_hare()).path("nose", "nose")
    assert (path.places, path.runs, path.length_m) == (("nose",), (), 0.0)
    assert (path.ambient_c, path.hottest_zone) == (120.0, "near exhaust")


def test_a_zone_of_the_sheet_overrules_the_default():
    cool = Router(plan_of(*RUNS, zones=(Zone("engine bay", 60.0),))).path("battery", "panel")
    assert (cool.ambient_c, cool.hottest_zone) == (60.0, "engine bay")


def test_an_unknown_zone_is_taken_at_the_hottest_known():
    runs = (Run("a", "b", 1.0, "attic"),)
    assert Router(plan_of(*runs)).path("a", "b").ambient_c == 120.0
    kiln = Router(plan_of(*runs, zones=(Zone("kiln", 180.0),))).path("a", "b")
    assert (kiln.ambient_c, kiln.hottest_zone) == (180.0, "attic")
    assert unknown_zones(plan_of(*runs, *runs, Run("b", "c", 1.0, "loft"), Run("c", "d", 1.0))) == ("attic", "loft")


@pytest.mark.parametrize("places", [("pannel", "nose"), ("nose", "Pannel")])
def test_an_unknown_place_is_named_with_the_nearest_there_is(places: tuple[str, str]):
    with pytest.raises(UnknownPlaceError, match=r"no run names '[Pp]annel', did you mean 'panel'\?") as caught:
        Router(marsh_hare()).path(*places)
    assert (caught.value.start, caught.value.end) == places
    assert caught.value.nearest == "panel"


def test_an_unknown_place_like_no_other_has_no_suggestion():
    with pytest.raises(UnknownPlaceError, match=r"no run names 'xyzzy'$"):
        Router(marsh_hare()).path("xyzzy", "panel")
    assert nearest_name("xyzzy", ()) == ""


def test_places_that_no_run_joins_are_both_named():
    router = Router(plan_of(Run("a", "b", 1.0), Run("c", "d", 1.0)))
    with pytest.raises(RouteError, match="no route from 'a' to 'd': the runs do not join them") as caught:
        router.path("a", "d")
    assert isinstance(caught.value, LoomwrightError)
    assert isinstance(caught.value, LookupError)
    assert (router.is_joined("a", "b"), router.is_joined("a", "d"), router.is_joined("a", "x")) == (True, False, False)


def test_a_plan_without_runs_knows_no_place():
    with pytest.raises(UnknownPlaceError):
        Router(plan_of()).path("a", "a")


def test_a_walk_must_follow_its_runs():
    with pytest.raises(ValueError, match="does not touch"):
        Router(marsh_hare()).along("battery", (0, 3, 8))


def test_a_run_added_at_the_end_that_shortens_nothing_changes_no_route():
    before, after = Router(marsh_hare()), Router(marsh_hare(runs=(*RUNS, Run("dash", "tail", 9.0))))
    for start, end in itertools.product(marsh_hare().places, repeat=2):
        assert before.path(start, end) == after.path(start, end)


def test_a_long_chain_is_walked_without_end_of_stack():
    runs = [Run(f"p{n}", f"p{n + 1}", 0.1) for n in range(3000)]
    assert Router(plan_of(*runs)).path("p0", "p3000").length_m == pytest.approx(300.0)
