"""What the loom page shows: places nothing uses or reaches, panels as they are fitted."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.plan import Plan
from circuits.sized import SizedPlan


@dataclass(frozen=True, slots=True)
class LoomNotes:
    """Places to look at.

    Parameters
    ----------
    unknown : tuple of str
        Named by circuits, but no run leads there.
    apart : tuple of tuple of str
        Groups of places with no way to the largest group.
    unused_runs : tuple of str
        Runs that no wire crosses.
    """

    unknown: tuple[str, ...]
    apart: tuple[tuple[str, ...], ...]
    unused_runs: tuple[str, ...]


def loom_notes(plan: Plan, sized: SizedPlan) -> LoomNotes:
    """Places of a plan that are unused, unknown, or cannot be reached.

    Examples
    --------
    >>> from circuits.plan import Run, Vehicle
    >>> from circuits.electrical.sizing import size_plan
    >>> plan = Plan(Vehicle(), (), (Run("panel", "dash", 1.0), Run("dash", "lamp", 1.0), Run("hitch", "tail", 1.0)), ())
    >>> loom_notes(plan, size_plan(plan)).apart
    (('hitch', 'tail'),)
    """
    known = set(plan.places)
    named = dict.fromkeys(place for circuit in plan.circuits for place in _places(circuit))
    groups = sorted(_groups(plan), key=len, reverse=True)
    used = {bundle.run for bundle in sized.bundles if bundle.wires}
    return LoomNotes(
        unknown=tuple(place for place in named if place not in known),
        apart=tuple(groups[1:]),
        unused_runs=tuple(run.name for index, run in enumerate(plan.runs) if index not in used),
    )


def _places(circuit: object) -> list[str]:
    single = (getattr(circuit, name) for name in ("fed_at", "switch_at", "relay_at", "ground_at"))
    return [place for place in (*single, *getattr(circuit, "load_at", ())) if place]


def _groups(plan: Plan) -> list[tuple[str, ...]]:
    """Places that are joined by runs, in the plan's order."""
    group_of: dict[str, set[str]] = {}
    for run in plan.runs:
        joined = group_of.get(run.start, {run.start}) | group_of.get(run.end, {run.end})
        for place in joined:
            group_of[place] = joined
    found: list[tuple[str, ...]] = []
    told: set[str] = set()
    for place in plan.places:
        if place not in told:
            told |= group_of[place]
            found.append(tuple(other for other in plan.places if other in group_of[place]))
    return found
