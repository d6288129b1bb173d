"""The fault finder of one plan: from what is seen to groups of suspects, and to the next question worth its minutes."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from circuits.diagnosis.belief import posterior, single_hypotheses, wrong_answers
from circuits.diagnosis.diagnosis import Diagnosis, Standing, diagnosis_of, groups_of
from circuits.diagnosis.pairs import with_pairs
from circuits.diagnosis.priors import prior_shares
from circuits.diagnosis.questions import Offer, functions_in, offers, states_asked
from circuits.diagnosis.scope import Scope, scope_of
from circuits.diagnosis.seen import Act, Seen, Setup
from circuits.diagnosis.suspects import Suspect, suspects_of
from circuits.diagnosis.table import Table
from circuits.diagnosis.tables import Cause
from circuits.errors import LoomwrightError
from circuits.network.build import build_network
from circuits.network.intent import Intent
from circuits.network.states import State, sensible_states
from circuits.sized import SizedPlan

MOST_SEEDS, MOST_COMPLAINTS, KEPT_SCOPES = 4, 3, 6

UNEXPLAINED = 2
"""Answers that the best single suspect may not leave open: from so many on, pairs are looked for."""


class FinderError(LoomwrightError, ValueError):
    """Something seen that the plan does not know, or nothing at all."""


@dataclass(frozen=True, eq=False)
class Search:
    """A scope with its suspects and what they answer.

    Parameters
    ----------
    scope : Scope
    suspects : tuple of Suspect
    table : Table
    """

    scope: Scope
    suspects: tuple[Suspect, ...]
    table: Table


class Finder:
    """The finder of one plan; keeps what it solved, so that each further step is quick.

    Parameters
    ----------
    plan : SizedPlan
    scopes : int
        Parts of the plan that are kept solved.

    Examples
    --------
    >>> from circuits.diagnosis.seen import Question
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.sheets import load_starter
    >>> finder = Finder(size_plan(load_starter("closed_car")))
    >>> lit = Setup.of({"lighting": "on"})
    >>> found = finder.diagnose([Seen(Question(Act.LOOK, finder.loads_of("tail lamp left")[0], "", lit), "off")])
    >>> found.is_isolated, len(found.groups) > 5, round(found.proposals[0].offer.minutes, 1)
    (False, True, 1.5)
    """

    def __init__(self, plan: SizedPlan, *, scopes: int = KEPT_SCOPES) -> None:
        self.plan, self._scopes = plan, scopes
        self.whole = build_network(plan)
        self._intent = Intent(tuple(one.circuit for one in plan.circuits if one.wires))
        self._load = {load.name: load for load in self.whole.branches.network.loads}
        self._owner = {element.name: element.circuit for element in self.whole.branches.network.elements}
        self._near: dict[str, str] = {}
        for element in self.whole.branches.network.elements:
            for node in (element.start, element.end):
                if element.circuit:
                    self._near.setdefault(node, element.circuit)
        self._kept: OrderedDict[tuple[frozenset[str], bool], Search] = OrderedDict()

    def loads_of(self, circuit: str) -> tuple[str, ...]:
        """Names of the loads of a circuit."""
        return tuple(load.name for load in self._load.values() if load.circuit == circuit)

    def states(self) -> tuple[State, ...]:
        """States of the switches worth choosing from."""
        return sensible_states(self.plan)

    def is_wanted(self, load: str, positions: Mapping[str, str]) -> bool:
        """True where the plan wants a load on."""
        return self._intent.is_on(self._load[load].circuit, positions)

    def diagnose(self, seen: Sequence[Seen], counted: Mapping[Cause, int] | None = None) -> Diagnosis:
        """Where the search stands after what was seen.

        Parameters
        ----------
        seen : sequence of Seen
            In the order it was seen; at least one.
        counted : mapping of Cause to int, optional
            The shop's own closed faults by cause.

        Raises
        ------
        FinderError
            If nothing was seen that the plan knows.
        """
        return diagnosis_of(self.standing(seen, counted))

    def standing(self, seen: Sequence[Seen], counted: Mapping[Cause, int] | None = None) -> Standing:
        """The figures behind ``diagnose``.

        Parameters
        ----------
        seen, counted
            As there.
        """
        for one in seen:
            self._check(one)
        misbehaving = list(dict.fromkeys(self._misbehaving(seen)))
        seeds = misbehaving or list(dict.fromkeys(self._touched(seen)))
        if not seeds:
            raise FinderError("nothing was seen yet: say what one load does in one state of the switches")
        has_neighbours = any(self._asks_for_shorts(one) for one in seen)
        search = self._search(seeds, has_neighbours)
        told, aside = _told(search, seen)
        hypotheses = single_hypotheses(search.table, search.suspects, prior_shares(counted))
        if told and int(wrong_answers(hypotheses, told).min()) >= UNEXPLAINED:
            search = self.search(frozenset(seeds[:MOST_SEEDS]), has_neighbours)
            told, aside = _told(search, seen)
            single = single_hypotheses(search.table, search.suspects, prior_shares(counted))
            hypotheses = with_pairs(single, told)
        share = posterior(hypotheses, told)
        offered = tuple(self.offers(search, told))
        return Standing(hypotheses, share, groups_of(hypotheses, offered), offered, tuple(told), tuple(aside))

    def _search(self, seeds: list[str], has_neighbours: bool) -> Search:
        """The search around as few of the circuits as have the others for witnesses."""
        chosen = seeds[:1]
        search = self.search(frozenset(chosen), has_neighbours)
        for name in seeds[1:MOST_SEEDS]:
            if name not in {one.circuit.name for one in search.scope.built.plan.circuits}:
                chosen.append(name)
                search = self.search(frozenset(chosen), has_neighbours)
        return search

    def search(self, seeds: frozenset[str], has_neighbours: bool) -> Search:
        """Suspects and answers around circuits that misbehave; kept for the next step."""
        key = (seeds, has_neighbours)
        kept = self._kept.get(key)
        if kept is None:
            scope = scope_of(self.plan, sorted(seeds), with_neighbours=has_neighbours)
            suspects = suspects_of(scope, with_neighbours=has_neighbours)
            cases = ((), *(faults for one in suspects for faults in one.cases))
            kept = Search(scope, suspects, Table(scope.built, cases))
            self._kept[key] = kept
            while len(self._kept) > self._scopes:
                self._kept.popitem(last=False)
        self._kept.move_to_end(key)
        return kept

    def offers(self, search: Search, told: Sequence[Seen]) -> list[Offer]:
        """Every question of a search after what was told."""
        complaints: dict[Setup, str] = {}
        for one in reversed(told):
            question = one.question
            if (
                question.act in (Act.LOOK, Act.FUSE, Act.REFIT)
                and not question.setup.removed
                and _is_amiss(search.table, one)
            ):
                complaints.setdefault(question.setup, question.state)
        if not complaints:
            first = states_asked(search.scope)[-1]
            complaints[Setup.of(first.positions)] = first.name
        opens = any(self._asks_for_shorts(one) for one in told)
        return list(offers(search.scope, search.suspects, list(complaints.items())[:MOST_COMPLAINTS], opens))

    def _misbehaving(self, seen: Sequence[Seen]) -> Iterator[str]:
        for one in seen:
            question = one.question
            if question.setup.removed:
                continue
            if question.act is Act.LOOK:
                is_wanted = self.is_wanted(question.at, dict(question.setup.positions))
                if one.answer in ("flicker", "dim") or (one.answer == "on") != is_wanted:
                    yield self._load[question.at].circuit
            elif question.act in (Act.FUSE, Act.REFIT) and one.answer in ("open", "opens"):
                yield self._owner[question.at]

    def _touched(self, seen: Sequence[Seen]) -> Iterator[str]:
        """Circuits of what was looked at, where nothing misbehaves."""
        for one in seen:
            at = one.question.at
            if one.question.act is Act.LOOK:
                yield self._load[at].circuit
            elif name := self._owner.get(at) or self._near.get(at):
                yield name

    def _asks_for_shorts(self, one: Seen) -> bool:
        question = one.question
        if question.act is Act.REFIT:
            return one.answer == "opens"
        is_lit = question.act is Act.LOOK and one.answer in ("on", "dim") and not question.setup.removed
        return is_lit and not self.is_wanted(question.at, dict(question.setup.positions))

    def _check(self, one: Seen) -> None:
        act, at = one.question.act, one.question.at
        branches = self.whole.branches
        if act is Act.LOOK and at not in self._load:
            raise FinderError(f"found {at!r}, expected a load of the plan")
        if act in (Act.FUSE, Act.REFIT, Act.AMPS) and at not in branches.row:
            raise FinderError(f"found {at!r}, expected a fuse of the plan")
        if act in (Act.VOLTS, Act.OHMS):
            for node in filter(None, (at, one.question.other)):
                if node not in branches.node:
                    raise FinderError(f"found {node!r}, expected a point of the plan")
        for name in one.question.setup.removed:
            if name not in branches.row:
                raise FinderError(f"found {name!r}, expected a load to unplug or a fuse to pull")


def _told(search: Search, seen: Sequence[Seen]) -> tuple[list[Seen], list[Seen]]:
    """Answers that bear on a search, and those set aside; with the positions that matter to it."""
    told: list[Seen] = []
    aside: list[Seen] = []
    functions = functions_in(search.scope)
    for one in seen:
        (told if _bears(search, one) else aside).append(_within(one, functions))
    return told, aside


def _bears(search: Search, one: Seen) -> bool:
    question, branches = one.question, search.scope.built.branches
    if not set(question.setup.removed) <= set(branches.row):
        return False
    if question.act is Act.LOOK:
        return any(load.name == question.at for load in branches.network.loads)
    if question.act in (Act.FUSE, Act.REFIT, Act.AMPS):
        return question.at in branches.row
    if question.act is Act.INSPECT:
        return any(suspect.at == question.at for suspect in search.suspects)
    return {question.at, question.other or question.at} <= set(branches.node)


def _within(one: Seen, functions: frozenset[str]) -> Seen:
    """The answer with only those positions that matter to a scope."""
    setup = one.question.setup
    positions = tuple((function, position) for function, position in setup.positions if function in functions)
    return replace(one, question=replace(one.question, setup=Setup(positions, setup.removed)))


def _is_amiss(table: Table, one: Seen) -> bool:
    return table.code_of(one.question, one.answer) != int(table.codes(one.question)[0])
