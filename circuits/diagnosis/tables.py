"""Tables of the fault finder: kinds of cause with their shares, and minutes of each act."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path


class Cause(StrEnum):
    """Kinds of cause that the finder knows."""

    BAD_JOINT = "bad_joint"
    OPEN_WIRE = "open_wire"
    BAD_GROUND = "bad_ground"
    BLOWN_FUSE = "blown_fuse"
    DEAD_LOAD = "dead_load"
    STUCK_OPEN = "stuck_open"
    STUCK_CLOSED = "stuck_closed"
    OPEN_COIL = "open_coil"
    SHORT_TO_GROUND = "short_to_ground"
    SHORT_TO_NEIGHBOUR = "short_to_neighbour"
    SWAPPED = "swapped"


@dataclass(frozen=True, slots=True)
class KindOfCause:
    """One row of ``kinds.csv``.

    Parameters
    ----------
    cause : Cause
    words : str
    share : float
        Of all faults, before any was counted; the table's sum to 1.
    comes_and_goes : float
        Share of them that are intermittent.
    seen_by_eye : float
        Chance that one who looks at the place sees it.
    source : str
    """

    cause: Cause
    words: str
    share: float
    comes_and_goes: float
    seen_by_eye: float
    source: str


@cache
def kinds() -> dict[Cause, KindOfCause]:
    """Every kind of cause, in the order of the table.

    Examples
    --------
    >>> round(sum(kind.share for kind in kinds().values()), 9)
    1.0
    """
    with (Path(__file__).parent / "kinds.csv").open(encoding="utf-8", newline="") as file:
        return {
            Cause(row["kind"]): KindOfCause(
                Cause(row["kind"]),
                row["words"],
                float(row["share"]),
                float(row["comes_and_goes"]),
                float(row["seen_by_eye"]),
                row["source"],
            )
            for row in csv.DictReader(file)
        }


@cache
def _minutes() -> dict[str, float]:
    with (Path(__file__).parent / "minutes.csv").open(encoding="utf-8", newline="") as file:
        return {row["name"]: float(row["minutes"]) for row in csv.DictReader(file)}


def minutes_of(*acts: str) -> float:
    """Minutes of one step: to read and enter it, and for each act or kind of place it takes.

    Parameters
    ----------
    *acts
        Names of the table.

    Raises
    ------
    KeyError
        If the table has none of that name.

    Examples
    --------
    >>> minutes_of("look"), minutes_of("look", "pull")
    (1.0, 1.5)
    """
    return _minutes()["step"] + sum(_minutes()[act] for act in acts)
