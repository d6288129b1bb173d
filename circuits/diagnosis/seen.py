"""What a person does and what comes out: the words in which the finder asks, and is told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum


class Act(StrEnum):
    """What is done to find out."""

    LOOK = "look"  # at a load
    FUSE = "fuse"  # look at it
    REFIT = "refit"  # fit a sound fuse and see whether it holds
    VOLTS = "volts"
    AMPS = "amps"  # through a fuse
    OHMS = "ohms"  # battery off
    INSPECT = "inspect"  # a joint, a ground, a load, by eye


UNITS = {Act.VOLTS: "V", Act.AMPS: "A", Act.OHMS: "ohm"}

ANSWERS: Mapping[Act, tuple[str, ...]] = {
    Act.LOOK: ("off", "dim", "on", "flicker"),
    Act.FUSE: ("whole", "open"),
    Act.REFIT: ("holds", "opens"),
    Act.INSPECT: ("good", "bad"),
}
"""Answers of the acts that give no figure."""


@dataclass(frozen=True, slots=True)
class Setup:
    """How the vehicle stands while somebody looks.

    Parameters
    ----------
    positions : tuple of (str, str)
        Function and position, sorted; functions that it does not name are off.
    removed : tuple of str
        Branches taken out: loads unplugged, fuses pulled.
    """

    positions: tuple[tuple[str, str], ...] = ()
    removed: tuple[str, ...] = ()

    @classmethod
    def of(cls, positions: Mapping[str, str], removed: tuple[str, ...] = ()) -> Setup:
        """From positions by function.

        Examples
        --------
        >>> Setup.of({"lights": "head", "ignition": "run"}).positions
        (('ignition', 'run'), ('lights', 'head'))
        """
        return cls(tuple(sorted(positions.items())), removed)


@dataclass(frozen=True, slots=True)
class Question:
    """One thing to find out.

    Parameters
    ----------
    act : Act
    at : str
        Load, fuse, node, or place of a suspect, by name in the network.
    other : str
        Second point of a reading; empty = the battery's negative post.
    setup : Setup
    state : str
        Words for the setup's positions.
    """

    act: Act
    at: str
    other: str = ""
    setup: Setup = Setup()
    state: str = ""

    @property
    def key(self) -> tuple[str, ...]:
        """What tells it from others, whatever the words."""
        positions = [f"{function}={position}" for function, position in self.setup.positions]
        return (self.act, self.at, self.other, *positions, "/", *self.setup.removed)


@dataclass(frozen=True, slots=True)
class Seen:
    """What came out of a question: one of ``ANSWERS``, or a figure in the unit of the act."""

    question: Question
    answer: str | float
