"""Routes: the runs of a plan as a graph of places, and the shortest way between two of them, or the gentlest."""

from __future__ import annotations

import difflib
import heapq
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from circuits.errors import LoomwrightError
from circuits.plan import DEFAULT_ZONES_C, Plan
from circuits.rules import LengthRules, RouteBy, RouteRules
from circuits.wiring import Path


class RouteError(LoomwrightError, LookupError):
    """No way from one place to the other. ``start`` and ``end`` are the places asked for."""

    def __init__(self, start: str, end: str, reason: str) -> None:
        self.start, self.end = start, end
        super().__init__(f"no route from {start!r} to {end!r}: {reason}")


class UnknownPlaceError(RouteError):
    """A place no run names. ``nearest`` is the place most like it, empty if none is."""

    def __init__(self, start: str, end: str, unknown: str, nearest: str) -> None:
        self.unknown, self.nearest = unknown, nearest
        hint = f", did you mean {nearest!r}?" if nearest else ""
        super().__init__(start, end, f"no run names {unknown!r}{hint}")


def nearest_name(name: str, known: Iterable[str]) -> str:
    """The known name most like ``name``; empty if none is much like it.

    Examples
    --------
    >>> nearest_name("left hedlamp", ["panel", "left headlamp", "right headlamp"])
    'left headlamp'
    >>> nearest_name("xyz", ["panel"])
    ''
    """
    by_folded = {candidate.casefold(): candidate for candidate in known}
    close = difflib.get_close_matches(name.casefold(), by_folded, n=1, cutoff=0.6)
    return by_folded[close[0]] if close else ""


@dataclass(frozen=True, slots=True)
class _Tree:
    """Shortest path tree of one source: for each place the run that leads to it, and the place before."""

    run_to: tuple[int, ...]
    place_before: tuple[int, ...]


class Router:
    """Answers routes over the runs of one plan; keeps what it has worked out.

    All routes from one place lie in one shortest path tree, so two of them share their beginning
    and part only once. Among ways of equal length the one with fewer runs is taken, then the one
    whose runs come first in the plan: the answer does not depend on anything else.

    Parameters
    ----------
    plan : Plan
    rules : RouteRules, optional
        Where it says so, hot and moving runs count as longer than they are. Lengths of paths are always true.

    Examples
    --------
    >>> from circuits.plan import Plan, Run, Vehicle
    >>> runs = (Run("battery", "panel", 1.2, "engine bay"), Run("panel", "boot", 3.0, "cabin"))
    >>> Router(Plan(Vehicle(), (), runs, ())).path("battery", "boot")
    Path(places=('battery', 'panel', 'boot'), runs=(0, 1), length_m=4.2, ambient_c=85.0, hottest_zone='engine bay')
    """

    def __init__(self, plan: Plan, rules: RouteRules | None = None) -> None:
        self._runs = plan.runs
        self._names = plan.places
        self._index = {name: number for number, name in enumerate(self._names)}
        self._ambient_c = run_ambients_c(plan)
        self._counted_m = _counted_m(plan, self._ambient_c, rules or RouteRules())
        self._neighbours: list[list[tuple[int, int]]] = [[] for _ in self._names]
        for number, run in enumerate(plan.runs):
            start, end = self._index[run.start], self._index[run.end]
            self._neighbours[start].append((end, number))
            self._neighbours[end].append((start, number))
        self._groups = self._joined_groups()
        self._trees: dict[int, _Tree] = {}
        self._paths: dict[tuple[str, tuple[int, ...]], Path] = {}

    def __contains__(self, place: str) -> bool:
        """True where a run names the place."""
        return place in self._index

    def is_joined(self, start: str, end: str) -> bool:
        """True where both places are known and a way leads from one to the other."""
        if start not in self._index or end not in self._index:
            return False
        return self._groups[self._index[start]] == self._groups[self._index[end]]

    def path(self, start: str, end: str) -> Path:
        """Shortest way from ``start`` to ``end``.

        Parameters
        ----------
        start, end : str
            Places. The same place twice gives a path of length 0 at the hottest zone touching it.

        Returns
        -------
        Path

        Raises
        ------
        UnknownPlaceError
            If no run names one of the two; names the nearest place there is.
        RouteError
            If no way leads from one to the other.
        """
        for place in (start, end):
            if place not in self._index:
                raise UnknownPlaceError(start, end, place, nearest_name(place, self._names))
        tree = self._tree(self._index[start])
        at, source = self._index[end], self._index[start]
        backwards: list[int] = []
        while at != source:
            if tree.run_to[at] < 0:
                raise RouteError(start, end, "the runs do not join them")
            backwards.append(tree.run_to[at])
            at = tree.place_before[at]
        return self.along(start, backwards[::-1])

    def along(self, start: str, runs: Sequence[int]) -> Path:
        """The path that begins at ``start`` and follows ``runs``, indices into ``plan.runs``, in order.

        Raises
        ------
        ValueError
            If a run does not touch the place where the one before it ended.
        """
        key = (start, tuple(runs))
        path = self._paths.get(key)
        if path is None:
            path = self._paths[key] = self._walk(*key)
        return path

    def reverse(self, path: Path) -> Path:
        """The same path walked the other way."""
        return self.along(path.places[-1], path.runs[::-1])

    def loops_m(self, path: Path, rules: LengthRules) -> float:
        """Wire laid in loops along a path: at each stretch that moves, and before each opening [m].

        Runs that move and follow each other are one stretch.

        Examples
        --------
        >>> from circuits.plan import Plan, Run, Vehicle
        >>> hinge = Run("post", "door", 0.2, moves=True)
        >>> runs = (Run("panel", "post", 1.0, opening_mm=20.0), hinge, Run("door", "window lift", 0.5))
        >>> router = Router(Plan(Vehicle(), (), runs, ()))
        >>> router.loops_m(router.path("panel", "window lift"), LengthRules(moving_loop_m=0.15, drip_loop_m=0.05))
        0.2
        """
        runs = [self._runs[number] for number in path.runs]
        stretches = sum(run.moves and not (at and runs[at - 1].moves) for at, run in enumerate(runs))
        openings = sum(run.opening_mm is not None for run in runs)
        return stretches * rules.moving_loop_m + openings * rules.drip_loop_m

    def _walk(self, start: str, runs: tuple[int, ...]) -> Path:
        places, length_m = [start], 0.0
        for number in runs:
            run = self._runs[number]
            if places[-1] not in (run.start, run.end):
                raise ValueError(f"run {run.name} does not touch {places[-1]}")
            places.append(run.end if places[-1] == run.start else run.start)
            length_m += run.length_m
        touched = runs or tuple(number for _, number in self._neighbours[self._index[start]])
        hottest = max(touched, key=lambda number: self._ambient_c[number])
        return Path(tuple(places), runs, length_m, self._ambient_c[hottest], self._runs[hottest].zone)

    def _joined_groups(self) -> list[int]:
        """For each place a number that all places joined with it share."""
        groups = [-1] * len(self._names)
        for first in range(len(self._names)):
            waiting = [first] if groups[first] < 0 else []
            while waiting:
                at = waiting.pop()
                if groups[at] < 0:
                    groups[at] = first
                    waiting += (to for to, _ in self._neighbours[at])
        return groups

    def _tree(self, source: int) -> _Tree:
        tree = self._trees.get(source)
        if tree is None:
            tree = self._trees[source] = self._grow_tree(source)
        return tree

    def _grow_tree(self, source: int) -> _Tree:
        """Dijkstra's algorithm with ties settled by fewest runs, then lowest run index."""
        count = len(self._names)
        run_to, before, settled = [-1] * count, [-1] * count, [False] * count
        best: list[tuple[float, int, int]] = [(float("inf"), 0, 0)] * count
        best[source] = (0.0, 0, -1)
        queue = [(0.0, 0, -1, source)]
        while queue:
            length_m, hops, _, at = heapq.heappop(queue)
            if settled[at]:
                continue
            settled[at] = True
            for to, number in self._neighbours[at]:
                if settled[to]:
                    continue
                reach = (length_m + self._counted_m[number], hops + 1, number)
                if reach < best[to]:
                    best[to], run_to[to], before[to] = reach, number, at
                    heapq.heappush(queue, (*reach, to))
        return _Tree(tuple(run_to), tuple(before))


def _counted_m(plan: Plan, ambients_c: Sequence[float], rules: RouteRules) -> tuple[float, ...]:
    if rules.route_by is RouteBy.SHORTEST:
        return tuple(run.length_m for run in plan.runs)
    return tuple(
        rules.counted_m(run.length_m, ambient_c, moves=run.moves)
        for run, ambient_c in zip(plan.runs, ambients_c, strict=True)
    )


def run_ambients_c(plan: Plan) -> tuple[float, ...]:
    """Ambient of each run of the plan [°C]; that of the hottest zone known where its zone has none.

    Parameters
    ----------
    plan : Plan

    Examples
    --------
    >>> from circuits.plan import Run, Vehicle
    >>> run_ambients_c(Plan(Vehicle(), (), (Run("a", "b", 1.0, "boot"), Run("b", "c", 1.0, "cellar")), ()))
    (40.0, 120.0)
    """
    known_c = DEFAULT_ZONES_C | {zone.name: zone.ambient_c for zone in plan.zones}
    hottest_c = max(known_c.values())
    return tuple(known_c.get(run.zone, hottest_c) for run in plan.runs)


def unknown_zones(plan: Plan) -> tuple[str, ...]:
    """Zones that runs name but neither the sheet nor the defaults know, in plan order.

    Their runs are taken at the hottest zone known, which errs on the safe side.

    Examples
    --------
    >>> from circuits.plan import Plan, Run, Vehicle
    >>> unknown_zones(Plan(Vehicle(), (), (Run("a", "b", 1.0, "cellar"),), ()))
    ('cellar',)
    """
    known = DEFAULT_ZONES_C.keys() | {zone.name for zone in plan.zones}
    return tuple(dict.fromkeys(run.zone for run in plan.runs if run.zone not in known))
