"""Grommets: which one goes into an opening and lets a bundle through."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Grommet:
    """One size of grommet: the hole it sits in [mm], and the largest bundle that passes it [mm]."""

    hole_mm: float
    bore_mm: float


def _read_sizes() -> tuple[Grommet, ...]:
    with Path(__file__).with_name("grommets.csv").open(encoding="utf-8", newline="") as file:
        found = (Grommet(float(row["hole_mm"]), float(row["bore_mm"])) for row in csv.DictReader(file))
        return tuple(sorted(found, key=lambda grommet: grommet.hole_mm))


GROMMETS: tuple[Grommet, ...] = _read_sizes()
"""Sizes sold, smallest first."""


def grommet_for(opening_mm: float, bundle_mm: float) -> Grommet | None:
    """The smallest grommet for an opening as it is, or opened up to the grommet's hole.

    Parameters
    ----------
    opening_mm : float
        Diameter of the opening, above 0 [mm].
    bundle_mm : float
        Of what passes it, 0 or more [mm].

    Returns
    -------
    Grommet or None
        Its hole is the opening's size or the next larger one sold; None where none is large enough.

    Examples
    --------
    >>> grommet_for(25.0, 12.0), grommet_for(20.0, 18.5), grommet_for(90.0, 10.0)
    (Grommet(hole_mm=25.0, bore_mm=20.0), Grommet(hole_mm=25.0, bore_mm=20.0), None)
    """
    fitting = (one for one in GROMMETS if one.hole_mm >= opening_mm and one.bore_mm >= bundle_mm)
    return next(fitting, None)
