"""How likely each suspect is after what was seen, with allowance for wrong answers and for faults that come and go.

Each suspect stands with one case or several (a bad joint may be of any resistance), each case once steady and once
intermittent. A steady case gives the answer of the table but for ``WRONG`` of the time. An intermittent one is there
half of the time: it answers as with the fault or as without, and alone can flicker.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from circuits.diagnosis.seen import Act, Question, Seen
from circuits.diagnosis.suspects import Suspect
from circuits.diagnosis.table import Table, code_count
from circuits.diagnosis.tables import Cause, kinds
from circuits.network.branches import Ints
from circuits.network.laws import Floats

WRONG = 0.05
"""Share of answers that are wrong: misread, mistaken load, switch not thrown (common practice, no source)."""

FALSE_ALARM = 0.05
"""Chance that a sound part looks bad (common practice, no source)."""

MOST_APART = 0.3
"""Share of wrong looks that take a load for off that is on, or the other way round; the rest is dim for one of them."""


@dataclass(frozen=True, eq=False)
class Hypotheses:
    """Suspects with their cases in a table; row 0 of the table is the sound vehicle.

    Parameters
    ----------
    table : Table
    suspects : tuple of tuple of Suspect
        What is wrong together: one suspect, or a pair.
    owner : array of int
        Of each case but the sound one, the index of what it stands for.
    prior : array of float
        Of each case; sums to 1.
    comes_and_goes : array of float
        Of each case: chance that it is intermittent.
    """

    table: Table
    suspects: tuple[tuple[Suspect, ...], ...]
    owner: Ints
    prior: Floats
    comes_and_goes: Floats

    def codes(self, question: Question) -> Ints:
        """The answer of each case; for an inspection 1 where what is wrong is there."""
        if question.act is Act.INSPECT:
            there = np.array([any(one.at == question.at for one in together) for together in self.suspects])
            return there.astype(np.int64)[self.owner]
        return self.table.codes(question)[1:]

    @cached_property
    def seen_by_eye(self) -> Floats:
        """Of each case, the chance that an inspection of the place shows it."""
        eye = [min(kinds()[one.cause].seen_by_eye for one in together) for together in self.suspects]
        return np.array(eye)[self.owner]


def single_hypotheses(table: Table, suspects: Sequence[Suspect], shares: Mapping[Cause, float]) -> Hypotheses:
    """Every suspect alone. A kind's share is spread over its suspects, and a suspect's over its cases.

    Parameters
    ----------
    table : Table
        Its cases: none, then those of the suspects in order.
    suspects : sequence of Suspect
    shares : mapping of Cause to float
    """
    many = {cause: sum(one.cause is cause for one in suspects) for cause in shares}
    each = [shares[one.cause] / many[one.cause] / len(one.cases) for one in suspects]
    owner = np.repeat(np.arange(len(suspects)), [len(one.cases) for one in suspects])
    goes = np.array([kinds()[one.cause].comes_and_goes for one in suspects])
    prior = np.array(each)[owner]
    return Hypotheses(table, tuple((one,) for one in suspects), owner, prior / prior.sum(), goes[owner])


def answer_chances(hypotheses: Hypotheses, question: Question, code: int) -> Floats:
    """Chance of an answer in each case, were it steady.

    Parameters
    ----------
    hypotheses : Hypotheses
    question : Question
    code : int
        As of ``Table.code_of``; -1 for a flicker.
    """
    codes = hypotheses.codes(question)
    if question.act is Act.INSPECT:
        bad = np.where(codes == 1, hypotheses.seen_by_eye, FALSE_ALARM)
        return bad if code == 1 else 1.0 - bad
    return chances(question.act, codes, code)


def chances(act: Act, codes: Ints, code: int) -> Floats:
    """Chance that the answer is ``code`` where it should be each of ``codes``.

    Examples
    --------
    >>> chances(Act.LOOK, np.array([0, 1, 2]), 0).round(4).tolist()
    [0.95, 0.025, 0.015]
    >>> chances(Act.FUSE, np.array([0, 1]), 1).round(4).tolist()
    [0.05, 0.95]
    """
    if code < 0:
        return np.full(len(codes), WRONG / 3.0)
    if act is Act.LOOK:
        far = np.abs(codes - code) == 2
        wrong = np.where(codes == 1, WRONG / 2.0, np.where(far, MOST_APART * WRONG, (1.0 - MOST_APART) * WRONG))
        return np.where(codes == code, 1.0 - WRONG, wrong)
    return np.where(codes == code, 1.0 - WRONG, WRONG / (code_count(act) - 1))


def posterior(hypotheses: Hypotheses, seen: Sequence[Seen]) -> Floats:
    """Chance of each case after what was seen; sums to 1.

    Parameters
    ----------
    hypotheses : Hypotheses
    seen : sequence of Seen
        Questions that the table can answer.
    """
    steady = np.zeros(len(hypotheses.prior))
    going = np.zeros(len(hypotheses.prior))
    for one in seen:
        question, table = one.question, hypotheses.table
        code = table.code_of(question, one.answer)
        with_it = answer_chances(hypotheses, question, code)
        steady += np.log(with_it)
        if question.act is Act.INSPECT:
            going += np.log(with_it)
            continue
        codes, sound = hypotheses.codes(question), table.codes(question)[:1]
        without = chances(question.act, sound, code)[0]
        flickers = np.where(codes != sound[0], 0.5, WRONG / 3.0)
        going += np.log(flickers if code < 0 else 0.5 * with_it + 0.5 * without)
    top = max(float(steady.max()), float(going.max()))
    goes = hypotheses.comes_and_goes
    weight = hypotheses.prior * ((1.0 - goes) * np.exp(steady - top) + goes * np.exp(going - top))
    shares: Floats = weight / weight.sum()
    return shares


def wrong_answers(hypotheses: Hypotheses, seen: Sequence[Seen]) -> Ints:
    """How many answers each case leaves unexplained, were it steady."""
    found = np.zeros(len(hypotheses.prior), dtype=np.int64)
    for one in seen:
        if one.question.act is not Act.INSPECT:
            code, codes = hypotheses.table.code_of(one.question, one.answer), hypotheses.codes(one.question)
            sound = hypotheses.table.codes(one.question)[0]
            found += np.where(code < 0, codes == sound, codes != code)
    return found
