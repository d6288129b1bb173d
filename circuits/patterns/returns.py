"""Return stage: how the load current comes back, by the chassis or by wire."""

from __future__ import annotations

from circuits.harness.branches import branch
from circuits.patterns.draft import Draft, ground_end
from circuits.patterns.pattern import Pattern, always
from circuits.patterns.spread import splice_end
from circuits.plan import Return
from circuits.wiring import Role


def is_wired(draft: Draft) -> bool:
    """True where the plan asks for a wired return, or the body cannot carry the current."""
    return draft.circuit.return_by is Return.WIRED or not draft.site.plan.vehicle.chassis_return


def _by_wire(draft: Draft) -> None:
    """The mirror image of the way out, ending at ``ground_at``, else where the supply starts."""
    circuit = draft.circuit
    ground = ground_end(draft, circuit.ground_at or circuit.fed_at)
    draft.use(ground, draft.loads_a)
    draft.back = [[] for _ in draft.load_ends]
    for segment in reversed(branch(draft.site.router, ground.place, circuit.load_at)):
        current_a = draft.load_a * len(segment.loads)
        if segment.load is not None:
            start = draft.load_ends[segment.load]
        else:
            start = splice_end(draft, segment.path.places[-1], "return splice")
            draft.use(start, current_a)
        end = splice_end(draft, segment.path.places[0], "return splice") if segment.from_splice else ground
        path = draft.pigtail_to(end, start.place) if end is ground else None
        name = draft.add_load_wire(
            Role.RETURN, start, end, current_a, path=path or draft.site.router.reverse(segment.path)
        )
        for load in segment.loads:
            draft.back[load].append(name)


def _by_chassis(draft: Draft) -> None:
    """Each load to the ground point, or by a pigtail to one beside it."""
    circuit = draft.circuit
    draft.through_chassis = True
    for load in draft.load_ends:
        ground = ground_end(draft, circuit.ground_at or load.place)
        draft.use(ground, draft.load_a)
        path = draft.pigtail_to(ground, load.place)
        draft.back.append([draft.add_load_wire(Role.RETURN, load, ground, draft.load_a, path=path)])


WIRED_RETURN = Pattern("wired return", is_wired, _by_wire)
CHASSIS_RETURN = Pattern("chassis return", always, _by_chassis)
