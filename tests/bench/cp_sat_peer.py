"""One big model as the peer: each cut to one of the rolls it could come from, with packs, breaks, carriage at once."""

from __future__ import annotations

from itertools import pairwise

from ortools.sat.python import cp_model

from estimating.buying.bounds import first_fit_bins, most_packs
from estimating.buying.costs import Prices, prices_of
from estimating.buying.pools import Pool, pools_of
from estimating.buying.reach import reach_of
from estimating.buying.week import Week

Line = tuple[cp_model.IntVar, cp_model.IntVar]
"""Packs of an offer and the value of its goods."""

SPARE_PACKS = 2


def cp_sat_cost(week: Week, seconds: float) -> tuple[float | None, float]:
    """Cost in money and lower bound after ``seconds`` on two workers; None where it found no plan at all."""
    reach = reach_of(week)
    pools = pools_of(reach, {need.ref: reach.atoms(need) for need in week.needs})
    prices = prices_of(reach)
    model = cp_model.CpModel()
    lines: dict[int, Line] = {}
    for pool in pools:
        lines |= _pool(model, pool, prices)
    cost = cp_model.LinearExpr.sum([value for _, value in lines.values()])
    for number, terms in enumerate(prices.terms):
        mine = [source for source in lines if prices.offers[source].supplier == number]
        goods = sum(lines[source][1] for source in mine)
        opened = model.new_bool_var("")
        for source in mine:
            model.add(lines[source][0] == 0).only_enforce_if(~opened)
        model.add(goods >= terms.min_order).only_enforce_if(opened)
        paid = model.new_bool_var("")
        if terms.free_from is None:
            model.add(paid == opened)
        else:
            model.add(goods >= terms.free_from).only_enforce_if(opened, ~paid)
        cost += terms.carriage * paid
    model.minimize(cost)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 2
    status = solver.solve(model)
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return (solver.objective_value / 100 if found else None), solver.best_objective_bound / 100


def _pool(model: cp_model.CpModel, pool: Pool, prices: Prices) -> dict[int, Line]:
    """Rolls one by one, each cut in one of them."""
    lines: dict[int, Line] = {}
    rolls: list[tuple[int, frozenset[int], cp_model.IntVar | None]] = []
    for one in pool.bins:
        rolls += [(one.capacity, one.serves, None) for _ in one.stock]
        for source in one.offers:
            offer = prices.offers[source]
            # Packs that only fill up an order make the model too large to find anything: it may do with fewer.
            top = min(most_packs(pool, source, offer, prices), first_fit_bins(pool, one) + SPARE_PACKS)
            used = [model.new_bool_var("") for _ in range(top)]
            for first, second in pairwise(used):
                model.add_implication(second, first)
            rolls += [(one.capacity, one.serves, each) for each in used]
            lines[source] = _line(model, prices, source, used, top)
    inside: list[list[tuple[int, cp_model.IntVar]]] = [[] for _ in rolls]
    for item in pool.items:
        taken = []
        for number, (capacity, serves, _) in enumerate(rolls):
            if item.group in serves and item.size <= capacity:
                count = model.new_int_var(0, min(item.count, capacity // item.size), "")
                taken.append(count)
                inside[number].append((item.size, count))
        model.add(sum(taken) == item.count)
    for (capacity, _, used_roll), held in zip(rolls, inside, strict=True):
        model.add(sum(size * n for size, n in held) <= (capacity if used_roll is None else capacity * used_roll))
    return lines


def _line(model: cp_model.CpModel, prices: Prices, source: int, used: list[cp_model.IntVar], top: int) -> Line:
    offer = prices.offers[source]
    packs = model.new_int_var(0, top, "")
    model.add(packs == sum(used))
    value = model.new_int_var(0, top * offer.tiers[0].price, "")
    holds = []
    for tier in offer.tiers:
        held = model.new_bool_var("")
        model.add(packs >= tier.low).only_enforce_if(held)
        if tier.high is not None:
            model.add(packs <= tier.high).only_enforce_if(held)
        model.add(value == packs * tier.price).only_enforce_if(held)
        holds.append(held)
    nothing = model.new_bool_var("")
    model.add(packs == 0).only_enforce_if(nothing)
    model.add(value == 0).only_enforce_if(nothing)
    model.add_exactly_one([*holds, nothing])
    return packs, value
