"""Who can serve whom: which stock and offers may meet which need, by kind and date. In whole millimetres and pieces."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date

from estimating.buying.kinds import Kind, Measure, why_unfit
from estimating.buying.week import Need, Offer, Week
from estimating.buying.working_days import arrival


def mm_up(length_m: float) -> int:
    """Whole millimetres that a cut of ``length_m`` [m] needs; what lies below a nanometre is the tail of a binary sum.

    Examples
    --------
    >>> mm_up(0.1 + 0.2), mm_up(1.0001)
    (300, 1001)
    """
    return math.ceil(round(length_m * 1000, 6))


def mm_down(length_m: float) -> int:
    """Whole millimetres that a roll of ``length_m`` [m] holds.

    Examples
    --------
    >>> mm_down(0.1 + 0.2), mm_down(1.0009)
    (300, 1000)
    """
    return math.floor(round(length_m * 1000, 6))


@dataclass(frozen=True, slots=True)
class Source:
    """Stock or an offer: ``capacity`` [mm or pieces] of one piece or pack, and the day it is here."""

    ref: str
    kind: Kind
    capacity: int
    arrives: date
    offer: Offer | None = None


@dataclass(frozen=True, slots=True)
class Reach:
    """All sources of a week, and those that each pair of kind and date may draw on.

    Parameters
    ----------
    week : Week
    kinds : dict of str to Kind
    sources : tuple of Source
        Stock first, then offers.
    by_kind : dict of str to tuple of int
        Sources that may stand for a kind, whenever they arrive.
    blade : int
        Lost with every cut [mm].
    """

    week: Week
    kinds: dict[str, Kind]
    sources: tuple[Source, ...]
    by_kind: dict[str, tuple[int, ...]]
    blade: int

    def of(self, need: Need) -> tuple[int, ...]:
        """Sources that may serve a need as to kind and date; a length may still be too short."""
        return tuple(i for i in self.by_kind[need.kind] if self.sources[i].arrives <= need.needed_by)

    def size(self, need: Need) -> int:
        """What one atom of the need takes: a cut with its blade loss [mm], else 1."""
        if self.kinds[need.kind].measure is Measure.CUTS:
            assert need.length_m is not None
            return mm_up(need.length_m) + self.blade
        return 1

    def atoms(self, need: Need) -> int:
        """How many atoms: cuts, pieces, or millimetres where ends may be joined."""
        if self.kinds[need.kind].measure is Measure.METRES:
            assert need.length_m is not None
            return mm_up(need.length_m) * need.count
        return need.count

    def is_buyable(self, need: Need) -> bool:
        """Whether an offer meets the need in time, however much of it is wanted."""
        size = self.size(need)
        return any(self.sources[i].offer and self.sources[i].capacity >= size for i in self.of(need))


def reach_of(week: Week) -> Reach:
    """The reach of a week.

    Examples
    --------
    >>> day = date(2026, 3, 2)
    >>> week = Week(day, (Kind("relay"),), (Need("a", "relay", day, 4),))
    >>> reach_of(week).is_buyable(week.needs[0])
    False
    """
    kinds = {kind.key: kind for kind in week.kinds}
    sources = (*_stock(week, kinds), *_offers(week, kinds))
    wanted = {need.kind for need in week.needs}
    fit = {
        (given.key, key): not why_unfit(given, kinds[key], week.rule)
        for given in {source.kind.key: source.kind for source in sources}.values()
        for key in wanted
    }
    by_kind = {key: tuple(i for i, s in enumerate(sources) if fit[s.kind.key, key]) for key in sorted(wanted)}
    return Reach(week, kinds, sources, by_kind, mm_up(week.settings.blade_loss_m))


def _stock(week: Week, kinds: dict[str, Kind]) -> tuple[Source, ...]:
    return tuple(
        Source(
            piece.ref,
            kinds[piece.kind],
            piece.count if piece.length_m is None else mm_down(piece.length_m),
            piece.available or week.today,
        )
        for piece in sorted(week.stock, key=lambda piece: piece.ref)
    )


def _offers(week: Week, kinds: dict[str, Kind]) -> tuple[Source, ...]:
    return tuple(
        Source(
            offer.ref,
            kinds[offer.kind],
            offer.pack if offer.length_m is None else mm_down(offer.length_m),
            arrival(week.today, offer.lead_days, week.settings),
            offer,
        )
        for offer in sorted(week.offers, key=lambda offer: offer.ref)
    )
