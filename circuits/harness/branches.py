"""Branches: how one conductor spreads from a source to several loads, and where it is spliced."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from circuits.harness.routes import Router
from circuits.wiring import Path


@dataclass(frozen=True, slots=True)
class Segment:
    """One stretch of conductor between source, splice and load.

    Parameters
    ----------
    path : Path
    from_splice : bool
        True where it starts at a splice (at ``path.places[0]``), False where at the source.
    load : int or None
        Index of the load it ends on; None where it ends on a splice (at ``path.places[-1]``).
    loads : tuple of int
        Indices of all loads whose current it carries.
    """

    path: Path
    from_splice: bool
    load: int | None
    loads: tuple[int, ...]


@dataclass(slots=True)
class _Node:
    """A place of the tree with the loads that sit there and the ways onward, by run."""

    place: str
    here: list[int]
    onward: dict[int, _Node]
    below: list[int]

    @property
    def is_spliced(self) -> bool:
        return len(self.here) + len(self.onward) > 1


def branch(router: Router, source: str, load_places: Sequence[str]) -> tuple[Segment, ...]:
    """Spread one conductor from ``source`` to every load.

    The tree is the union of the shortest paths; a splice stands wherever the current divides: where
    ways part, and where a load sits on the way to another. A splice at the source itself is fed by a
    stub of path length 0. Segments come from the source outwards, each branch followed to its end.

    Parameters
    ----------
    router : Router
    source : str
        Place the conductor starts from.
    load_places : sequence of str
        One place a load; the same place may come twice.

    Returns
    -------
    tuple of Segment

    Raises
    ------
    RouteError
        If a load cannot be reached.

    Examples
    --------
    >>> from circuits.plan import Plan, Run, Vehicle
    >>> runs = (Run("panel", "tail", 3.0), Run("tail", "left", 0.5), Run("tail", "right", 0.7))
    >>> for s in branch(Router(Plan(Vehicle(), (), runs, ())), "panel", ("left", "right")):
    ...     print(s.path.places, s.from_splice, s.load, s.loads)
    ('panel', 'tail') False None (0, 1)
    ('tail', 'left') True 0 (0,)
    ('tail', 'right') True 1 (1,)
    """
    root = _Node(source, [], {}, [])
    for load, place in enumerate(load_places):
        _grow(root, load, router.path(source, place))
    segments: list[Segment] = []
    waiting: list[tuple[str, tuple[int, ...], _Node, bool]] = [(source, (), root, False)]
    while waiting:
        start, runs, node, from_splice = waiting.pop()
        while not node.here and len(node.onward) == 1:
            [(run, node)] = node.onward.items()
            runs = (*runs, run)
        path = router.along(start, runs)
        segments.append(Segment(path, from_splice, None if node.is_spliced else node.here[0], tuple(node.below)))
        if node.is_spliced:
            segments += (Segment(router.along(node.place, ()), True, load, (load,)) for load in node.here)
            waiting += ((node.place, (run,), after, True) for run, after in reversed(node.onward.items()))
    return tuple(segments)


def _grow(root: _Node, load: int, path: Path) -> None:
    node = root
    node.below.append(load)
    for run, place in zip(path.runs, path.places[1:], strict=True):
        node = node.onward.setdefault(run, _Node(place, [], {}, []))
        node.below.append(load)
    node.here.append(load)
