"""What every case of a scope answers to every question, as codes: solved once for each setup, and kept."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from circuits.diagnosis.ohms import ohms_between
from circuits.diagnosis.predict import SHOWN, Predicted, fuses_of, predict
from circuits.diagnosis.seen import ANSWERS, Act, Question, Setup
from circuits.network.branches import Ints
from circuits.network.build import PlanNetwork
from circuits.network.faults import Fault
from circuits.network.laws import Floats
from circuits.network.supply import MINUS, PLUS

AS_IT_SHOULD, NOTHING, FULL, BETWEEN, REVERSED = range(5)
"""Classes of a reading: a bad joint may have any resistance, so that no figure of its own can be expected of it."""

CLASS_WORDS = ("as it should", "about nothing", "as high as the supply", "in between", "the wrong way round")
NEAR_SHARE = {Act.VOLTS: 0.07, Act.AMPS: 0.2, Act.OHMS: 0.2}
"""How near a reading counts as it should: share of the supply for volts, else of what it should be (our own choice)."""

NEAR_OHM = 0.3
"""Least distance by which ohms are told apart: leads and meter (common practice, no source) [ohm]."""

OPEN_OHM = 1e5
"""Ohms from which a meter in the shop says open (common practice, no source) [ohm]."""


@dataclass(eq=False)
class Table:
    """Answers of cases, the sound vehicle first; filled as questions come.

    Parameters
    ----------
    built : PlanNetwork
    cases : tuple of tuple of Fault
        The first without any.
    base : Table, optional
        One whose cases are the first of these: its answers are taken over.
    """

    built: PlanNetwork
    cases: tuple[tuple[Fault, ...], ...]
    base: Table | None = None

    def __post_init__(self) -> None:
        self._kept: dict[Setup, Predicted] = {}
        loads = self.built.branches.network.loads
        self._load = {load.name: number for number, load in enumerate(loads)}
        self._fuse = {name: number for number, name in enumerate(fuses_of(self.built))}

    def prepare(self, setups: Iterable[Setup]) -> None:
        """Solve setups that are going to be asked about, all at once."""
        wanted = [setup for setup in dict.fromkeys(setups) if setup not in self._kept]
        if not wanted:
            return
        own = self.cases
        if self.base is not None:
            self.base.prepare(wanted)
            own = self.cases[len(self.base.cases) :]
        for setup, found in zip(wanted, predict(self.built, wanted, own), strict=True):
            self._kept[setup] = found if self.base is None else _joined(self.base.predicted(setup), found)

    def predicted(self, setup: Setup) -> Predicted:
        """What all cases do in a setup."""
        self.prepare([setup])
        return self._kept[setup]

    def figures(self, question: Question) -> Floats:
        """What a meter shows in each case."""
        if question.act is Act.OHMS:
            return ohms_between(self.built, question, self.cases)
        predicted = self.predicted(question.setup)
        if question.act is Act.AMPS:
            return np.abs(predicted.fuse_a[:, self._fuse[question.at]])
        node = self.built.branches.node
        volt_v: Floats = predicted.volt_v[:, node[question.at]] - predicted.volt_v[:, node[question.other or MINUS]]
        return volt_v

    def codes(self, question: Question) -> Ints:
        """The answer of each case, as a number: an index into the act's answers, or a class of reading."""
        if question.act is Act.LOOK:
            return self.predicted(question.setup).shown[:, self._load[question.at]]
        if question.act is Act.FUSE:
            return self.predicted(question.setup).is_open[:, self._fuse[question.at]].astype(np.int64)
        if question.act is Act.REFIT:
            return self.predicted(question.setup).opens[:, self._fuse[question.at]].astype(np.int64)
        return self.classes(question, self.figures(question))

    def classes(self, question: Question, figures: Floats) -> Ints:
        """Class of each figure, beside what the sound vehicle shows."""
        sound = float(self.figures(question)[0])
        return classes(question.act, figures, sound, self.supply_v(question.setup))

    def supply_v(self, setup: Setup) -> float:
        """Voltage of the battery of the sound vehicle [V]."""
        return float(self.predicted(setup).volt_v[0, self.built.branches.node[PLUS]])

    def code_of(self, question: Question, answer: str | float) -> int:
        """The code of an answer that was given; -1 for a flicker.

        Parameters
        ----------
        question : Question
        answer : str or float
        """
        if isinstance(answer, str):
            return -1 if answer == "flicker" else ANSWERS[question.act].index(answer)
        return int(self.classes(question, np.array([answer]))[0])

    def answer_words(self, question: Question, code: int) -> str:
        """An answer for people.

        Parameters
        ----------
        question : Question
        code : int
        """
        return ANSWERS[question.act][code] if question.act in ANSWERS else CLASS_WORDS[code]


def classes(act: Act, figures: Floats, sound: float, supply_v: float) -> Ints:
    """Class of each figure.

    Parameters
    ----------
    act : Act
        One that reads a meter.
    figures : array of float
        In the act's unit.
    sound : float
        What the sound vehicle shows.
    supply_v : float
        Voltage of the battery [V].

    Examples
    --------
    >>> classes(Act.VOLTS, np.array([12.4, 0.1, 7.0, -3.0]), 12.2, 12.5).tolist()
    [0, 1, 3, 4]
    >>> classes(Act.AMPS, np.array([4.9, 0.0, 9.0, 2.0]), 5.0, 12.5).tolist()
    [0, 1, 2, 3]
    """
    share = NEAR_SHARE[act]
    if act is Act.VOLTS:
        near, full = share * supply_v, supply_v * (1.0 - share)
    elif act is Act.AMPS:
        near, full = max(share * abs(sound), 0.02), abs(sound)
    else:
        near, full = max(share * abs(sound), NEAR_OHM), min(abs(sound), OPEN_OHM)
        figures = np.minimum(figures, OPEN_OHM)
        sound = min(sound, OPEN_OHM)
    found = np.where(figures >= full, FULL, BETWEEN)
    found = np.where(np.abs(figures) <= near, NOTHING, found)
    found = np.where(figures < -near, REVERSED, found)
    return np.where(np.abs(figures - sound) <= near, AS_IT_SHOULD, found)


def _joined(one: Predicted, other: Predicted) -> Predicted:
    return Predicted(
        np.concatenate((one.volt_v, other.volt_v)),
        np.concatenate((one.shown, other.shown)),
        np.concatenate((one.is_open, other.is_open)),
        np.concatenate((one.opens, other.opens)),
        np.concatenate((one.fuse_a, other.fuse_a)),
    )


def code_count(act: Act) -> int:
    """How many codes the answers to an act can have.

    Examples
    --------
    >>> [code_count(act) for act in (Act.LOOK, Act.FUSE, Act.VOLTS)]
    [3, 2, 5]
    """
    return len(SHOWN) if act is Act.LOOK else len(ANSWERS.get(act, CLASS_WORDS))
