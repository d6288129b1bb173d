"""Least that any search can cost: an entropy bound for the questions at hand, each with its own minutes.

Answers depend on nothing but the group of the fault. Order the questions by cost per bit of capacity. What those up to
some place in that order can bring together, however they are chosen, is at most the entropy of the partition of the
groups that their true answers make; and each asks at least its cost per bit for what it brings. So the least cost of
``H`` bits is that of filling up, cheapest first, each place up to that entropy (own derivation from the chain rule and
the data processing inequality; cheapest tests against an entropy: Pattipati and Alexandridis 1990, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from circuits.diagnosis.belief import answer_chances
from circuits.diagnosis.diagnosis import Standing
from circuits.diagnosis.gains import LIGHT, entropy_bits
from circuits.diagnosis.seen import ANSWERS, Act
from circuits.diagnosis.table import code_count


@dataclass(frozen=True)
class Asked:
    """A question as the bound sees it: the true answer of each group, capacity of its answers [bit], cost."""

    answers: tuple[int, ...]
    capacity_bits: float
    cost: float


def capacity_bits(channel: np.ndarray) -> float:
    """Capacity of a channel, a row an input [bit]: Blahut and Arimoto 1972.

    Examples
    --------
    >>> round(capacity_bits(np.array([[0.95, 0.05], [0.05, 0.95]])), 3)
    0.714
    """
    share = np.full(len(channel), 1.0 / len(channel))
    total = 1.0
    for _ in range(100):
        out = share @ channel
        terms = np.where(channel > 0, channel * np.log2(np.where(channel > 0, channel / out, 1.0)), 0.0)
        gain = np.exp2(terms.sum(axis=1))
        total = float(share @ gain)
        share = share * gain / total
    return float(np.log2(total))


def least_cost(wanted_bits: float, shares: np.ndarray, questions: Sequence[Asked]) -> float:
    """Least cost of so much information about groups with these shares.

    Examples
    --------
    >>> halves = Asked((0, 0, 1, 1), 1.0, 1.0)
    >>> least_cost(2.0, np.full(4, 0.25), [halves, Asked((0, 1, 0, 1), 1.0, 3.0)])
    4.0
    """
    spent, reached = 0.0, 0.0
    code = np.zeros(len(shares), dtype=np.int64)
    for one in sorted(questions, key=lambda one: one.cost / max(one.capacity_bits, 1e-12)):
        _, code = np.unique(np.stack((code, np.array(one.answers))), axis=1, return_inverse=True)
        up_to = min(float(entropy_bits(np.bincount(code, weights=shares).astype(np.float64))), wanted_bits)
        if up_to > reached:
            spent += (up_to - reached) * one.cost / one.capacity_bits
            reached = up_to
        if reached >= wanted_bits - 1e-9:
            break
    return spent


def questions_of(standing: Standing, *, is_counted: bool) -> list[Asked]:
    """The open questions of a search; each costs 1 where tests are counted, else its minutes."""
    hypotheses = standing.hypotheses
    kept = np.flatnonzero(standing.share > LIGHT)
    known: dict[bytes, float] = {}
    found = []
    for offer in standing.open_offers:
        act = offer.question.act
        codes = hypotheses.codes(offer.question)[kept]
        if len(set(codes.tolist())) < 2:
            continue
        many = code_count(act)
        rows = np.stack([answer_chances(hypotheses, offer.question, code)[kept] for code in range(many)], axis=-1)
        rows = np.unique(rows.round(9), axis=0)
        key = rows.tobytes()
        if key not in known:
            known[key] = capacity_bits(rows)
        answers = standing.group[kept] * 0 + codes
        found.append(Asked(tuple(answers.tolist()), known[key], 1.0 if is_counted else offer.minutes))
    return found


def bound(standing: Standing, wanted_bits: float, *, is_counted: bool) -> float:
    """Least tests, or minutes, of so much information."""
    kept = np.flatnonzero(standing.share > LIGHT)
    weight = standing.share[kept] / standing.share[kept].sum()
    return least_cost(wanted_bits, weight, questions_of(standing, is_counted=is_counted))


ACTS_WITH_WORDS = tuple(act for act in Act if act in ANSWERS)
