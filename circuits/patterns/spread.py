"""Spread stage: from where the load current leaves to the load or loads, spliced where it divides."""

from __future__ import annotations

from circuits.harness.branches import Segment, branch
from circuits.patterns.draft import Draft
from circuits.patterns.pattern import Pattern, always
from circuits.wiring import End, Lands, Role


def _draw(draft: Draft) -> None:
    circuit = draft.circuit
    ends = []
    for load, place in enumerate(circuit.load_at):
        twin = circuit.load_at[:load].count(place)
        label = f"load: {circuit.load} at {place}" + (f" ({twin + 1})" if twin else "")
        ends.append(draft.end(Lands.LOAD, place, label, key=(circuit.load, twin)))
    spread(draft, ends)


def spread(draft: Draft, ends: list[End]) -> None:
    """Wire ``draft.source`` to each of ``ends``, one a load in the order of ``load_at``."""
    draft.load_ends = ends
    draft.out = [[] for _ in ends]
    arriving_a = draft.spread_a
    for end in ends:
        draft.use(end, draft.load_a)
    for segment in branch(draft.site.router, draft.start.place, draft.circuit.load_at):
        current_a = sum(arriving_a[load] for load in segment.loads)
        start = splice_end(draft, segment.path.places[0]) if segment.from_splice else draft.start
        end = _segment_end(draft, segment, current_a)
        role = Role.SPLICE_LEG if segment.from_splice else draft.trunk_role
        name = draft.add_load_wire(role, start, end, current_a, path=segment.path)
        for load in segment.loads:
            draft.out[load].append(name)


def _segment_end(draft: Draft, segment: Segment, current_a: float) -> End:
    if segment.load is not None:
        return draft.load_ends[segment.load]
    splice = splice_end(draft, segment.path.places[-1])
    draft.use(splice, current_a)
    return splice


def splice_end(draft: Draft, place: str, way: str = "splice") -> End:
    """The splice of this circuit at a place; ``way`` tells the one on the way back from that on the way out."""
    name = draft.circuit.name
    return draft.end(Lands.SPLICE, place, f"{way}: {name} at {place}", key=(way, name))


SPREAD = Pattern("loads, spliced where the way divides", always, _draw)
