"""Rules that leave a circuit without wires: it has no supply, no place or no way."""

from __future__ import annotations

from collections.abc import Iterator

from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.patterns.survey import Rule, Survey
from circuits.plan import Circuit


def unknown_feed(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """A feed must be a bus or a circuit of the plan."""
    if circuit.is_fed_by_circuit and circuit.feed not in survey.by_name:
        message = f"{circuit.name}: no bus or circuit is called {circuit.feed}"
        cure = survey.feeds.did_you_mean(circuit.feed)
        yield finding("unknown-feed", circuit.name, message, figure=circuit.feed, cure=cure)


def feed_cycle(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """Followed upstream, no feed may come round again."""
    passed, at = {circuit.name}, circuit
    while at.is_fed_by_circuit and at.feed in survey.by_name:
        if at.feed in passed:
            way = "itself" if at is circuit else f"{circuit.feed}, and that way comes back to {at.feed}"
            yield finding("feed-cycle", circuit.name, f"{circuit.name} is fed by {way}", figure=circuit.feed)
            return
        at = survey.by_name[at.feed]
        passed.add(at.name)


def unknown_place(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """Every place must be named by a run."""
    for place, column in _places(circuit).items():
        if place not in survey.router:
            message = f"{circuit.name}: {column} is {place}, but no run leads there"
            cure = survey.places.did_you_mean(place)
            yield finding("unknown-place", circuit.name, message, figure=place, cure=cure)


def no_path(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """Runs must lead from where the supply starts to every place of the circuit."""
    start = circuit.fed_at
    for place in _places(circuit):
        if start in survey.router and place in survey.router and not survey.router.is_joined(start, place):
            message = f"{circuit.name}: no run leads from {start} to {place}"
            cure = f"Add the missing run between {start} and {place}."
            yield finding("no-path", circuit.name, message, cure=cure)


def switch_without_place(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """A switch is somewhere."""
    if circuit.switch and not circuit.switch_at:
        message = f"{circuit.name}: nothing says where its switch {circuit.switch} is"
        yield finding("switch-without-place", circuit.name, message)


def _places(circuit: Circuit) -> dict[str, str]:
    """Places a circuit names, each with the first column that names it."""
    named = {circuit.fed_at: "fed_at"}
    optional = (circuit.switch_at, "switch_at"), (circuit.relay_at, "relay_at"), (circuit.ground_at, "ground_at")
    for place, column in (*optional, *((place, "load_at") for place in circuit.load_at)):
        if place:
            named.setdefault(place, column)
    return named


ROUTING_RULES: tuple[Rule, ...] = (unknown_feed, feed_cycle, unknown_place, no_path, switch_without_place)
