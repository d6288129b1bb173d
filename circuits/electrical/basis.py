"""On what each electrical figure rests, in words for pages and papers."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from circuits.electrical.tables import read_rows


@dataclass(frozen=True, slots=True)
class Basis:
    """What a kind of figure rests on.

    Parameters
    ----------
    figure : str
        Kind of figure.
    basis : str
        How it is found, in a sentence.
    source : str
        Document, edition and table; says so where there is none.
    """

    figure: str
    basis: str
    source: str


@cache
def bases() -> tuple[Basis, ...]:
    """The basis of every kind of electrical figure.

    Examples
    --------
    >>> [basis.figure for basis in bases()][:3]
    ['conductor resistance', 'ampacity', 'bundling']
    """
    return tuple(Basis(row["figure"], row["basis"], row["source"]) for row in read_rows("basis"))
