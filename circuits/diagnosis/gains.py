"""What an answer is expected to tell about the groups of suspects, in bits, and what each answer would leave."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuits.diagnosis.belief import FALSE_ALARM, Hypotheses, answer_chances, chances
from circuits.diagnosis.questions import Offer
from circuits.diagnosis.seen import Act, Question
from circuits.diagnosis.table import code_count
from circuits.network.branches import Ints
from circuits.network.laws import Floats

LIGHT = 1e-4
"""Share below which a case is left out when questions are weighed."""


def entropy_bits(share: Floats) -> Floats:
    """Entropy along the last axis [bit].

    Parameters
    ----------
    share : array of float
        Sums to 1 along the last axis.

    Examples
    --------
    >>> entropy_bits(np.array([[0.5, 0.5], [1.0, 0.0]])).tolist()
    [1.0, 0.0]
    """
    terms = np.where(share > 0, share * np.log2(np.where(share > 0, share, 1.0)), 0.0)
    bits: Floats = -terms.sum(axis=-1) + 0.0
    return bits


def group_shares(share: Floats, group: Ints, groups: int) -> Floats:
    """Share of each group from that of its cases."""
    shares: Floats = np.bincount(group, weights=share, minlength=groups).astype(np.float64)
    return shares


def expected_bits(hypotheses: Hypotheses, share: Floats, group: Ints, offers: Sequence[Offer]) -> Floats:
    """Information about the groups that each question is expected to bring [bit].

    Parameters
    ----------
    hypotheses : Hypotheses
    share : array of float
        Of each case.
    group : array of int
        Of each case.
    offers : sequence of Offer
    """
    kept = np.flatnonzero(share > LIGHT)
    weight = share[kept] / share[kept].sum()
    present, inner = np.unique(group[kept], return_inverse=True)
    own = group_shares(weight, inner, len(present))
    member = np.zeros((len(kept), len(present)))
    member[np.arange(len(kept)), inner] = weight
    eye = hypotheses.seen_by_eye[kept]
    bits = np.zeros(len(offers))
    for act in Act:
        rows = [row for row, offer in enumerate(offers) if offer.question.act is act]
        if not rows:
            continue
        codes = np.array([hypotheses.codes(offers[row].question)[kept] for row in rows])
        bits[rows] = _bits(_channel(act, codes, eye), member, own)
    return np.maximum(bits, 0.0)


def _channel(act: Act, codes: Ints, eye: Floats) -> Floats:
    """Chance of each answer, by question and case."""
    if act is Act.INSPECT:
        bad = np.where(codes == 1, eye[None, :], FALSE_ALARM)
        return np.stack((1.0 - bad, bad), axis=-1)
    many = code_count(act)
    channel = np.array(
        [[float(chances(act, np.array([true]), code)[0]) for code in range(many)] for true in range(many)]
    )
    answered: Floats = channel[codes]
    return answered


def _bits(answered: Floats, member: Floats, own: Floats) -> Floats:
    joint = np.einsum("qha,hg->qga", answered, member)
    whole = entropy_bits(joint.sum(axis=1))
    given = (entropy_bits(joint / own[None, :, None]) * own[None, :]).sum(axis=1)
    bits: Floats = whole - given
    return bits


def after_answer(hypotheses: Hypotheses, share: Floats, question: Question, code: int) -> tuple[float, Floats]:
    """Chance of an answer, and the share of each case after it.

    Parameters
    ----------
    hypotheses : Hypotheses
    share : array of float
    question : Question
    code : int
    """
    weight = share * answer_chances(hypotheses, question, code)
    chance = float(weight.sum())
    return chance, weight / chance
