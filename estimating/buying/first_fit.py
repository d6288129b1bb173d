"""First fit, longest first, and the cheapest offer for each kind: what a careful buyer does by hand.

It starts the search, so that no plan is dearer, and is the peer that the saving is measured against.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from estimating.buying.costs import Prices
from estimating.buying.packing.task import Filling, Layout
from estimating.buying.pools import Pool


@dataclass(slots=True)
class _Piece:
    kind: int
    source: int
    room: int
    held: dict[int, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ByHand:
    """A purchase (source: packs) and a layout for every pool."""

    bought: dict[int, int]
    layouts: tuple[Layout, ...]


def by_hand(pools: tuple[Pool, ...], prices: Prices, given: tuple[tuple[str, int, int], ...] = ()) -> ByHand:
    """Buys and cuts as one would by hand.

    Parameters
    ----------
    pools : tuple of Pool
    prices : Prices
    given : tuple of (str, int, int)
        Need, stock and atoms that are decided already.

    Returns
    -------
    ByHand
        Every supplier's least order is reached.

    Examples
    --------
    >>> from estimating.buying.costs import prices_of
    >>> from estimating.buying.example import example_week
    >>> from estimating.buying.pools import pools_of
    >>> from estimating.buying.reach import reach_of
    >>> reach = reach_of(example_week())
    >>> pools = pools_of(reach, {need.ref: reach.atoms(need) for need in reach.week.needs})
    >>> by_hand(pools, prices_of(reach)).bought
    {2: 6, 1: 2}
    """
    bought: dict[int, int] = {}
    layouts = []
    for pool in pools:
        pieces, left = _from_stock(pool, given)
        _buy(pool, prices, pieces, left, bought)
        layouts.append(_layout(pieces))
    _reach_least_orders(prices, bought)
    return ByHand(bought, tuple(layouts))


def _from_stock(pool: Pool, given: tuple[tuple[str, int, int], ...]) -> tuple[list[_Piece], list[int]]:
    pieces = [_Piece(kind, source, one.capacity) for kind, one in enumerate(pool.bins) for source in one.stock]
    left = [item.count for item in pool.items]
    item_of = {ref: n for n, item in enumerate(pool.items) for ref, _ in item.needs}
    by_source = {piece.source: piece for piece in pieces}
    for ref, source, atoms in given:
        if ref in item_of and source in by_source:
            _put(pool, by_source[source], item_of[ref], atoms, left)
    for item in _order(pool):
        for piece in sorted(pieces, key=lambda piece: (piece.room, piece.source)):
            _put(pool, piece, item, left[item], left)
    return pieces, left


def _order(pool: Pool) -> list[int]:
    """Longest first."""
    return sorted(range(len(pool.items)), key=lambda n: (-pool.items[n].size, n))


def _put(pool: Pool, piece: _Piece, item: int, atoms: int, left: list[int]) -> None:
    """Puts as many of ``atoms`` as fit into a piece."""
    one = pool.items[item]
    if one.group not in pool.bins[piece.kind].serves:
        return
    n = min(atoms, left[item], piece.room // one.size)
    if n > 0:
        piece.room -= n * one.size
        piece.held[item] = piece.held.get(item, 0) + n
        left[item] -= n


def _buy(pool: Pool, prices: Prices, pieces: list[_Piece], left: list[int], bought: dict[int, int]) -> None:
    """The offer that costs least for all that is left and that it can serve; again until nothing is left."""
    while any(left):
        hardest = min((n for n in _order(pool) if left[n]), key=lambda n: len(_offers_for(pool, n)))
        trials = []
        for kind, source in _offers_for(pool, hardest):
            rest = list(left)
            new = _first_fit(pool, kind, source, rest)
            served = sum(pool.items[n].size * (left[n] - rest[n]) for n in range(len(left)))
            offer = prices.offers[source]
            cost = offer.goods(offer.orderable(len(new)))
            trials.append((cost / served, source, new, rest))
        _, source, new, rest = min(trials, key=lambda trial: trial[:2])
        bought[source] = prices.offers[source].orderable(bought.get(source, 0) + len(new))
        pieces += new
        left[:] = rest


def _offers_for(pool: Pool, item: int) -> list[tuple[int, int]]:
    one = pool.items[item]
    return [
        (kind, source)
        for kind, bin_ in enumerate(pool.bins)
        if one.group in bin_.serves and bin_.capacity >= one.size
        for source in bin_.offers
    ]


def _first_fit(pool: Pool, kind: int, source: int, left: list[int]) -> list[_Piece]:
    new: list[_Piece] = []
    one = pool.bins[kind]
    for item in _order(pool):
        if pool.items[item].group not in one.serves or pool.items[item].size > one.capacity:
            continue
        for piece in new:
            _put(pool, piece, item, left[item], left)
        while left[item]:
            new.append(_Piece(kind, source, one.capacity))
            _put(pool, new[-1], item, left[item], left)
    return new


def _reach_least_orders(prices: Prices, bought: dict[int, int]) -> None:
    """Orders more of what costs least until every supplier takes the order."""
    for supplier, terms in enumerate(prices.terms):
        mine = sorted(
            (source for source in bought if prices.offers[source].supplier == supplier),
            key=lambda source: (prices.offers[source].tiers[0].price, source),
        )
        while mine and (short := terms.min_order - prices.goods_of(bought)[supplier]) > 0:
            offer = prices.offers[mine[0]]
            bought[mine[0]] = offer.orderable(bought[mine[0]] + max(1, short // offer.tiers[0].price))


def _layout(pieces: list[_Piece]) -> Layout:
    layout: list[tuple[int, Filling]] = [
        (piece.kind, tuple(sorted(piece.held.items()))) for piece in pieces if piece.held
    ]
    return tuple(sorted(layout))
