"""Loom covering by the diameter of the bundle it goes over."""

from __future__ import annotations

import csv
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

from circuits.plan import Covering


@dataclass(frozen=True, slots=True)
class CoveringSize:
    """One size a covering is sold in: nominal [mm], and the largest bundle it goes over [mm]."""

    nominal_mm: float
    largest_bundle_mm: float


def _read_sizes() -> dict[Covering, tuple[CoveringSize, ...]]:
    sizes: defaultdict[Covering, list[CoveringSize]] = defaultdict(list)
    with Path(__file__).with_name("coverings.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            size = CoveringSize(float(row["nominal_mm"]), float(row["largest_bundle_mm"]))
            sizes[Covering(row["covering"])].append(size)
    return {covering: tuple(sorted(found, key=lambda s: s.nominal_mm)) for covering, found in sizes.items()}


COVERING_SIZES: dict[Covering, tuple[CoveringSize, ...]] = _read_sizes()
"""Sizes of the coverings that come in sizes; tape is wound to any."""


def covering_mm(covering: Covering, bundle_mm: float) -> float | None:
    """Smallest nominal size that goes over a bundle [mm].

    Parameters
    ----------
    covering : Covering
    bundle_mm : float
        Diameter of the bundle [mm].

    Returns
    -------
    float or None
        0 for tape, none, and an empty run; None where no size is large enough.

    Examples
    --------
    >>> covering_mm(Covering.SPLIT_LOOM, 6.4), covering_mm(Covering.TAPE, 6.4), covering_mm(Covering.SLEEVE, 90.0)
    (7.5, 0.0, None)
    """
    if covering not in COVERING_SIZES or bundle_mm <= 0:
        return 0.0
    fitting = (size.nominal_mm for size in COVERING_SIZES[covering] if size.largest_bundle_mm >= bundle_mm)
    return next(fitting, None)
