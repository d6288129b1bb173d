"""Hypothesis strategies for plans, for every test that wants one nobody thought of.

``plans`` makes any plan that a sheet or the editor can hold, sensible or not. ``sound_plans`` makes
plans that can be built: places joined by runs, known zones, feeds that end on a bus.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from circuits.colours import COLOURS
from circuits.fittings import Cavity, Connector, Half, Holds, Mounting, PanelPosition
from circuits.plan import (
    BUSES,
    DEFAULT_ZONES_C,
    Circuit,
    Covering,
    Disposition,
    Duty,
    FuseFamily,
    Kind,
    Plan,
    Return,
    Run,
    Vehicle,
    Zone,
)

HARMFUL = (
    "=1+1",
    "+1",
    "-1",
    "@SUM(A1)",
    "\tx",
    "\rx",
    "\nx",
    "=cmd|' /C calc'!A0",
    "＝1",
    "'=1",
    "''",
    "'",
    " x ",
    "x;y",
)
"""Texts that a spreadsheet would run, or that an escape could lose."""

AWKWARD = ("none", "yes", "0", "1e5", "12", "a\\;b", "\\", "_x000D_", 'say "x"', "a,b", "Ω µ ² 電気", "\r\n")


def _kept(text: str) -> bool:
    return all(
        character in "\t\n\r" or not (ord(character) < 0x20 or 0x7F <= ord(character) < 0xA0) for character in text
    )


_CHARACTERS = st.characters(exclude_categories=["Cs"], exclude_characters="\ufffe\uffff").filter(_kept)
texts: st.SearchStrategy[str] = st.one_of(
    st.text(_CHARACTERS, max_size=20), st.sampled_from(HARMFUL), st.sampled_from(AWKWARD)
)
"""Any text that the border lets in, the harmful and the awkward often."""

names = texts.filter(lambda text: bool(text.strip()))
"""Any text that a required column takes."""

places = names.filter(lambda text: len(text) < 60)


def amounts(most: float) -> st.SearchStrategy[float]:
    """Any quantity above 0 that the border lets in."""
    return st.floats(1e-6, most, allow_nan=False, allow_infinity=False)


def _maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.one_of(st.none(), strategy)


vehicles: st.SearchStrategy[Vehicle] = st.builds(
    Vehicle,
    description=texts,
    system_v=st.sampled_from((12.0, 24.0)),
    battery_cca_a=_maybe(amounts(1e4)),
    battery_ah=_maybe(amounts(1e4)),
    alternator_a=_maybe(amounts(1e4)),
    alternator_idle_a=_maybe(amounts(1e4)),
    chassis_return=st.booleans(),
    chassis_resistance_ohm=st.floats(0, 1e3),
)
zones: st.SearchStrategy[Zone] = st.builds(Zone, names, st.floats(-60, 250))


@st.composite
def runs(draw: st.DrawFn) -> Run:
    """Any run; its places need not lead anywhere."""
    start, end = draw(st.lists(places, min_size=2, max_size=2, unique=True))
    return Run(
        start,
        end,
        draw(amounts(1e3)),
        draw(names),
        draw(st.sampled_from(Covering)),
        draw(_maybe(amounts(1e3))),
        draw(texts),
    )


sizes = st.one_of(
    st.sampled_from([f"{gauge} AWG" for gauge in ("22", "18", "14", "10", "2", "1/0", "4/0")]),
    st.sampled_from([f"{area} mm²" for area in ("0.5", "0.75", "1", "2.5", "16", "120")]),
)
colours = st.lists(st.sampled_from(sorted(COLOURS)), min_size=1, max_size=2, unique=True).map("/".join)


@st.composite
def circuits(draw: st.DrawFn, name: str, feeds: tuple[str, ...]) -> Circuit:
    """Any circuit of that name."""
    in_amperes = draw(st.booleans())
    return Circuit(
        name=name,
        section=draw(names),
        feed=draw(
            st.one_of(
                st.sampled_from((*BUSES, *feeds)), names.filter(lambda text: text.strip().casefold() not in BUSES)
            )
        ),
        fed_at=draw(places),
        load=draw(names),
        load_at=tuple(draw(st.lists(places, min_size=1, max_size=4))),
        kind=draw(st.sampled_from(Kind)),
        load_a=draw(amounts(1e4)) if in_amperes else None,
        load_w=None if in_amperes else draw(amounts(1e6)),
        disposition=draw(st.sampled_from(Disposition)),
        switch_at=draw(texts),
        switch=draw(texts),
        relay_at=draw(texts),
        duty=draw(st.sampled_from(Duty)),
        return_by=draw(st.sampled_from(Return)),
        ground_at=draw(texts),
        max_drop_percent=draw(_maybe(amounts(50.0))),
        safety=draw(st.booleans()),
        colour=draw(st.one_of(st.just(""), colours)),
        size=draw(st.one_of(st.just(""), sizes)),
        fuse_a=draw(_maybe(amounts(1e4))),
        fuse_family=draw(_maybe(st.sampled_from(FuseFamily))),
        notes=draw(texts),
    )


areas = st.floats(0.005, 1e3)
families = [family.value for family in FuseFamily if family is not FuseFamily.NONE]
not_buses = names.filter(lambda text: text.strip().casefold() not in BUSES)


@st.composite
def connectors(draw: st.DrawFn) -> Connector:
    """Any connector; its place need not be one, nor its mate."""
    low, high = sorted(draw(st.lists(areas, min_size=2, max_size=2)))
    return Connector(
        name=draw(names),
        place=draw(places),
        series=draw(texts),
        half=draw(st.sampled_from(Half)),
        ways=draw(_maybe(st.integers(1, 500))),
        keying=draw(texts),
        mates_with=draw(texts),
        body_mm=draw(_maybe(amounts(1e3))),
        min_area_mm2=draw(st.sampled_from((None, low))),
        max_area_mm2=draw(st.sampled_from((None, high))),
        contact_a=draw(_maybe(amounts(1e4))),
        in_loom=draw(st.booleans()),
        notes=draw(texts),
    )


cavities: st.SearchStrategy[Cavity] = st.builds(
    Cavity, names, names, texts, st.sampled_from(Holds), st.one_of(st.just(""), colours), texts
)
mountings: st.SearchStrategy[Mounting] = st.builds(
    Mounting,
    st.just("a part"),
    texts,
    st.lists(places.filter(lambda place: place != "a part"), max_size=3).map(tuple),
    st.booleans(),
    texts,
).flatmap(lambda one: names.filter(lambda name: name not in one.hides).map(lambda name: replace(one, part=name)))
positions: st.SearchStrategy[PanelPosition] = st.builds(
    PanelPosition,
    names,
    names,
    st.one_of(st.sampled_from(BUSES), not_buses),
    st.sampled_from(["", *families]),
    _maybe(amounts(1e4)),
    texts,
)


@st.composite
def with_fittings(draw: st.DrawFn, plan: Plan) -> Plan:
    """The plan with any connectors, cavities, mountings and positions."""
    return replace(
        plan,
        connectors=tuple(draw(st.lists(connectors(), max_size=2, unique_by=lambda one: one.name))),
        cavities=tuple(draw(st.lists(cavities, max_size=2, unique_by=lambda one: f"{one.connector} {one.label}"))),
        mountings=tuple(draw(st.lists(mountings, max_size=2, unique_by=lambda one: one.part))),
        positions=tuple(draw(st.lists(positions, max_size=2, unique_by=lambda one: f"{one.panel} {one.label}"))),
    )


@st.composite
def plans(draw: st.DrawFn, most_circuits: int = 4) -> Plan:
    """Any plan that the border lets in, sensible or not."""
    circuit_names = tuple(draw(st.lists(names, max_size=most_circuits, unique=True)))
    plan = Plan(
        draw(vehicles),
        tuple(draw(st.lists(zones, max_size=3, unique_by=lambda zone: zone.name))),
        tuple(draw(st.lists(runs(), max_size=3))),
        tuple(draw(circuits(name, circuit_names)) for name in circuit_names),
    )
    return draw(with_fittings(plan)) if draw(st.booleans()) else plan


@st.composite
def sound_plans(draw: st.DrawFn, most_places: int = 8, most_circuits: int = 6) -> Plan:
    """A plan that can be built: a loom in one piece, and loads of a kind that vehicles have."""
    place_names = [f"place {number}" for number in range(draw(st.integers(2, most_places)))]
    tree = tuple(
        Run(
            place_names[draw(st.integers(0, number - 1))],
            place,
            draw(st.floats(0.1, 4.0)),
            draw(st.sampled_from(sorted(DEFAULT_ZONES_C))),
        )
        for number, place in enumerate(place_names)
        if number
    )

    def at() -> str:
        return draw(st.sampled_from(place_names))

    made = []
    for number in range(draw(st.integers(1, most_circuits))):
        switched = draw(st.booleans())
        made.append(
            Circuit(
                name=f"circuit {number}",
                section=draw(st.sampled_from(("front", "cabin", "rear"))),
                feed=draw(st.sampled_from(BUSES)),
                fed_at=at(),
                load="load",
                load_at=tuple(draw(st.lists(st.sampled_from(place_names), min_size=1, max_size=3, unique=True))),
                kind=draw(st.sampled_from([kind for kind in Kind if kind not in (Kind.FEEDER, Kind.SENDER)])),
                load_a=draw(st.floats(0.1, 15.0)),
                switch_at=at() if switched else "",
                switch=f"switch {number}" if switched else "",
                relay_at=at() if draw(st.booleans()) else "",
                duty=draw(st.sampled_from(Duty)),
                return_by=draw(st.sampled_from(Return)),
                ground_at=draw(st.sampled_from(["", *place_names])),
                safety=draw(st.booleans()),
            )
        )
    return Plan(Vehicle(), (), tree, tuple(made))
