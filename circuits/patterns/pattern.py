"""What a pattern is: a named way to draw one stage of a circuit, and when it applies."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from circuits.patterns.draft import Draft


@dataclass(frozen=True, slots=True)
class Pattern:
    """One way to draw one stage.

    Parameters
    ----------
    name : str
        In the trade's words, e.g. ``relayed load``.
    applies : callable
        True for a draft this pattern is for. Of a stage's patterns the first that applies is taken.
    draw : callable
        Adds the stage's wires, protections and devices to the draft.
    """

    name: str
    applies: Callable[[Draft], bool]
    draw: Callable[[Draft], None]


def always(draft: Draft) -> bool:
    """Applies to every circuit: the last pattern of each stage."""
    return True
