"""Hypothesis strategies for looms with loops and for plans that use every pattern on them."""

from __future__ import annotations

from hypothesis import strategies as st

from circuits.plan import (
    BUSES,
    DEFAULT_ZONES_C,
    Circuit,
    Disposition,
    Duty,
    FuseFamily,
    Kind,
    Plan,
    Return,
    Run,
    Vehicle,
)

LENGTHS_M = st.one_of(st.floats(0.1, 5.0), st.sampled_from((0.5, 1.0)))
"""Lengths often equal, so that ways tie."""


@st.composite
def meshes(draw: st.DrawFn, most_places: int = 9) -> tuple[Run, ...]:
    """Runs that join all places, with up to three more that close loops or lie side by side."""
    names = [f"place {number}" for number in range(draw(st.integers(2, most_places)))]
    zones = st.sampled_from((*DEFAULT_ZONES_C, "attic"))
    tree = [
        Run(names[draw(st.integers(0, number - 1))], names[number], draw(LENGTHS_M), draw(zones))
        for number in range(1, len(names))
    ]
    for _ in range(draw(st.integers(0, 3))):
        start, end = draw(st.lists(st.sampled_from(names), min_size=2, max_size=2, unique=True))
        tree.append(Run(start, end, draw(LENGTHS_M), draw(zones)))
    return tuple(tree)


@st.composite
def circuits_on(draw: st.DrawFn, name: str, places: tuple[str, ...], feeds: tuple[str, ...]) -> Circuit:
    """A circuit that can be routed: any kind, switched, relayed, spliced or returned in any way."""
    at = st.sampled_from(places)
    maybe_at = st.one_of(st.just(""), at)
    switch_at = draw(maybe_at)
    return Circuit(
        name=name,
        section=draw(st.sampled_from(("front", "rear"))),
        feed=draw(st.sampled_from((*BUSES, *feeds))),
        fed_at=draw(at),
        load=draw(st.sampled_from(("lamp", "motor"))),
        load_at=tuple(draw(st.lists(at, min_size=1, max_size=4))),
        kind=draw(st.sampled_from(Kind)),
        load_a=draw(st.floats(0.05, 25.0)),
        disposition=draw(st.sampled_from(Disposition)),
        switch_at=switch_at,
        switch=draw(st.sampled_from(("", "lights:side", "lights:dip", "fan"))) if switch_at else "",
        relay_at=draw(maybe_at),
        duty=draw(st.sampled_from(Duty)),
        return_by=draw(st.sampled_from(Return)),
        ground_at=draw(maybe_at),
        colour=draw(st.sampled_from(("", "", "", "RD/BK", "GN"))),
        fuse_a=draw(st.sampled_from((None, None, 5.0, 30.0))),
        fuse_family=draw(st.sampled_from((None, None, *FuseFamily))),
    )


@st.composite
def woven_plans(draw: st.DrawFn, most_circuits: int = 6) -> Plan:
    """A plan whose circuits can all be routed and feed each other without loops; some are removed or kept."""
    runs = draw(meshes())
    places = tuple(dict.fromkeys(place for run in runs for place in (run.start, run.end)))
    made: list[Circuit] = []
    for number in range(draw(st.integers(1, most_circuits))):
        feeds = tuple(circuit.name for circuit in made)
        made.append(draw(circuits_on(f"circuit {number}", places, feeds)))
    vehicle = Vehicle(system_v=draw(st.sampled_from((12.0, 24.0))), chassis_return=draw(st.booleans()))
    return Plan(vehicle, (), runs, tuple(made))
