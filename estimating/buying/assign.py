"""From quantities and layouts to the plan: which cut of which need comes from which roll."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass

from estimating.buying.costs import Prices, supplier_names
from estimating.buying.kinds import Measure
from estimating.buying.packing.fill import is_whole, quick_layouts
from estimating.buying.packing.task import Filling, Layout, Task
from estimating.buying.pools import Pool
from estimating.buying.purchase import Cut, CutPiece, OrderLine, PurchasePlan, Share, SupplierOrder, Unmet
from estimating.buying.reach import Reach


@dataclass(frozen=True, slots=True)
class Solution:
    """Packs of each source, and a layout of every pool."""

    bought: dict[int, int]
    layouts: tuple[Layout, ...]


@dataclass(frozen=True, slots=True)
class _Filled:
    """One piece or pack: its source, its number (0 for stock), what each need takes of it."""

    source: int
    number: int
    taken: tuple[tuple[str, int, int], ...]  # need, its atom's number or 0, atoms


def plan_of(
    reach: Reach,
    pools: tuple[Pool, ...],
    prices: Prices,
    solution: Solution,
    bound: int,
    unmet: tuple[Unmet, ...] = (),
    rounds: int = 0,
) -> PurchasePlan:
    """The plan of a solution.

    Parameters
    ----------
    reach : Reach
    pools : tuple of Pool
    prices : Prices
    solution : Solution
    bound : int
        Lower bound of the cost in coins.
    unmet : tuple of Unmet
    rounds : int

    Returns
    -------
    PurchasePlan
    """
    orders = _orders(reach, prices, solution.bought)
    pieces: list[CutPiece] = []
    shares: dict[tuple[str, str], int] = {}
    lengths: set[str] = set()
    for pool, layout in zip(pools, solution.layouts, strict=True):
        for filled in _filled(pool, _tidy(pool.task(solution.bought), layout, pool.measure), solution.bought):
            if pool.measure is Measure.CUTS:
                pieces.append(_piece(reach, filled))
                continue
            for need, _, atoms in filled.taken:
                key = (need, reach.sources[filled.source].ref)
                shares[key] = shares.get(key, 0) + atoms
                if pool.measure is Measure.METRES:
                    lengths.add(need)
    cost = prices.cost(solution.bought)
    return PurchasePlan(
        orders=orders,
        pieces=tuple(sorted(pieces, key=lambda piece: (piece.kind, piece.number > 0, piece.source, piece.number))),
        shares=tuple(
            Share(need, source, length_m=atoms / 1000) if need in lengths else Share(need, source, atoms)
            for (need, source), atoms in sorted(shares.items())
        ),
        unmet=unmet,
        goods=sum((order.goods for order in orders), 0 * prices.coin),
        carriage=sum((order.carriage for order in orders), 0 * prices.coin),
        cost=prices.money(cost),
        lower_bound=prices.money(bound),
        gap=(cost - bound) / cost if cost else 0.0,
        is_proven=bound == cost,
        rounds=rounds,
    )


def _orders(reach: Reach, prices: Prices, bought: dict[int, int]) -> tuple[SupplierOrder, ...]:
    goods = prices.goods_of(bought)
    orders = []
    for number, name in enumerate(supplier_names(reach)):
        if number not in goods:
            continue
        lines = []
        for source in sorted(
            source for source in bought if bought[source] and prices.offers[source].supplier == number
        ):
            offer, packs = reach.sources[source].offer, bought[source]
            assert offer is not None
            net = prices.money(prices.offers[source].goods(packs))
            price = net / packs
            lines.append(OrderLine(offer.ref, offer.kind, packs, price, net, reach.sources[source].arrives))
        value, carriage = goods[number], prices.terms[number].carriage_on(goods[number])
        orders.append(
            SupplierOrder(
                name, tuple(lines), prices.money(value), prices.money(carriage), prices.money(value + carriage)
            )
        )
    return tuple(orders)


def _tidy(task: Task, layout: Layout, measure: Measure) -> Layout:
    """The same cuts from the same rolls so that what is left lies together: of the quick layouts and this one."""
    if measure is not Measure.CUTS:
        return layout
    whole = [layout, *(other for other in quick_layouts(task) if is_whole(task, other))]
    return max(whole, key=lambda one: _togetherness(task, one))


def _togetherness(task: Task, layout: Layout) -> int:
    """Sum of squares of what is left of every piece, whole ones included."""
    whole = list(task.bins)
    total = 0
    for kind, filling in layout:
        whole[kind] -= 1
        total += (task.capacities[kind] - sum(task.sizes[item] * n for item, n in filling)) ** 2
    return total + sum(n * capacity**2 for n, capacity in zip(whole, task.capacities, strict=True))


def _filled(pool: Pool, layout: Layout, bought: dict[int, int]) -> Iterator[_Filled]:
    """Every piece that is cut or bought; stock is used first, and the soonest need is served first."""
    waiting = [_atoms(item.needs, one_by_one=pool.measure is Measure.CUTS) for item in pool.items]
    fillings: list[deque[Filling]] = [deque() for _ in pool.bins]
    for kind, filling in sorted(layout):
        fillings[kind].append(filling)
    for one, mine in zip(pool.bins, fillings, strict=True):
        rolls = [(source, n) for source in one.offers for n in range(1, bought.get(source, 0) + 1)]
        for source, number in (*((source, 0) for source in one.stock), *rolls):
            filling = mine.popleft() if mine else ()
            if filling or number:
                taken = [each for item, n in filling for each in _take(waiting[item], n)]
                yield _Filled(source, number, tuple(taken))


def _atoms(needs: tuple[tuple[str, int], ...], *, one_by_one: bool) -> deque[tuple[str, int, int]]:
    if one_by_one:
        return deque((ref, number, 1) for ref, count in needs for number in range(1, count + 1))
    return deque((ref, 0, count) for ref, count in needs)


def _take(waiting: deque[tuple[str, int, int]], wanted: int) -> Iterator[tuple[str, int, int]]:
    while wanted:
        ref, number, atoms = waiting.popleft()
        n = min(wanted, atoms)
        wanted -= n
        if atoms > n:
            waiting.appendleft((ref, number, atoms - n))
        yield ref, number, n


def _piece(reach: Reach, filled: _Filled) -> CutPiece:
    source = reach.sources[filled.source]
    lengths = {need.ref: need for need in reach.week.needs}
    cuts = []
    left = source.capacity
    for ref, number, _ in filled.taken:
        need = lengths[ref]
        assert need.length_m is not None
        cuts.append(Cut(ref, number, need.length_m))
        left -= reach.size(need)
    cuts.sort(key=lambda cut: (-cut.length_m, cut.need, cut.number))
    return CutPiece(
        source=source.ref,
        number=filled.number,
        kind=source.kind.key,
        length_m=source.capacity / 1000,
        cuts=tuple(cuts),
        left_m=left / 1000,
        is_scrap=left / 1000 < reach.week.settings.min_useful_offcut_m,
    )
