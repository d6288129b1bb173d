"""What is known of a pool before anything is tried: what its bins hold at most, how many one can want."""

from __future__ import annotations

from collections.abc import Callable

from estimating.buying.costs import Prices, PricedSource
from estimating.buying.kinds import Measure
from estimating.buying.packing.fill import fullest
from estimating.buying.pools import Bin, Item, Pool

THRESHOLDS = 6
"""Most lengths for which the longer cuts are weighed apart."""


def holds(one: Bin, items: list[Item]) -> int:
    """Greatest size of these items that one bin holds: seldom all of it, e.g. 24 m of 6 m cuts in 25 m.

    Examples
    --------
    >>> holds(Bin(25, frozenset({0}), (), ()), [Item(0, 6, 9, ())])
    24
    """
    mine = [(n, item.size, item.count) for n, item in enumerate(items) if item.group in one.serves]
    chosen = fullest(one.capacity, [each for each in mine if each[1] <= one.capacity])
    return sum(items[n].size * count for n, count in chosen.items())


def cover_rows(pool: Pool) -> list[tuple[tuple[int, ...], int]]:
    """Rows ``sum(weights × pieces) >= least`` that hold for any cutting.

    Parameters
    ----------
    pool : Pool

    Returns
    -------
    list of (tuple of int, int)
        Of all items; then, for cuts, of those longer than this or that bin, by length and by number.

    Examples
    --------
    >>> pool = Pool(Measure.PARTS, 1, (Item(0, 1, 12, ()),), (Bin(5, frozenset({0}), (), (0,)),))
    >>> cover_rows(pool)
    [((5,), 12)]
    """
    if pool.measure is not Measure.CUTS:
        return [(tuple(one.capacity for one in pool.bins), sum(item.size * item.count for item in pool.items))]
    rows = [_row(pool, lambda item: True)]
    for length in _thresholds(pool):
        rows.append(_row(pool, lambda item, length=length: item.size > length))  # type: ignore[misc]
    for one in (2, 3):
        for capacity in sorted({bin_.capacity for bin_ in pool.bins})[-3:]:
            rows.append(_number_row(pool, capacity // one))
    return list(dict.fromkeys(row for row in rows if row[1] > 0))


def _thresholds(pool: Pool) -> list[int]:
    """Capacities that some cut is too long for."""
    longest = max(item.size for item in pool.items)
    return sorted({one.capacity for one in pool.bins if one.capacity < longest})[-THRESHOLDS:]


def _row(pool: Pool, counts_in: Callable[[Item], bool]) -> tuple[tuple[int, ...], int]:
    items = [item for item in pool.items if counts_in(item)]
    return tuple(holds(one, items) for one in pool.bins), sum(item.size * item.count for item in items)


def _number_row(pool: Pool, length: int) -> tuple[tuple[int, ...], int]:
    """How many cuts longer than ``length`` a bin holds, and how many there are."""
    items = sorted((item for item in pool.items if item.size > length), key=lambda item: item.size)
    weights = []
    for one in pool.bins:
        room, number = one.capacity, 0
        for item in items:
            if item.group in one.serves:
                fitting = min(item.count, room // item.size)
                room -= fitting * item.size
                number += fitting
        weights.append(number)
    return tuple(weights), sum(item.count for item in items)


def most_packs(pool: Pool, source: int, offer: PricedSource, prices: Prices) -> int:
    """Packs of an offer beyond which no best purchase goes.

    Everything it serves fits in so many of it by first fit; more are bought only to reach a better price, the least
    order or free carriage.
    """
    one = next(each for each in pool.bins if source in each.offers)
    enough = _first_fit(pool, one)
    terms = prices.terms[offer.supplier]
    wanted_value = max(terms.min_order, terms.free_from or 0)
    lowest = min((tier.price for tier in offer.tiers if tier.price), default=0)
    for_value = -(-wanted_value // lowest) if lowest else 0
    return offer.orderable(max(enough, offer.tiers[-1].low) + for_value)


def _first_fit(pool: Pool, one: Bin) -> int:
    """Bins that first fit, longest first, fills with all that they serve."""
    items = [item for item in pool.items if item.group in one.serves and item.size <= one.capacity]
    if pool.measure is not Measure.CUTS:
        return -(-sum(item.size * item.count for item in items) // one.capacity)
    rooms: list[int] = []
    for item in sorted(items, key=lambda item: -item.size):
        left = item.count
        for number, room in enumerate(rooms):
            fitting = min(left, room // item.size)
            rooms[number] -= fitting * item.size
            left -= fitting
        per_bin = one.capacity // item.size
        while left > 0:
            fitting = min(left, per_bin)
            rooms.append(one.capacity - fitting * item.size)
            left -= fitting
    return len(rooms)
