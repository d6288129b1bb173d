"""The search: the master proposes a purchase, the packing checks accept or refuse it, until none can be better."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import ceil, inf

from estimating.buying.assign import Solution, plan_of
from estimating.buying.costs import Prices, prices_of
from estimating.buying.first_fit import by_hand
from estimating.buying.kinds import Measure
from estimating.buying.master import Lesson, MoreOfSome, Weighed, solve_master
from estimating.buying.packing.check import check
from estimating.buying.packing.dive import quick
from estimating.buying.packing.repack import repack
from estimating.buying.packing.task import Effort, Fits, Layout, NotPacked, TooSmall, Verdict
from estimating.buying.pools import Pool, pools_of
from estimating.buying.purchase import PurchasePlan
from estimating.buying.reach import Reach, reach_of
from estimating.buying.remedies import unmet_of
from estimating.buying.scarce import ration
from estimating.buying.shares import share_out
from estimating.buying.watch import Progress, Watch
from estimating.buying.week import Week

BOUND_ROUNDING = 0.01
"""Coins by which the solver's bound may be off: costs are whole coins, so a bound just above one means the next."""

FIRST_NODES, NODES_GROWTH = 400, 10
"""Nodes the master may search before what it has is tried, and by how many times more once that could be cut."""

CHECK_SHARE = 0.15
"""Share of the time limit that one packing check may take."""

FIRST_MORE = 0.001
"""Share of its items' size by which a pool that was not packed is asked to hold more."""

GROWTH_STEPS = 8
"""Packs that are added one by one to a purchase that cannot be cut."""

GROWTH_REPACKED, GROWTH_MOVES = 4, 3000
"""Of the cheapest packs so many are tried by local search too, with so many moves."""


def plan_purchases(week: Week, watch: Watch | None = None) -> PurchasePlan:
    """What to buy for a week at the least total cost of goods and carriage, and which cut to take from what.

    Parameters
    ----------
    week : Week
    watch : Watch or None
        The caller's clock and ear. The same week gives the same plan unless the time limit strikes.

    Returns
    -------
    PurchasePlan
        Never dearer than first fit with the cheapest offers. Needs that nothing can meet in time are named with
        remedies; the rest is planned.

    Notes
    -----
    Stock costs nothing. Only offers that can serve some need are ordered, more of them where a price break, the least
    order or free carriage makes that pay. A plan is proven where its cost equals the lower bound.

    Examples
    --------
    >>> from estimating.buying.example import example_week
    >>> plan = plan_purchases(example_week())
    >>> plan.cost, plan.is_proven
    (Decimal('38.30'), True)
    >>> [(order.supplier, order.goods, order.carriage) for order in plan.orders]
    [('North', Decimal('32.30'), Decimal('6.00'))]
    """
    watch = watch or Watch()
    reach = reach_of(week)
    rationed = ration(reach)
    counts = {need.ref: reach.atoms(need) - rationed.missing.get(need.ref, 0) for need in week.needs}
    pools, prices = pools_of(reach, counts), prices_of(reach)
    first = by_hand(pools, prices, rationed.given)
    search = Search(reach, pools, prices, watch, Solution(first.bought, first.layouts), prices.cost(first.bought))
    search.run()
    unmet = unmet_of(reach, rationed.missing)
    return plan_of(reach, pools, prices, search.best, ceil(search.bound), unmet, search.rounds)


@dataclass(slots=True)
class Search:
    """State of one search. Costs and bounds are in coins."""

    reach: Reach
    pools: tuple[Pool, ...]
    prices: Prices
    watch: Watch
    best: Solution
    cost: int
    bound: float = 0.0
    rounds: int = 0
    lessons: list[Lesson] = field(default_factory=list)
    known: dict[tuple[int, tuple[int, ...]], Verdict] = field(default_factory=dict)

    def run(self) -> None:
        """Searches until proven, out of time, or at the end of what can be tried."""
        if not self.pools or not self.prices.offers:
            self.bound = self.cost
            return
        self._tell()
        nodes = FIRST_NODES
        while self.bound < self.cost and self._seconds_left() > 0:
            proposal = solve_master(self.pools, self.prices, self.lessons, self._seconds_left(), nodes)
            self.rounds += 1
            is_proof = all(lesson.is_proven for lesson in self.lessons)
            reached = ceil(proposal.bound - BOUND_ROUNDING) if proposal.bound > -inf else 0
            if is_proof:
                self.bound = min(max(self.bound, reached), self.cost)
            if (proposal.is_optimal and proposal.bought is None) or (not is_proof and reached >= self.cost):
                break
            is_taken = proposal.bought is None or self._try(proposal.bought)
            self._tell()
            if is_taken and proposal.is_optimal:
                break
            if is_taken:
                nodes *= NODES_GROWTH

    def _tell(self) -> None:
        self.watch.report(Progress(self.prices.money(self.cost), self.prices.money(ceil(self.bound)), self.rounds))

    def _seconds_left(self) -> float:
        return self.reach.week.settings.time_limit_s - self.watch.elapsed_s()

    def _try(self, bought: dict[int, int]) -> bool:
        """Cuts a purchase out, or learns why not; True where it can be cut."""
        layouts: list[Layout | None] = []
        for number, pool in enumerate(self.pools):
            verdict = self._verdict(number, pool, bought)
            layouts.append(verdict.layout if isinstance(verdict, Fits) else None)
            if not isinstance(verdict, Fits):
                self.lessons.append(self._lesson(number, pool, bought, verdict))
        whole = [layout for layout in layouts if layout is not None]
        if len(whole) == len(layouts):
            self._keep(bought, whole)
            return True
        grown = dict(bought)
        for number, pool in enumerate(self.pools):
            if layouts[number] is None:
                layouts[number] = _grow(pool, grown, self.prices, self._effort(GROWTH_MOVES))
        whole = [layout for layout in layouts if layout is not None]
        if len(whole) == len(layouts):
            self._keep(grown, whole)
        return False

    def _lesson(self, number: int, pool: Pool, bought: dict[int, int], verdict: Verdict) -> Lesson:
        """What a refusal teaches the master."""
        task = pool.task(bought)
        if isinstance(verdict, TooSmall):
            return Weighed(number, verdict.weights, verdict.least)
        assert isinstance(verdict, NotPacked)
        if verdict.is_impossible:
            return MoreOfSome(number, task.bins, verdict.kinds)
        # Not known to be impossible: ask for more all the same, each time for twice as much, and no longer count the
        # bound as proven.
        times = sum(lesson.pool == number and not lesson.is_proven for lesson in self.lessons)
        held = task.volume + task.slack
        more = max(1, round(task.volume * FIRST_MORE * 2**times))
        return Weighed(number, task.capacities, held + more, is_proven=False)

    def _effort(self, moves: int = Effort.moves) -> Effort:
        until_s = self.watch.elapsed_s() + CHECK_SHARE * self.reach.week.settings.time_limit_s
        return Effort(moves=moves, seconds_left=lambda: min(self._seconds_left(), until_s - self.watch.elapsed_s()))

    def _keep(self, bought: dict[int, int], layouts: list[Layout]) -> None:
        cost = self.prices.cost(bought)
        if cost < self.cost and self.prices.is_orderable(bought):
            self.best, self.cost = Solution(bought, tuple(layouts)), cost

    def _verdict(self, number: int, pool: Pool, bought: dict[int, int]) -> Verdict:
        task = pool.task(bought)
        key = (number, task.bins)
        if key not in self.known:
            if pool.measure is Measure.CUTS:
                self.known[key] = check(task, self._effort())
            else:
                layout = share_out(task)
                self.known[key] = NotPacked(is_impossible=True) if layout is None else Fits(layout)
        return self.known[key]


def _grow(pool: Pool, bought: dict[int, int], prices: Prices, effort: Effort) -> Layout | None:
    """Adds packs to a purchase until the quick ways can cut it; the cheapest pack that does, where one does."""
    for _ in range(GROWTH_STEPS):
        trials = []
        for source in pool.offers:
            offer = prices.offers[source]
            more = offer.orderable(bought.get(source, 0) + 1)
            added = offer.goods(more) - (offer.goods(bought[source]) if bought.get(source) else 0)
            trials.append((added, source, more))
        for rank, (_, source, more) in enumerate(sorted(trials)):
            task = pool.task({**bought, source: more})
            layout = quick(task) if pool.measure is Measure.CUTS else share_out(task)
            if layout is None and pool.measure is Measure.CUTS and rank < GROWTH_REPACKED:
                layout = repack(task, effort)
            if layout is not None:
                bought[source] = more
                return layout
        if not trials:
            return None
        _, source, more = min(trials)
        bought[source] = more
    return None
