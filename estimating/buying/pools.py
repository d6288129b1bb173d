"""The week as pools: needs and sources that can reach one another, in whole numbers, each a question of its own."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from estimating.buying.kinds import Measure
from estimating.buying.packing.task import Task
from estimating.buying.reach import Reach
from estimating.buying.week import Need


@dataclass(frozen=True, slots=True)
class Item:
    """Equal atoms of one group.

    Parameters
    ----------
    group : int
        Needs that may draw on the same sources.
    size : int
        Of each [mm or pieces]; a cut with its blade loss.
    count : int
    needs : tuple of (str, int)
        Whose they are, and how many; soonest first.
    """

    group: int
    size: int
    count: int
    needs: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Bin:
    """A type of roll, offcut or pack: equal in capacity and in the groups it serves.

    Parameters
    ----------
    capacity : int
        [mm or pieces]
    serves : frozenset of int
        Groups.
    stock : tuple of int
        Sources that are here or on order, one piece each.
    offers : tuple of int
        Sources that can be bought, any number.
    """

    capacity: int
    serves: frozenset[int]
    stock: tuple[int, ...]
    offers: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Pool:
    """Needs and sources that have nothing to do with any other pool."""

    measure: Measure
    groups: int
    items: tuple[Item, ...]
    bins: tuple[Bin, ...]

    def demand(self, group: int) -> int:
        """Size of all items of a group."""
        return sum(item.size * item.count for item in self.items if item.group == group)

    def task(self, bought: dict[int, int]) -> Task:
        """The question whether the items fit the stock and what is bought (source: how many)."""
        return Task(
            sizes=tuple(item.size for item in self.items),
            counts=tuple(item.count for item in self.items),
            capacities=tuple(one.capacity for one in self.bins),
            bins=tuple(len(one.stock) + sum(bought.get(i, 0) for i in one.offers) for one in self.bins),
            allowed=tuple(
                tuple(n for n, item in enumerate(self.items) if item.group in one.serves) for one in self.bins
            ),
        )

    @property
    def offers(self) -> tuple[int, ...]:
        """Every source of the pool that can be bought."""
        return tuple(i for one in self.bins for i in one.offers)


def pools_of(reach: Reach, counts: dict[str, int]) -> tuple[Pool, ...]:
    """The pools of a week.

    Parameters
    ----------
    reach : Reach
    counts : dict of str to int
        Atoms of each need that are to be met.

    Returns
    -------
    tuple of Pool
        In order of the first kind in each.

    Examples
    --------
    >>> from estimating.buying.example import example_week
    >>> from estimating.buying.reach import reach_of
    >>> reach = reach_of(example_week())
    >>> pools = pools_of(reach, {need.ref: reach.atoms(need) for need in reach.week.needs})
    >>> [(str(pool.measure), pool.groups, len(pool.items), len(pool.bins)) for pool in pools]
    [('parts', 1, 1, 1), ('cuts', 1, 5, 3)]
    """
    wanted = [need for need in reach.week.needs if counts.get(need.ref, 0)]
    served: dict[tuple[str, date], tuple[int, ...]] = {}
    for need in wanted:
        served.setdefault((need.kind, need.needed_by), reach.of(need))
    pools = []
    for sources in _joined(sorted({*served.values()})):
        mine = [need for need in wanted if served[need.kind, need.needed_by][0] in sources]
        pools.append((min(need.kind for need in mine), _pool(reach, mine, counts, served)))
    return tuple(pool for _, pool in sorted(pools, key=lambda one: one[0]))


def _joined(lists: list[tuple[int, ...]]) -> list[set[int]]:
    """Sets of sources that some list ties together."""
    joined: list[set[int]] = []
    for sources in lists:
        touching = [known for known in joined if known & set(sources)]
        joined = [known for known in joined if not known & set(sources)]
        joined.append(set(sources).union(*touching))
    return joined


def _pool(
    reach: Reach, needs: list[Need], counts: dict[str, int], served: dict[tuple[str, date], tuple[int, ...]]
) -> Pool:
    signatures = sorted({served[need.kind, need.needed_by] for need in needs})
    group = {signature: number for number, signature in enumerate(signatures)}
    atoms: dict[tuple[int, int], list[Need]] = {}
    for need in sorted(needs, key=lambda need: (need.needed_by, need.ref)):
        atoms.setdefault((group[served[need.kind, need.needed_by]], reach.size(need)), []).append(need)
    items = tuple(
        Item(number, size, sum(counts[n.ref] for n in mine), tuple((n.ref, counts[n.ref]) for n in mine))
        for (number, size), mine in sorted(atoms.items(), key=lambda one: (one[0][0], -one[0][1]))
    )
    shortest = {number: min(item.size for item in items if item.group == number) for number in group.values()}
    bins = tuple(
        one for one in _bins(reach, signatures) if any(shortest[number] <= one.capacity for number in one.serves)
    )
    return Pool(reach.kinds[needs[0].kind].measure, len(signatures), items, bins)


def _bins(reach: Reach, signatures: list[tuple[int, ...]]) -> tuple[Bin, ...]:
    serves: dict[int, set[int]] = {}
    for number, signature in enumerate(signatures):
        for source in signature:
            serves.setdefault(source, set()).add(number)
    alike: dict[tuple[int, tuple[int, ...]], list[int]] = {}
    for source, groups in sorted(serves.items()):
        alike.setdefault((reach.sources[source].capacity, tuple(sorted(groups))), []).append(source)
    return tuple(
        Bin(
            capacity,
            frozenset(groups),
            tuple(i for i in sources if reach.sources[i].offer is None),
            tuple(i for i in sources if reach.sources[i].offer is not None),
        )
        for (capacity, groups), sources in sorted(alike.items())
    )
