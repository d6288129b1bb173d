"""Least that any search can cost: an entropy bound for the questions at hand, each with its own minutes.

Answers depend on nothing but what is wrong and how badly. Let somebody tell how badly for nothing: that can only help.
Then order the questions by cost per bit of capacity. What those up to some place in that order bring together, however
they are chosen, is at most the entropy of the partition of the suspects that their true answers make, and each costs at
least its cost per bit for what it brings. So the least cost of ``H`` bits is that of filling up, cheapest first, each
place up to that entropy (own derivation from the chain rule and the data processing inequality; cheapest tests against
an entropy: Pattipati and Alexandridis 1990, from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from circuits.diagnosis.belief import answer_chances
from circuits.diagnosis.diagnosis import Standing
from circuits.diagnosis.gains import LIGHT, entropy_bits
from circuits.diagnosis.table import code_count


@dataclass(frozen=True)
class Asked:
    """A question as the bound sees it: the true answer of each suspect, capacity of its answers [bit], cost."""

    answers: np.ndarray
    capacity_bits: float
    cost: float


def capacity_bits(channel: np.ndarray) -> float:
    """Capacity of a channel, a row an input [bit]: Blahut and Arimoto 1972.

    Examples
    --------
    >>> round(capacity_bits(np.array([[0.95, 0.05], [0.05, 0.95]])), 3)
    0.714
    """
    share, total = np.full(len(channel), 1.0 / len(channel)), 1.0
    for _ in range(60):
        out = share @ channel
        terms = np.where(channel > 0, channel * np.log2(np.where(channel > 0, channel / out, 1.0)), 0.0)
        gain = np.exp2(terms.sum(axis=1))
        total = float(share @ gain)
        share = share * gain / total
    return float(np.log2(total))


def segments(shares: np.ndarray, questions: Sequence[Asked]) -> Iterator[tuple[float, float]]:
    """Cost per bit, and bits to be had at it, from the cheapest on.

    Examples
    --------
    >>> halves = Asked(np.array([0, 0, 1, 1]), 1.0, 1.0)
    >>> list(segments(np.full(4, 0.25), [halves, Asked(np.array([0, 1, 0, 1]), 1.0, 3.0)]))
    [(1.0, 1.0), (3.0, 1.0)]
    """
    reached, code = 0.0, np.zeros(len(shares), dtype=np.int64)
    for one in sorted(questions, key=lambda one: one.cost / one.capacity_bits):
        _, code = np.unique(code * 8 + one.answers, return_inverse=True)
        up_to = float(entropy_bits(np.bincount(code, weights=shares).astype(np.float64)))
        if up_to > reached + 1e-9:
            yield one.cost / one.capacity_bits, up_to - reached
            reached = up_to


def bound(standing: Standing, left_bits: float, *, is_counted: bool) -> float:
    """Least tests, or minutes, from where a search stands to where so many bits are left open."""
    hypotheses = standing.hypotheses
    first = np.concatenate(([True], hypotheses.owner[1:] != hypotheses.owner[:-1]))
    begins = np.flatnonzero(first)
    many = np.diff(np.append(begins, len(first)))
    worst = int(many.max())
    known: dict[bytes, float] = {}
    found: list[tuple[float, float]] = []
    wanted = -left_bits
    for severity in range(worst):
        case = begins + np.minimum(severity, many - 1)
        weight = standing.share[case] * np.where(many > 1, 1.0, 1.0 / worst)
        kept = case[weight > LIGHT]
        shares = weight[weight > LIGHT]
        part = float(shares.sum())
        if part <= 0:
            continue
        group = np.bincount(standing.group[kept], weights=shares / part)
        wanted += part * float(entropy_bits(group.astype(np.float64)))
        asked = _questions(standing, kept, known, is_counted)
        found += [(cost, part * bits) for cost, bits in segments(shares / part, asked)]
    spent = 0.0
    for cost, bits in sorted(found):
        taken = min(bits, max(wanted, 0.0))
        spent, wanted = spent + cost * taken, wanted - taken
    return spent


def _questions(standing: Standing, kept: np.ndarray, known: dict[bytes, float], is_counted: bool) -> list[Asked]:
    found = []
    for offer in standing.open_offers:
        codes = standing.hypotheses.codes(offer.question)[kept]
        if len(np.unique(codes)) < 2:
            continue
        rows = np.stack(
            [
                answer_chances(standing.hypotheses, offer.question, code)[kept]
                for code in range(code_count(offer.question.act))
            ],
            axis=-1,
        )
        rows = np.unique(rows.round(9), axis=0)
        key = rows.tobytes()
        if key not in known:
            known[key] = capacity_bits(rows)
        found.append(Asked(codes, known[key], 1.0 if is_counted else offer.minutes))
    return found
