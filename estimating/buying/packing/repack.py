"""Local search: a few bins are emptied and filled anew, again and again, until no item is left over.

Small sets of bins are refilled as full as they get (subset sums), in an order drawn anew each time from a generator
that always starts alike: equal questions get equal answers. Where a purchase has next to nothing to spare this finds
what rounding misses.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

from estimating.buying.packing.fill import fill_in_turn, fullest, is_whole
from estimating.buying.packing.task import Effort, Layout, Task

T = TypeVar("T")

SEED = 1
FEWEST, MOST = 2, 4
"""Bins that are emptied together."""

LOOK_EVERY = 50
"""Moves between two looks at the clock."""


@dataclass(slots=True)
class _Chance:
    """A linear congruential generator (Knuth, volume 2, 3.3.4): equal runs, whatever the interpreter."""

    state: int = SEED

    def below(self, end: int) -> int:
        """A number from 0 to below ``end``."""
        self.state = (self.state * 6364136223846793005 + 1442695040888963407) & 0xFFFFFFFFFFFFFFFF
        return (self.state >> 33) % end

    def first(self, things: list[T], number: int) -> None:
        """Brings ``number`` of them, drawn at random, to the front."""
        for n in range(min(number, len(things) - 1)):
            other = n + self.below(len(things) - n)
            things[n], things[other] = things[other], things[n]


@dataclass(slots=True)
class _Bin:
    kind: int
    held: dict[int, int]


def repack(task: Task, effort: Effort) -> Layout | None:
    """A whole layout by local search; None where it finds none.

    Parameters
    ----------
    task : Task
    effort : Effort

    Returns
    -------
    Layout or None

    Examples
    --------
    >>> task = Task((5, 4, 3), (2, 2, 4), (10, 15), (1, 2), ((0, 1, 2), (0, 1, 2)))
    >>> is_whole(task, repack(task, Effort()))
    True
    """
    search = _Search(task, _Chance())
    for move in range(effort.moves):
        if not search.over_size:
            break
        if move % LOOK_EVERY == 0 and effort.seconds_left() <= 0:
            return None
        search.move()
    layout = search.layout()
    return layout if is_whole(task, layout) else None


class _Search:
    """Bins with what they hold, and the items left over."""

    def __init__(self, task: Task, chance: _Chance) -> None:
        self.task, self.chance = task, chance
        order = sorted(range(len(task.bins)), key=lambda kind: (len(task.allowed[kind]), task.capacities[kind]))
        self.bins = [_Bin(kind, dict(filling)) for kind, filling in fill_in_turn(task, order, is_longest_forced=True)]
        filled = [0] * len(task.bins)
        for one in self.bins:
            filled[one.kind] += 1
        self.bins += [_Bin(kind, {}) for kind, n in enumerate(task.bins) for _ in range(n - filled[kind])]
        self.allowed = [frozenset(items) for items in task.allowed]
        self.over = {item: n for item, n in enumerate(task.less(self.layout()).counts) if n}
        self.over_size = self._size(self.over)

    def _size(self, items: dict[int, int]) -> int:
        return sum(self.task.sizes[item] * n for item, n in items.items())

    def layout(self) -> Layout:
        """What the bins hold now."""
        return tuple((one.kind, tuple(sorted(one.held.items()))) for one in self.bins if one.held)

    def move(self) -> None:
        """Empties some bins and fills them anew; kept where no more is left over than before."""
        chosen = self._chosen()
        loose = dict(self.over)
        for one in chosen:
            for item, n in one.held.items():
                loose[item] = loose.get(item, 0) + n
        filled = [self._refill(one, loose) for one in chosen]
        size = self._size(loose)
        if size > self.over_size:
            return
        for one, held in zip(chosen, filled, strict=True):
            one.held = held
        self.over = {item: n for item, n in loose.items() if n}
        self.over_size = size

    def _chosen(self) -> list[_Bin]:
        """Bins at random, one of them such that what is left over may go there."""
        over = list(self.over)
        item = over[self.chance.below(len(over))]
        fitting = [
            one
            for one in self.bins
            if item in self.allowed[one.kind] and self.task.sizes[item] <= self.task.capacities[one.kind]
        ]
        among = fitting or self.bins
        first = among[self.chance.below(len(among))]
        number = FEWEST + self.chance.below(MOST - FEWEST + 1)
        self.chance.first(self.bins, number)
        others = [one for one in self.bins[:number] if one is not first]
        return [*others[: number - 1], first]

    def _refill(self, one: _Bin, loose: dict[int, int]) -> dict[int, int]:
        """Fills a bin from what is loose, as full as it gets; the order decides between equals."""
        allowed, capacity = self.allowed[one.kind], self.task.capacities[one.kind]
        mine = [
            (item, size, n)
            for item, n in loose.items()
            if n and item in allowed and (size := self.task.sizes[item]) <= capacity
        ]
        self.chance.first(mine, len(mine))
        held = fullest(capacity, mine)
        for item, n in held.items():
            loose[item] -= n
        return held
