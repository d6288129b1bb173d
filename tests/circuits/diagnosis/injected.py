"""A technician who is right 95 times in 100, at a vehicle with one fault drawn by the table's shares.

The fault is solved in the whole network, not in the part that the finder looks at, and a bad joint has any resistance,
not one of the finder's: what is seen never comes from the finder's own table.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from circuits.diagnosis.belief import FALSE_ALARM, WRONG
from circuits.diagnosis.diagnosis import ISOLATED, Standing, ranked_offers
from circuits.diagnosis.finder import Finder
from circuits.diagnosis.predict import SHOWN
from circuits.diagnosis.questions import Offer
from circuits.diagnosis.scope import Scope
from circuits.diagnosis.seen import ANSWERS, Act, Question, Seen, Setup
from circuits.diagnosis.suspects import Suspect, suspects_of
from circuits.diagnosis.table import Table
from circuits.diagnosis.tables import Cause, kinds
from circuits.network.faults import Fault, FaultKind

MOST_STEPS = 25


@dataclass(frozen=True)
class Injected:
    """What is wrong, and what it does."""

    suspect: Suspect
    table: Table


class Vehicle:
    """Draws faults for one plan and answers questions about them."""

    def __init__(self, finder: Finder, seed: int) -> None:
        self.finder, self.draw = finder, random.Random(seed)
        circuits = frozenset(one.circuit.name for one in finder.plan.circuits if one.wires)
        self.states = finder.states()
        scope = Scope(finder.whole, circuits, circuits, self.states)
        self.by_cause: dict[Cause, list[Suspect]] = {}
        for suspect in suspects_of(scope):
            self.by_cause.setdefault(suspect.cause, []).append(suspect)
        self.sound = Table(finder.whole, ((),))

    def inject(self) -> tuple[Injected, Seen]:
        """A fault that shows, and the complaint about it."""
        while True:
            causes = list(self.by_cause)
            (cause,) = self.draw.choices(causes, [kinds()[one].share for one in causes])
            suspect = self.draw.choice(self.by_cause[cause])
            case = self.draw.choice(suspect.cases)
            if case[0].kind is FaultKind.CORRODED_JOINT:
                case = (replace(case[0], ohm=math.exp(self.draw.uniform(math.log(0.2), math.log(12.0)))),)
            injected = Injected(suspect, Table(self.finder.whole, ((), case), self.sound))
            complaint = self._complaint(injected, case)
            if complaint is not None:
                return injected, complaint

    def _complaint(self, injected: Injected, case: tuple[Fault, ...]) -> Seen | None:
        """What one load does that it should not, in a state in which the fault shows; None where it shows nowhere."""
        loads = self.finder.whole.branches.network.loads
        own = [load.name for load in loads if load.circuit == injected.suspect.circuit]
        states = [s for s in self.states if any(self.finder.is_wanted(load, s.positions) for load in own)][:4]
        for state in [*states, *self.draw.sample(self.states, 3)]:
            setup = Setup.of(state.positions)
            predicted = injected.table.predicted(setup).shown
            amiss = np.flatnonzero(predicted[0] != predicted[1]).tolist()
            if amiss:
                load = self.draw.choice(amiss)
                question = Question(Act.LOOK, loads[load].name, "", setup, state.name)
                return Seen(question, SHOWN[int(predicted[1][load])].value)
        return None

    def answer(self, injected: Injected, question: Question) -> str | float:
        """What the technician says."""
        if question.act is Act.INSPECT:
            is_there = question.at == injected.suspect.at
            eye = kinds()[injected.suspect.cause].seen_by_eye if is_there else FALSE_ALARM
            return "bad" if self.draw.random() < eye else "good"
        if question.act in ANSWERS:
            said = ANSWERS[question.act][int(injected.table.codes(question)[1])]
            others = [one for one in ANSWERS[question.act] if one not in (said, "flicker")]
            return self.draw.choice(others) if self.draw.random() < WRONG else said
        figure = float(injected.table.figures(question)[1])
        if self.draw.random() < WRONG:  # read elsewhere, or with the switches wrong
            return self.draw.choice([0.0, figure / 2.0, self.injected_supply_v(injected, question)])
        return figure * self.draw.gauss(1.0, 0.01) + self.draw.gauss(0.0, 0.02)

    def injected_supply_v(self, injected: Injected, question: Question) -> float:
        """Voltage of the battery [V]."""
        return injected.table.supply_v(question.setup)


@dataclass(frozen=True)
class Found:
    """How one search went."""

    rank: float
    """Of the true group; infinite where it is none of them."""
    tests: int
    minutes: float
    first: Standing
    last: Standing

    @property
    def is_isolated(self) -> bool:
        """True where one group has nearly all."""
        return bool(self.last.shares.max() >= ISOLATED)


def search(vehicle: Vehicle, injected: Injected, complaint: Seen, choose: Callable[[Standing], Offer | None]) -> Found:
    """One search from the complaint to one group that has nearly all."""
    seen, spent = [complaint], 0.0
    first = standing = vehicle.finder.standing(seen)
    while standing.shares.max() < ISOLATED and len(seen) <= MOST_STEPS:
        offer = choose(standing)
        if offer is None:
            break
        seen.append(Seen(offer.question, vehicle.answer(injected, offer.question)))
        spent += offer.minutes
        standing = vehicle.finder.standing(seen)
    return Found(_rank(standing, injected), len(seen) - 1, spent, first, standing)


def _rank(standing: Standing, injected: Injected) -> float:
    hypotheses = standing.hypotheses
    true = [injected.suspect.key in {one.key for one in together} for together in hypotheses.suspects]
    groups = set(standing.group[np.array(true)[hypotheses.owner]].tolist())
    order = np.argsort(-standing.shares, kind="stable").tolist()
    return next((place for place, group in enumerate(order, 1) if group in groups), math.inf)


def best(standing: Standing) -> Offer | None:
    """What the finder proposes first."""
    ranked = ranked_offers(standing)
    return ranked[0][0] if ranked else None
