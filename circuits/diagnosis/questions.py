"""Everything that may be asked next in a scope, each with its minutes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from circuits.diagnosis.predict import fuses_of
from circuits.diagnosis.scope import Scope
from circuits.diagnosis.seen import Act, Question, Setup
from circuits.diagnosis.suspects import Suspect, device_words, joint_words
from circuits.diagnosis.tables import minutes_of
from circuits.network.elements import Part, Switch
from circuits.network.states import State
from circuits.network.supply import ENGINE, KEY, LIGHTING
from circuits.wiring import Lands

MOST_STATES = 16
"""Switch states that are asked about."""


@dataclass(frozen=True, slots=True)
class Offer:
    """A question with its minutes and its words.

    Parameters
    ----------
    question : Question
    minutes : float
    words : str
    """

    question: Question
    minutes: float
    words: str


def functions_in(scope: Scope) -> frozenset[str]:
    """Functions whose position can change anything in a scope."""
    switches = {one.function for one in scope.built.branches.network.elements if isinstance(one, Switch)}
    return frozenset(switches | {KEY, LIGHTING, ENGINE})


def states_asked(scope: Scope) -> tuple[State, ...]:
    """States asked about: those of the circuits that misbehave first, the plainest first."""
    seeds = {
        one.function
        for one in scope.built.branches.network.elements
        if isinstance(one, Switch) and one.circuit in scope.suspected
    }

    def rank(state: State) -> tuple[bool, int]:
        own = set(state.positions) - {KEY, LIGHTING, ENGINE}
        return (bool(own - seeds), len(state.positions))

    return tuple(sorted(scope.states, key=rank)[:MOST_STATES])


def offers(
    scope: Scope, suspects: Sequence[Suspect], complaints: Sequence[tuple[Setup, str]], opens: bool
) -> Iterator[Offer]:
    """Every question worth having a look at.

    Parameters
    ----------
    scope : Scope
    suspects : sequence of Suspect
    complaints : sequence of (Setup, str)
        Setups in which something misbehaves, with their words.
    opens : bool
        True where a fuse opens, or something works that should not: parts are then taken out to see.
    """
    yield from _looks(scope)
    places = dict(reading_places(scope))
    for number, (setup, state) in enumerate(complaints):
        yield from _fuses(scope, setup, state)
        for node, (words, lands) in places.items():
            question = Question(Act.VOLTS, node, "", setup, state)
            yield Offer(question, minutes_of(lands), f"Read volts to battery minus: {words}. Switches: {state}.")
        if opens and not number:
            yield from _taken_out(scope, setup, state)
    yield from _inspections(suspects)


def _looks(scope: Scope) -> Iterator[Offer]:
    for state in states_asked(scope):
        setup = Setup.of(state.positions)
        for load in scope.built.branches.network.loads:
            if load.part is Part.SENDER:  # nothing to see at it
                continue
            question = Question(Act.LOOK, load.name, "", setup, state.name)
            thrown = ["switch thrown"] * len(state.positions)
            yield Offer(question, minutes_of("look", *thrown), f"Look at {load.words}. Switches: {state.name}.")


def _fuses(scope: Scope, setup: Setup, state: str) -> Iterator[Offer]:
    fuse_of = {element.name: element for element in scope.built.branches.network.elements}
    for fuse in fuses_of(scope.built):
        if fuse_of[fuse].circuit not in scope.suspected or fuse in setup.removed:
            continue
        name = fuse.removeprefix("fuse: ")
        yield Offer(
            Question(Act.FUSE, fuse, "", setup, state), minutes_of("fuse"), f"Look at fuse {name}. Switches: {state}."
        )
        refit = Question(Act.REFIT, fuse, "", setup, state)
        words = f"Fit a sound fuse {name} and see whether it holds. Switches: {state}."
        yield Offer(refit, minutes_of("fuse", "pull"), words)
        amps = Question(Act.AMPS, fuse, "", setup, state)
        words = f"Put an ammeter in place of fuse {name}. Switches: {state}."
        yield Offer(amps, minutes_of("fuse", "ammeter"), words)


def _taken_out(scope: Scope, setup: Setup, state: str) -> Iterator[Offer]:
    """Unplug a load and see whether its fuse holds; pull a fuse and see what goes out."""
    network = scope.built.branches.network
    loads = [load for load in network.loads if load.circuit in scope.seeds]
    fuses = [
        element.name for element in network.elements if element.part is Part.FUSE and element.circuit in scope.seeds
    ]
    for load in loads:
        without = Setup(setup.positions, (load.branch,))
        for fuse in fuses:
            name = fuse.removeprefix("fuse: ")
            words = f"Unplug {load.words}, fit a sound fuse {name} and see whether it holds. Switches: {state}."
            yield Offer(Question(Act.REFIT, fuse, "", without, state), minutes_of("fuse", "unplug"), words)
    for fuse in fuses:
        without = Setup(setup.positions, (fuse,))
        for load in loads:
            words = f"Pull fuse {fuse.removeprefix('fuse: ')}, look at {load.words}. Switches: {state}."
            yield Offer(Question(Act.LOOK, load.name, "", without, state), minutes_of("look", "pull"), words)


def reading_places(scope: Scope) -> Iterator[tuple[str, tuple[str, str]]]:
    """Nodes that a meter's lead can reach in the suspected circuits, with words and kind of place.

    Parameters
    ----------
    scope : Scope
    """
    beyond = {element.name: element for element in scope.built.branches.network.elements}
    for one in scope.built.plan.circuits:
        if one.circuit.name not in scope.suspected:
            continue
        for sized in one.wires:
            wire = sized.wire
            for side, end in (("start", wire.start), ("end", wire.end)):
                terminal = f"{wire.name} {side}"
                joint = beyond[f"joint at {terminal}"]
                lands = Lands.FUSE if end.lands is Lands.SUPPLY and side == "end" else end.lands
                yield terminal, (joint_words(wire.name, end), str(lands))
                device = joint.end if side == "end" else joint.start
                assert isinstance(device, str)
                terminals = f" terminal {end.terminal}" if end.terminal else ""
                yield device, (f"{device_words(end)}{terminals} itself", str(lands))


def _inspections(suspects: Sequence[Suspect]) -> Iterator[Offer]:
    for at in dict.fromkeys(one.at for one in suspects):
        one = next(suspect for suspect in suspects if suspect.at == at)
        what = one.words.partition(": ")[2]
        cost = minutes_of("inspect wire") if one.lands == "inspect wire" else minutes_of(one.lands, "inspect")
        yield Offer(Question(Act.INSPECT, at), cost, f"Look closely: {what}.")
