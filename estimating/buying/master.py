"""The master programme: what to buy so that every pool's length or count is covered, at the least cost.

It knows prices, carriage and least orders exactly, and of cutting only what its rows say: lengths covered, and what
the packing checks have taught it since.
"""

from __future__ import annotations

from dataclasses import dataclass

from estimating.buying.bounds import cover_rows, most_packs
from estimating.buying.costs import PricedSource, Prices
from estimating.buying.pools import Pool
from estimating.buying.rows import Model


@dataclass(frozen=True, slots=True)
class Weighed:
    """A lesson: in this pool ``sum(weights[bin] × pieces)`` must reach ``least``. ``is_proven`` where it must."""

    pool: int
    weights: tuple[int, ...]
    least: int
    is_proven: bool = True


@dataclass(frozen=True, slots=True)
class MoreOfSome:
    """A lesson: of some type of bin, of ``kinds`` where any are named, there must be more than here."""

    pool: int
    counts: tuple[int, ...]
    kinds: frozenset[int] = frozenset()
    is_proven: bool = True


Lesson = Weighed | MoreOfSome


@dataclass(frozen=True, slots=True)
class Purchase:
    """An answer of the master: packs of each source, lower bound in coins, whether it is optimal."""

    bought: dict[int, int] | None
    bound: float
    is_optimal: bool


def solve_master(
    pools: tuple[Pool, ...], prices: Prices, lessons: list[Lesson], seconds: float, nodes: int | None = None
) -> Purchase:
    """The cheapest purchase under the lessons so far.

    Parameters
    ----------
    pools : tuple of Pool
    prices : Prices
    lessons : list of Lesson
    seconds : float
        Time it may take.
    nodes : int or None
        Nodes it may search.

    Returns
    -------
    Purchase

    Examples
    --------
    >>> from estimating.buying.costs import prices_of
    >>> from estimating.buying.example import example_week
    >>> from estimating.buying.pools import pools_of
    >>> from estimating.buying.reach import reach_of
    >>> reach = reach_of(example_week())
    >>> pools = pools_of(reach, {need.ref: reach.atoms(need) for need in reach.week.needs})
    >>> solve_master(pools, prices_of(reach), [], 10.0).bought
    {2: 6, 1: 1}
    """
    model = Model()
    packs = _offers(model, pools, prices)
    for number, pool in enumerate(pools):
        rows, is_all = cover_rows(pool)
        for weights, least in rows:
            _weigh(model, pool, weights, least, packs)
        if not is_all:
            _share_out(model, pool, packs)
        for lesson in lessons:
            if lesson.pool == number:
                _teach(model, pool, lesson, packs)
    solved = model.solve(seconds, nodes)
    if solved.x is None:
        return Purchase(None, solved.bound, solved.status == 2)
    x = solved.x
    bought = {source: round(sum(factor * x[c] for c, factor in terms)) for source, terms in packs.items()}
    return Purchase({source: n for source, n in bought.items() if n}, solved.bound, solved.status == 0)


Packs = dict[int, list[tuple[int, float]]]
"""Packs of each source as columns with factors."""


def _offers(model: Model, pools: tuple[Pool, ...], prices: Prices) -> Packs:
    packs: Packs = {}
    goods: dict[int, list[tuple[int, float]]] = {}
    tops: dict[int, float] = {}
    for pool in pools:
        for source in pool.offers:
            offer = prices.offers[source]
            tops[source] = most_packs(pool, source, offer, prices)
            packs[source], value = _offer(model, offer, tops[source])
            goods.setdefault(offer.supplier, []).extend(value)
    for number, terms in enumerate(prices.terms):
        if number not in goods:
            continue
        if not (terms.carriage or terms.min_order):
            continue
        opened = model.column(cost=terms.carriage, top=1)
        for source, columns in packs.items():
            if prices.offers[source].supplier == number:
                model.row([*columns, (opened, -tops[source])], high=0)
        if terms.min_order:
            model.row([*goods[number], (opened, -terms.min_order)], low=0)
        if terms.carriage and terms.free_from is not None:
            free = model.column(cost=-terms.carriage, top=1)
            model.row([(free, 1), (opened, -1)], high=0)
            model.row([*goods[number], (free, -terms.free_from)], low=0)
    return packs


def _offer(model: Model, offer: PricedSource, top: float) -> tuple[list[tuple[int, float]], list[tuple[int, float]]]:
    """Columns of one offer: its packs, and the value of goods."""
    packs, value, chosen = [], [], []
    is_plain = len(offer.tiers) == 1 and offer.least <= offer.multiple
    for tier in offer.tiers:
        steps_high = (top if tier.high is None else min(tier.high, top)) // offer.multiple
        if tier.low > top:
            break
        steps = model.column(cost=tier.price * offer.multiple, top=steps_high)
        packs.append((steps, float(offer.multiple)))
        value.append((steps, float(tier.price * offer.multiple)))
        if not is_plain:
            holds = model.column(top=1)
            chosen.append((holds, 1.0))
            model.row([(steps, 1), (holds, -(tier.low // offer.multiple))], low=0)
            model.row([(steps, 1), (holds, -steps_high)], high=0)
    if len(chosen) > 1:
        model.row(chosen, high=1)
    return packs, value


def _weigh(model: Model, pool: Pool, weights: tuple[int, ...], least: int, packs: Packs) -> None:
    """``sum(weights × pieces) >= least`` over stock and purchases."""
    here = sum(weight * len(one.stock) for weight, one in zip(weights, pool.bins, strict=True))
    if here >= least:
        return
    terms = [
        (column, factor * weight)
        for weight, one in zip(weights, pool.bins, strict=True)
        for source in one.offers
        for column, factor in packs[source]
        if weight
    ]
    model.row(terms, low=least - here)


def _share_out(model: Model, pool: Pool, packs: Packs) -> None:
    """Every group gets its length from bins that serve it: as flows, so that no two groups count the same metre."""
    into: dict[int, list[tuple[int, float]]] = {group: [] for group in range(pool.groups)}
    for one in pool.bins:
        flows = [(group, model.column(is_whole=False)) for group in sorted(one.serves)]
        for group, flow in flows:
            into[group].append((flow, 1.0))
        bought = [(column, -factor * one.capacity) for source in one.offers for column, factor in packs[source]]
        model.row([*((flow, 1.0) for _, flow in flows), *bought], high=one.capacity * len(one.stock) or 0.0)
    for group, flows_in in into.items():
        model.row(flows_in, low=pool.demand(group))


def _teach(model: Model, pool: Pool, lesson: Lesson, packs: Packs) -> None:
    if isinstance(lesson, Weighed):
        _weigh(model, pool, lesson.weights, lesson.least, packs)
        return
    some = []
    for kind, (count, one) in enumerate(zip(lesson.counts, pool.bins, strict=True)):
        if one.offers and (kind in lesson.kinds or not lesson.kinds):
            more = model.column(top=1)
            some.append((more, 1.0))
            wanted = count + 1 - len(one.stock)
            terms = [(column, factor) for source in one.offers for column, factor in packs[source]]
            model.row([*terms, (more, -float(wanted))], low=0)
    model.row(some, low=1)
