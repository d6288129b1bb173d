"""Taps: the current that a circuit carries for the circuits it feeds, and where they take it off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from circuits.plan import Circuit, Kind


@dataclass(frozen=True, slots=True)
class Tapped:
    """Current taken off one circuit by those it feeds [A].

    Parameters
    ----------
    at_loads : tuple of float
        At the place of each load: carried by the whole way to it.
    at_supply : float
        At its relay, or at its switch where it has no relay: carried up to there.
    at_fuse : float
        Where it starts: carried by its fuse only.
    """

    at_loads: tuple[float, ...]
    at_supply: float = 0.0
    at_fuse: float = 0.0


def reaches(circuit: Circuit) -> tuple[str, ...]:
    """Places where another circuit can take its supply off this one: loads, relay or switch, start.

    A switch that only drives a relay carries no load current, so nothing can be taken off there.
    """
    through = circuit.relay_at or circuit.switch_at
    return tuple(dict.fromkeys((*circuit.load_at, *((through,) if through else ()), circuit.fed_at)))


def taps(circuits: Mapping[str, Circuit], system_v: float) -> dict[str, Tapped]:
    """What is taken off each circuit.

    A feeder is stated with all it feeds in its own load, and a sender takes the current of its gauge,
    which is the gauge's own: neither adds anything. A circuit that is fed where its feed does not reach
    is taken to hang on the first load, which errs on the safe side.

    Parameters
    ----------
    circuits : mapping of str to Circuit
        Those that are wired, by name; no cycles.
    system_v : float
        12 or 24 [V].
    """
    takers: dict[str, dict[str, float]] = {}
    for circuit in circuits.values():
        own_a = circuit.load_current_a(system_v) * len(circuit.load_at)
        feed = _tapped_feed(circuit, circuits)
        while feed is not None:
            through = takers.setdefault(feed.name, {})
            through[circuit.name] = through.get(circuit.name, 0.0) + own_a
            circuit, feed = feed, _tapped_feed(feed, circuits)
    return {name: _taken_off(circuits[name], circuits, through) for name, through in takers.items()}


def _tapped_feed(circuit: Circuit, circuits: Mapping[str, Circuit]) -> Circuit | None:
    """The circuit whose current this one adds to; None where there is none."""
    feed = circuits.get(circuit.feed) if circuit.is_fed_by_circuit else None
    return None if feed is None or feed.kind is Kind.FEEDER or circuit.kind is Kind.SENDER else feed


def _taken_off(circuit: Circuit, circuits: Mapping[str, Circuit], takers: Mapping[str, float]) -> Tapped:
    at_loads = [0.0] * len(circuit.load_at)
    at_supply = at_fuse = 0.0
    for name, current_a in takers.items():
        place = circuits[name].fed_at
        if place in circuit.load_at:
            at_loads[circuit.load_at.index(place)] += current_a
        elif place not in reaches(circuit):
            at_loads[0] += current_a
        elif place == circuit.fed_at:
            at_fuse += current_a
        else:
            at_supply += current_a
    return Tapped(tuple(at_loads), at_supply, at_fuse)
