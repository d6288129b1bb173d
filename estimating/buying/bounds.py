"""What is known of a pool before anything is tried: what its bins hold at most, how many one can want."""

from __future__ import annotations

from estimating.buying.costs import PricedSource, Prices
from estimating.buying.kinds import Measure
from estimating.buying.packing.fill import fullest
from estimating.buying.pools import Bin, Item, Pool

THRESHOLDS = 6
"""Most lengths for which the longer cuts are weighed apart."""

MAX_SETS = 64
"""Most sets of groups that get rows of their own."""


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


Row = tuple[tuple[int, ...], int]
"""``sum(weights × pieces)`` must reach this."""


def cover_rows(pool: Pool) -> tuple[list[Row], bool]:
    """Rows that hold for any cutting.

    Parameters
    ----------
    pool : Pool

    Returns
    -------
    list of Row
        For every set of groups that draws on bins of its own: the length of all its items; then, for cuts, of those
        longer than this or that bin, by length and by number.
    bool
        Whether these are all such sets; then they suffice wherever lengths may be joined (Hall's condition).

    Examples
    --------
    >>> pool = Pool(Measure.PARTS, 1, (Item(0, 1, 12, ()),), (Bin(5, frozenset({0}), (), (0,)),))
    >>> cover_rows(pool)
    ([((5,), 12)], True)
    """
    sets, is_all = group_sets(pool)
    rows: list[Row] = []
    for groups in sets:
        items = [item for item in pool.items if item.group in groups]
        rows.append(_row(pool, items))
        if pool.measure is Measure.CUTS:
            rows += [_row(pool, [item for item in items if item.size > length]) for length in _thresholds(pool, items)]
            for share in (2, 3):
                for capacity in sorted({one.capacity for one in pool.bins})[-3:]:
                    rows.append(_number_row(pool, items, capacity // share))
    return list(dict.fromkeys(row for row in rows if row[1] > 0)), is_all


def group_sets(pool: Pool) -> tuple[list[frozenset[int]], bool]:
    """Sets of groups that no other group could join without drawing on further bins.

    Examples
    --------
    >>> bins = (Bin(5, frozenset({0, 1}), (), (0,)), Bin(9, frozenset({1}), (), (1,)))
    >>> group_sets(Pool(Measure.PARTS, 2, (Item(0, 1, 1, ()), Item(1, 1, 1, ())), bins))
    ([frozenset({0}), frozenset({0, 1})], True)
    """
    reach = [frozenset(n for n, one in enumerate(pool.bins) if group in one.serves) for group in range(pool.groups)]
    unions: dict[frozenset[int], None] = {frozenset(): None}
    for mine in dict.fromkeys(reach):
        for known in list(unions):
            unions[known | mine] = None
        if len(unions) > MAX_SETS:
            break
    is_all = len(unions) <= MAX_SETS
    chosen = list(unions) if is_all else [*dict.fromkeys(reach), frozenset(range(len(pool.bins)))]
    sets = [frozenset(g for g in range(pool.groups) if reach[g] <= bins) for bins in chosen if bins]
    return sorted(dict.fromkeys(sets), key=lambda one: (len(one), sorted(one))), is_all


def _thresholds(pool: Pool, items: list[Item]) -> list[int]:
    """Capacities that some cut is too long for."""
    longest = max(item.size for item in items)
    return sorted({one.capacity for one in pool.bins if one.capacity < longest})[-THRESHOLDS:]


def _row(pool: Pool, items: list[Item]) -> Row:
    least = sum(item.size * item.count for item in items)
    if pool.measure is Measure.CUTS:
        return tuple(holds(one, items) for one in pool.bins), least
    groups = {item.group for item in items}
    return tuple(one.capacity if one.serves & groups else 0 for one in pool.bins), least


def _number_row(pool: Pool, items: list[Item], length: int) -> Row:
    """How many cuts longer than ``length`` a bin holds, and how many there are."""
    longer = sorted((item for item in items if item.size > length), key=lambda item: item.size)
    weights = []
    for one in pool.bins:
        room, number = one.capacity, 0
        for item in longer:
            if item.group in one.serves:
                fitting = min(item.count, room // item.size)
                room -= fitting * item.size
                number += fitting
        weights.append(number)
    return tuple(weights), sum(item.count for item in longer)


def most_packs(pool: Pool, source: int, offer: PricedSource, prices: Prices) -> int:
    """Packs of an offer beyond which no best purchase goes.

    Everything it serves fits in so many of it by first fit; more are bought only to reach a better price, the least
    order or free carriage.
    """
    one = next(each for each in pool.bins if source in each.offers)
    enough = first_fit_bins(pool, one)
    terms = prices.terms[offer.supplier]
    wanted_value = max(terms.min_order, terms.free_from or 0)
    for_value = -(-wanted_value // min(tier.price for tier in offer.tiers))
    return offer.orderable(max(enough, offer.tiers[-1].low) + for_value)


def first_fit_bins(pool: Pool, one: Bin) -> int:
    """Bins that first fit, longest first, fills with all that they serve.

    Examples
    --------
    >>> one = Bin(10, frozenset({0}), (), (0,))
    >>> first_fit_bins(Pool(Measure.CUTS, 1, (Item(0, 6, 3, ()), Item(0, 4, 1, ())), (one,)), one)
    3
    """
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
