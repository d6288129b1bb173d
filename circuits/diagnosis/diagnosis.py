"""Where a search stands: groups of suspects with shares, and questions worth asking with what each would mean."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from circuits.diagnosis.belief import Hypotheses, wrong_answers
from circuits.diagnosis.gains import after_answer, expected_bits, group_shares
from circuits.diagnosis.questions import Offer
from circuits.diagnosis.seen import UNITS, Act, Seen
from circuits.diagnosis.suspects import Suspect
from circuits.diagnosis.table import code_count
from circuits.network.branches import Ints
from circuits.network.laws import Floats

ISOLATED = 0.8
"""Share of one group from which it counts as found."""

LEAST_TOLD = 0.005
"""Share, or chance, below which nothing is told of a group or an answer."""

LEAST_BITS = 0.02
"""Expected information below which a question is not worth asking [bit]."""

RATE_SHARE = 0.6
"""What later questions are taken to bring a minute, as share of the best at hand: cheap ones are soon used up (found by
trial on invented faults)."""

MOST_GROUPS, MOST_PROPOSALS, MOST_LEFT = 12, 6, 3


@dataclass(frozen=True, eq=False)
class Standing:
    """The figures of a search after some answers.

    Parameters
    ----------
    hypotheses : Hypotheses
    share : array of float
        Of each case.
    group : array of int
        Of each case.
    offered : tuple of Offer
    told, aside : tuple of Seen
        Answers that bear on what misbehaves, and the others.
    """

    hypotheses: Hypotheses
    share: Floats
    group: Ints
    offered: tuple[Offer, ...]
    told: tuple[Seen, ...]
    aside: tuple[Seen, ...]

    @property
    def shares(self) -> Floats:
        """Share of each group."""
        return group_shares(self.share, self.group, int(self.group.max()) + 1)

    @property
    def open_offers(self) -> tuple[Offer, ...]:
        """Those not asked yet."""
        asked = {seen.question.key for seen in self.told}
        return tuple(offer for offer in self.offered if offer.question.key not in asked)


@dataclass(frozen=True, slots=True)
class Group:
    """Suspects that no question but a close look can tell apart.

    Parameters
    ----------
    suspects : tuple of tuple of Suspect
        Each alone, or a pair; most likely first.
    share : float
    against : tuple of Seen
        Answers that speak against it.
    """

    suspects: tuple[tuple[Suspect, ...], ...]
    share: float
    against: tuple[Seen, ...]

    @property
    def words(self) -> tuple[str, ...]:
        """A line for each."""
        return tuple(words_of(together) for together in self.suspects)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one answer would mean.

    Parameters
    ----------
    answer : str
        Words.
    code : int
    chance : float
    leaves : tuple of (str, float)
        The likeliest groups after it, by the words of their first suspect, with their shares.
    """

    answer: str
    code: int
    chance: float
    leaves: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Proposal:
    """A question worth asking.

    Parameters
    ----------
    offer : Offer
    bits : float
        Expected information about the groups [bit].
    expected : float or None
        What a meter shows if nothing is wrong, in the unit of the act.
    outcomes : tuple of Outcome
        Most likely first.
    """

    offer: Offer
    bits: float
    expected: float | None
    outcomes: tuple[Outcome, ...]


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """Where a search stands.

    Parameters
    ----------
    groups : tuple of Group
        Most likely first; those with next to no share are left out.
    proposals : tuple of Proposal
        The most information a minute first.
    is_isolated : bool
        True where one group has nearly all of it.
    has_pairs : bool
        True where no single suspect explains what was seen.
    aside : tuple of Seen
        Answers about parts that do not bear on what misbehaves.
    """

    groups: tuple[Group, ...]
    proposals: tuple[Proposal, ...]
    is_isolated: bool
    has_pairs: bool
    aside: tuple[Seen, ...]


def words_of(together: Sequence[Suspect]) -> str:
    """A suspect, or a pair, for people."""
    return " and ".join(one.words for one in together)


def groups_of(hypotheses: Hypotheses, offered: Sequence[Offer]) -> Ints:
    """Group of each case: suspects whose every case gives the same answers to all questions but close looks.

    Parameters
    ----------
    hypotheses : Hypotheses
    offered : sequence of Offer
    """
    asked = [offer.question for offer in offered if offer.question.act is not Act.INSPECT]
    hypotheses.table.prepare(question.setup for question in asked)
    codes = np.array([hypotheses.codes(question) for question in asked], dtype=np.int8).T
    known: dict[bytes, int] = {}
    group = [
        known.setdefault(np.unique(codes[hypotheses.owner == number], axis=0).tobytes(), len(known))
        for number in range(len(hypotheses.suspects))
    ]
    return np.array(group, dtype=np.int64)[hypotheses.owner]


def ranked_offers(standing: Standing) -> list[tuple[Offer, float]]:
    """The open questions worth asking, with the information that each is expected to bring [bit]; the best first.

    Once one group has nearly all, they are weighed by how they tell its suspects apart.

    Parameters
    ----------
    standing : Standing
    """
    open_offers = standing.open_offers
    is_isolated = standing.shares.max() >= ISOLATED
    apart = standing.hypotheses.owner if is_isolated else standing.group
    bits = expected_bits(standing.hypotheses, standing.share, apart, open_offers)
    minutes = np.array([offer.minutes for offer in open_offers])
    later = RATE_SHARE * float((bits / minutes).max(initial=LEAST_BITS))
    order = np.argsort(-(bits / later - minutes), kind="stable").tolist()
    return [(open_offers[row], float(bits[row])) for row in order if bits[row] > LEAST_BITS]


def diagnosis_of(standing: Standing) -> Diagnosis:
    """Put into words where a search stands.

    Parameters
    ----------
    standing : Standing
    """
    shares = standing.shares
    groups = _groups(standing, shares)
    proposals = tuple(_proposal(standing, offer, bits) for offer, bits in ranked_offers(standing)[:MOST_PROPOSALS])
    has_pairs = any(len(together) > 1 for one in groups[:1] for together in one.suspects)
    return Diagnosis(groups, proposals, bool(shares.max() >= ISOLATED), has_pairs, standing.aside)


def _groups(standing: Standing, shares: Floats) -> tuple[Group, ...]:
    hypotheses, share = standing.hypotheses, standing.share
    found = []
    for number in np.argsort(-shares, kind="stable")[:MOST_GROUPS].tolist():
        if shares[number] < LEAST_TOLD:
            break
        cases = np.flatnonzero(standing.group == number)
        own = np.bincount(hypotheses.owner[cases], weights=share[cases], minlength=len(hypotheses.suspects))
        owners = np.unique(hypotheses.owner[cases])
        ranked = owners[np.argsort(-own[owners], kind="stable")].tolist()
        best = cases[int(np.argmax(share[cases]))]
        against = tuple(one for one in standing.told if wrong_answers(hypotheses, [one])[best])
        found.append(Group(tuple(hypotheses.suspects[one] for one in ranked), float(shares[number]), against))
    return tuple(found)


def _proposal(standing: Standing, offer: Offer, bits: float) -> Proposal:
    hypotheses, question = standing.hypotheses, offer.question
    table = hypotheses.table
    expected = float(table.figures(question)[0]) if question.act in UNITS else None
    outcomes = []
    for code in range(code_count(question.act)):
        chance, after = after_answer(hypotheses, standing.share, question, code)
        if chance >= LEAST_TOLD:
            outcomes.append(
                Outcome(table.answer_words(question, code), code, chance, _left(hypotheses, after, standing.group))
            )
    outcomes.sort(key=lambda one: -one.chance)
    return Proposal(offer, bits, expected, tuple(outcomes))


def _left(hypotheses: Hypotheses, share: Floats, group: Ints) -> tuple[tuple[str, float], ...]:
    shares = group_shares(share, group, int(group.max()) + 1)
    left = []
    for number in np.argsort(-shares, kind="stable")[:MOST_LEFT].tolist():
        if shares[number] >= 0.05:
            cases = np.flatnonzero(group == number)
            best = hypotheses.owner[cases[int(np.argmax(share[cases]))]]
            left.append((words_of(hypotheses.suspects[best]), float(shares[number])))
    return tuple(left)
