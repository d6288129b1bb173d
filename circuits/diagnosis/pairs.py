"""Two faults at once: looked for only where no single one explains what was seen, among those that explain the most."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuits.diagnosis.belief import Hypotheses
from circuits.diagnosis.seen import Act, Seen
from circuits.diagnosis.table import Table
from circuits.network.branches import Bools

PAIR_SHARE = 0.05
"""Share of vehicles with two faults that meet in one complaint (common practice, no source)."""

MOST_PAIRS, MOST_FIRST = 30, 10
"""Pairs that are solved, and single faults that are tried as the first of a pair."""


def with_pairs(single: Hypotheses, seen: Sequence[Seen]) -> Hypotheses:
    """The hypotheses with the pairs that leave the least unexplained.

    Parameters
    ----------
    single : Hypotheses
    seen : sequence of Seen
    """
    explains = _explains(single, seen)
    pairs = _best_pairs(single, explains)
    if not pairs:
        return single
    cases = single.table.cases
    joint = [(*cases[1 + one], *cases[1 + other]) for one, other in pairs]
    table = Table(single.table.built, (*cases, *joint), single.table)
    together = [(*single.suspects[single.owner[one]], *single.suspects[single.owner[other]]) for one, other in pairs]
    weight = np.array([single.prior[one] * single.prior[other] for one, other in pairs])
    goes = np.array([max(single.comes_and_goes[list(pair)]) for pair in pairs])
    return Hypotheses(
        table,
        (*single.suspects, *together),
        np.concatenate((single.owner, len(single.suspects) + np.arange(len(pairs)))),
        np.concatenate((single.prior * (1.0 - PAIR_SHARE), PAIR_SHARE * weight / weight.sum())),
        np.concatenate((single.comes_and_goes, goes)),
    )


def _explains(single: Hypotheses, seen: Sequence[Seen]) -> Bools:
    """By answer and case: True where the case gives that answer, and the sound vehicle does not."""
    table, rows = single.table, []
    for one in seen:
        if one.question.act is not Act.INSPECT:
            code, sound = table.code_of(one.question, one.answer), table.codes(one.question)[0]
            codes = single.codes(one.question)
            if code != sound:
                rows.append(codes != sound if code < 0 else codes == code)
    return np.array(rows, dtype=np.bool_).reshape(len(rows), len(single.prior))


def _best_pairs(single: Hypotheses, explains: Bools) -> list[tuple[int, int]]:
    """Cases that together explain the most, and by their priors; each explains something that the other does not."""
    count = explains.sum(axis=0)
    best: dict[int, int] = {}
    for case in np.lexsort((-single.prior, -count)).tolist():
        if count[case]:
            best.setdefault(int(single.owner[case]), case)
    first = list(best.values())[:MOST_FIRST]
    found: dict[tuple[int, int], tuple[int, float]] = {}
    for one in first:
        for other in best.values():
            more = int((explains[:, other] & ~explains[:, one]).sum())
            less = int((explains[:, one] & ~explains[:, other]).sum())
            if more and less:
                pair = (min(one, other), max(one, other))
                found[pair] = (-int(count[one]) - more, -float(single.prior[one] * single.prior[other]))
    return sorted(found, key=lambda pair: (*found[pair], pair))[:MOST_PAIRS]
