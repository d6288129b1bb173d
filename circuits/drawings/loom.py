"""The loom as a tree: places along its branches, each run as thick as its bundle, openings where it passes through.

Branches are drawn, not distances: lengths are lettered.
"""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from dataclasses import dataclass

from circuits.drawings.lettering import fitted
from circuits.drawings.shapes import Anchor, Circle, Drawing, Ink, Pen, Polyline, Rect, Shape, Text
from circuits.plan import Plan, Run
from circuits.sized import Bundle

_MARGIN = 16.0
_ROOT_ROOM = 110.0
_COLUMN = 176.0
_ROW = 58.0
_TOP = 40.0
_SIZE = 11.0
_LEADING = 13.0
_BEND = 14.0
_PX_PER_MM = 0.22
_THINNEST, _THICKEST = 1.25, 12.0
_INK = Pen(stroke=Ink.NONE, fill=Ink.INK)
_QUIET = Pen(stroke=Ink.NONE, fill=Ink.SECOND)
_OPENING = Pen(stroke=Ink.INK, fill=Ink.PAPER, width=1.25)


@dataclass(frozen=True, slots=True)
class _Stop:
    """A place of the tree; ``run`` leads to it, None at a root."""

    place: str
    run: int | None
    column: int
    row: int
    parent: str


def loom_drawing(plan: Plan, bundles: tuple[Bundle, ...] = (), root: str = "") -> Drawing:
    """The loom of a plan.

    Parameters
    ----------
    plan : Plan
    bundles : tuple of Bundle
        For thickness and lettering; without them only lengths are lettered.
    root : str
        Place at the left; empty = where most circuits are fed.

    Returns
    -------
    Drawing
        Runs that close a ring are lettered beneath. A plan without runs gives a sheet that says so.

    Examples
    --------
    >>> from circuits.plan import Vehicle
    >>> loom_drawing(Plan(Vehicle(), (), (Run("panel", "horn", 1.5, opening_mm=25.0),), ())).description
    'panel to horn: 1.50 m, through an opening of 25 mm.'
    """
    if not plan.runs:
        return Drawing(360.0, 52.0, (Text(_MARGIN, 30.0, "No runs yet.", 13.0, pen=_QUIET),), "Loom", "No runs.")
    by_run = {bundle.run: bundle for bundle in bundles}
    stops = _stops(plan, by_run, root or _usual_feed(plan))
    by_place = {stop.place: stop for stop in stops}
    rows = max(stop.row for stop in stops) + 1
    shapes: list[Shape] = []
    for stop in reversed(stops):  # thick trunks over the ends of thin branches
        if stop.run is not None:
            shapes += _run(plan.runs[stop.run], by_run.get(stop.run), stop, by_place[stop.parent])
    shapes += [shape for stop in stops for shape in _place(stop)]
    rings = _rings(plan, stops)
    shapes += [
        Text(_MARGIN, _TOP + _ROW * rows + 16.0 * index, words, _SIZE, pen=_QUIET) for index, words in enumerate(rings)
    ]
    width = _MARGIN + _ROOT_ROOM + _COLUMN * max(stop.column for stop in stops) + _MARGIN
    height = _TOP + _ROW * rows + 16.0 * len(rings)
    return Drawing(width, height, tuple(shapes), "Loom", _told(plan, by_run))


def _usual_feed(plan: Plan) -> str:
    """The place where most circuits are fed; the first place of the runs where none of those is one."""
    counts = Counter(circuit.fed_at for circuit in plan.circuits if circuit.fed_at in plan.places)
    return counts.most_common(1)[0][0] if counts else plan.places[0]


def _stops(plan: Plan, by_run: dict[int, Bundle], root: str) -> list[_Stop]:
    """Every place once: breadth first for the tree, then rows from the top, the thickest branch straight on."""
    parents, children = _tree(plan, [root, *plan.places])
    stops: list[_Stop] = []
    free = 0

    def put(place: str, column: int, row: int) -> int:
        parent, run = parents[place]
        stops.append(_Stop(place, run, column, row, parent))
        nonlocal free
        free = max(free, row + 1)
        onward = sorted(children[place], key=lambda child: -_diameter_mm(by_run.get(parents[child][1] or 0)))
        for index, child in enumerate(onward):
            put(child, column + 1, row if index == 0 else free)
        return free

    for place, (_, run) in parents.items():
        if run is None:
            put(place, 0, free)
    return stops


def _tree(plan: Plan, order: list[str]) -> tuple[dict[str, tuple[str, int | None]], dict[str, list[str]]]:
    """Parent and run of each place, and children of each: shortest in runs; one root for each loose part."""
    joined: dict[str, list[tuple[str, int]]] = defaultdict(list)
    for index, run in enumerate(plan.runs):
        joined[run.start].append((run.end, index))
        joined[run.end].append((run.start, index))
    parents: dict[str, tuple[str, int | None]] = {}
    children: dict[str, list[str]] = defaultdict(list)
    for root in order:
        if root in parents:
            continue
        parents[root] = ("", None)
        waiting = deque([root])
        while waiting:
            place = waiting.popleft()
            for other, index in joined[place]:
                if other not in parents:
                    parents[other] = (place, index)
                    children[place].append(other)
                    waiting.append(other)
    return parents, children


def _diameter_mm(bundle: Bundle | None) -> float:
    return bundle.diameter_mm if bundle else 0.0


def _x(column: int) -> float:
    return _MARGIN + _ROOT_ROOM + column * _COLUMN


def _y(row: int) -> float:
    return _TOP + row * _ROW


def _run(run: Run, bundle: Bundle | None, stop: _Stop, parent: _Stop) -> list[Shape]:
    x1, y1, x2, y2 = _x(parent.column), _y(parent.row), _x(stop.column), _y(stop.row)
    thickness = min(max(_diameter_mm(bundle) * _PX_PER_MM, _THINNEST), _THICKEST)
    dash = () if bundle is None or bundle.wires else (4.0, 4.0)
    points = ((x1, y1), (x2, y2)) if y1 == y2 else ((x1, y1), (x1 + _BEND, y1), (x1 + _BEND, y2), (x2, y2))
    left, room = x1 + _BEND + 15.0, _COLUMN - _BEND - 22.0
    shapes: list[Shape] = [Polyline(points, Pen(width=thickness, dash=dash))]
    if run.opening_mm:
        shapes.append(Rect(x1 + _BEND + 3.5, y2 - 11.0, 5.0, 22.0, _OPENING))
    words = _run_words(run, bundle)
    for index, line in enumerate(words):
        y = y2 - thickness / 2 - 4.0 - _LEADING * (len(words) - 1 - index)
        shapes.append(Text(left, y, fitted(line, _SIZE, room), _SIZE, pen=_QUIET))
    return shapes


def _run_words(run: Run, bundle: Bundle | None) -> list[str]:
    """Length and opening; beneath, what lies in it."""
    words = [f"{run.length_m:.2f} m" + (f", opening {run.opening_mm:g} mm" if run.opening_mm else "")]
    if bundle and bundle.wires:
        count = len(bundle.wires)
        words.append(f"{count} {'wire' if count == 1 else 'wires'}, ⌀ {bundle.diameter_mm:.0f} mm")
    return words


def _place(stop: _Stop) -> list[Shape]:
    x, y = _x(stop.column), _y(stop.row)
    room = (_ROOT_ROOM if stop.run is None else _COLUMN - _BEND) - 12.0
    name = fitted(stop.place, _SIZE, room, is_bold=True)
    return [
        Circle(x, y, 4.0, Pen(fill=Ink.PAPER, width=1.5)),
        Text(x - 7.0, y + 17.0, name, _SIZE, Anchor.END, _INK, is_bold=True),
    ]


def _rings(plan: Plan, stops: list[_Stop]) -> list[str]:
    drawn = {stop.run for stop in stops}
    return [
        f"also joined: {run.name}, {run.length_m:.2f} m" for index, run in enumerate(plan.runs) if index not in drawn
    ]


def _told(plan: Plan, by_run: dict[int, Bundle]) -> str:
    """Every run in words."""
    told = []
    for index, run in enumerate(plan.runs):
        bundle = by_run.get(index)
        lies = f", {len(bundle.wires)} wires, {bundle.diameter_mm:.0f} mm thick" if bundle and bundle.wires else ""
        opening = f", through an opening of {run.opening_mm:g} mm" if run.opening_mm else ""
        told.append(f"{run.name}: {run.length_m:.2f} m{lies}{opening}.")
    return " ".join(told)
