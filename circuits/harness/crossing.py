"""What meets when a body is plugged where it does not belong, and the plain rule for what follows from it."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.fittings import Half, Holds

GROUNDS = (Holds.RETURN, Holds.T85)
"""Conductors that lead to ground; all others are live, or can be."""


@dataclass(frozen=True, slots=True)
class Contact:
    """One contact of a body, and what it holds.

    Parameters
    ----------
    connector : str
        Name of the connector; also of the half that its device holds.
    half : Half
    cavity : str
    circuit : str
        Empty where it is not used.
    holds : Holds or None
    wire : str
        Name of the wire in it, or, of a device's own half, of the wire that belongs on it; empty where there is none.
    device : str
        What that wire's end lands on.
    """

    connector: str
    half: Half
    cavity: str
    circuit: str = ""
    holds: Holds | None = None
    wire: str = ""
    device: str = ""

    @property
    def conductor(self) -> str:
        """In words: ``dip beam return``, ``nothing``."""
        return f"{self.circuit} {self.holds}" if self.circuit else "nothing"


@dataclass(frozen=True, slots=True)
class Joined:
    """Two contacts that would meet.

    Parameters
    ----------
    near, far : Contact
        In the half towards the supply, and in the other.
    is_safety : bool
        True where a circuit of the two is one whose loss endangers people.
    """

    near: Contact
    far: Contact
    is_safety: bool

    @property
    def is_harmless(self) -> bool:
        """True where the same conductor of the same circuit meets, or nothing meets nothing."""
        return (self.near.circuit, self.near.holds) == (self.far.circuit, self.far.holds)

    @property
    def text(self) -> str:
        """In words: ``horn in meets dip beam return``."""
        return f"{self.near.conductor} meets {self.far.conductor}"


@dataclass(frozen=True, slots=True, order=True)
class Consequence:
    """How grave it is, greater is graver, and in words."""

    rank: float
    text: str


LIVE_TO_GROUND, SAFETY, FEED_TO_FEED, DEAD, GROUNDS_SWAPPED, NONE = 5.0, 4.0, 3.0, 2.0, 1.0, 0.0
"""Ranks of the plain rule."""

_WORDS = {
    LIVE_TO_GROUND: "a live conductor meets a ground",
    SAFETY: "a circuit whose loss endangers people meets another",
    FEED_TO_FEED: "a load answers to the circuit of another",
    DEAD: "a conductor meets nothing and its load is dead",
    GROUNDS_SWAPPED: "grounds are swapped",
    NONE: "nothing changes",
}


def plain_consequence(joined: tuple[Joined, ...]) -> Consequence:
    """The gravest of what meets, by what the conductors are (common practice, no source).

    Parameters
    ----------
    joined : tuple of Joined

    Examples
    --------
    >>> horn, lamp = (Contact("C1", Half.SOCKET, "1", name, Holds.IN) for name in ("horn", "lamp"))
    >>> plain_consequence((Joined(horn, lamp, False),)).text
    'horn in meets lamp in: a load answers to the circuit of another'
    """
    ranked = [(_rank(meeting), meeting) for meeting in joined]
    if not ranked:
        return Consequence(NONE, _WORDS[NONE])
    rank, worst = max(ranked, key=lambda one: one[0])
    return Consequence(rank, f"{worst.text}: {_WORDS[rank]}")


def _rank(meeting: Joined) -> float:
    if meeting.is_harmless:
        return NONE
    grounds = [contact.holds in GROUNDS for contact in (meeting.near, meeting.far) if contact.circuit]
    if len(grounds) == 2 and any(grounds) and not all(grounds):
        return LIVE_TO_GROUND
    if grounds == [True, True]:
        return GROUNDS_SWAPPED
    if meeting.is_safety:
        return SAFETY
    return FEED_TO_FEED if len(grounds) == 2 else DEAD
