"""What somebody may have meant by a name that nothing has."""

from __future__ import annotations

from collections.abc import Sequence

from circuits.harness.routes import nearest_name

MOST_COMPARED = 10_000
"""Comparisons made for one plan before it goes without suggestions: about half a second."""


class Suggester:
    """Suggests one of the names there are, until ``MOST_COMPARED`` comparisons are spent.

    A plan of a real vehicle never comes near that; one of two thousand rows with wrong names would
    else take minutes.

    Parameters
    ----------
    known : sequence of str
    """

    def __init__(self, known: Sequence[str]) -> None:
        self._known = known
        self._answers: dict[str, str] = {}

    def did_you_mean(self, name: str) -> str:
        """``Did you mean panel?``; empty where nothing known is much like the name.

        Examples
        --------
        >>> suggester = Suggester(("panel", "boot"))
        >>> suggester.did_you_mean("pannel"), suggester.did_you_mean("x")
        ('Did you mean panel?', '')
        """
        if name not in self._answers:
            is_spent = (len(self._answers) + 1) * len(self._known) > MOST_COMPARED
            nearest = "" if is_spent else nearest_name(name, self._known)
            self._answers[name] = f"Did you mean {nearest}?" if nearest else ""
        return self._answers[name]
