"""Quick ways to pack: best fit, and filling one bin after the other as full as it gets (subset sums as bits)."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterator, Sequence

from estimating.buying.packing.task import Layout, Task


def chunks(count: int) -> Iterator[int]:
    """Splits a count so that every number up to it is a sum of some chunks.

    Examples
    --------
    >>> list(chunks(10))
    [1, 2, 4, 3]
    """
    step = 1
    while count > 0:
        yield min(step, count)
        count -= step
        step *= 2


def fullest(capacity: int, items: Sequence[tuple[int, int, int]]) -> dict[int, int]:
    """The choice of items that fills a bin best, using up early items first.

    Parameters
    ----------
    capacity : int
    items : sequence of (int, int, int)
        Item, its size, how many there are.

    Returns
    -------
    dict of int to int
        How many of each item.

    Examples
    --------
    >>> fullest(10, [(0, 6, 1), (1, 5, 2), (2, 3, 1)])
    {1: 2}
    """
    mask = (1 << (capacity + 1)) - 1
    reached, steps = 1, []
    for item, size, count in items:
        for n in chunks(min(count, capacity // size)):
            steps.append((item, n, n * size, reached))
            reached |= (reached << (n * size)) & mask
        if reached >> capacity:
            break
    at = reached.bit_length() - 1
    chosen: dict[int, int] = {}
    for item, n, size, before in reversed(steps):
        if size <= at and before >> (at - size) & 1:
            at -= size
            chosen[item] = chosen.get(item, 0) + n
    return chosen


def best_fit(task: Task) -> Layout | None:
    """Longest item first, each into the bin it leaves least room in; None where one finds no room.

    Examples
    --------
    >>> best_fit(Task((6, 4, 3), (1, 1, 2), (10, 6), (1, 1), ((0, 1, 2), (0, 1, 2))))
    ((0, ((1, 1), (2, 2))), (1, ((0, 1),)))
    """
    rooms = [sorted((cap, k) for k in range(n)) for cap, n in zip(task.capacities, task.bins, strict=True)]
    held: dict[tuple[int, int], dict[int, int]] = {}
    served = [set(allowed) for allowed in task.allowed]
    for item in longest_first(task):
        size = task.sizes[item]
        for _ in range(task.counts[item]):
            found = []
            for kind, room in enumerate(rooms):
                at = bisect_left(room, (size, -1)) if item in served[kind] else len(room)
                if at < len(room):
                    found.append((room[at][0], kind, at))
            if not found:
                return None
            left, kind, at = min(found)
            _, number = rooms[kind].pop(at)
            insort(rooms[kind], (left - size, number))
            inside = held.setdefault((kind, number), {})
            inside[item] = inside.get(item, 0) + 1
    return tuple((kind, tuple(sorted(inside.items()))) for (kind, _), inside in sorted(held.items()))


def fill_in_turn(task: Task, kinds: Sequence[int], *, is_longest_forced: bool) -> Layout:
    """Fills the bins of these types one after the other; the layout may leave items over.

    Parameters
    ----------
    task : Task
    kinds : sequence of int
        Types of bin in the order they are filled.
    is_longest_forced : bool
        Whether each bin takes the longest item left that it holds.

    Returns
    -------
    Layout
    """
    left = list(task.counts)
    order = longest_first(task)
    layout = []
    for kind in kinds:
        allowed, capacity = set(task.allowed[kind]), task.capacities[kind]
        mine = [item for item in order if item in allowed and task.sizes[item] <= capacity]
        for _ in range(task.bins[kind]):
            here = [(item, task.sizes[item], left[item]) for item in mine if left[item]]
            if not here:
                break
            chosen = _filling(capacity, here, is_longest_forced=is_longest_forced)
            for item, n in chosen.items():
                left[item] -= n
            layout.append((kind, tuple(sorted(chosen.items()))))
    return tuple(layout)


def longest_first(task: Task) -> list[int]:
    """Items, those that few types of bin take first, then by size, longest first."""
    options = [0] * len(task.sizes)
    for allowed in task.allowed:
        for item in allowed:
            options[item] += 1
    return sorted(range(len(task.sizes)), key=lambda item: (options[item], -task.sizes[item], item))


def quick_layouts(task: Task) -> Iterator[Layout]:
    """Layouts by every quick way, whole or with items left over, in a fixed order.

    Examples
    --------
    >>> task = Task((5, 4, 3), (2, 2, 4), (10, 15), (1, 2), ((0, 1, 2), (0, 1, 2)))
    >>> any(is_whole(task, layout) for layout in quick_layouts(task))
    True
    """
    layout = best_fit(task)
    if layout is not None:
        yield layout
    rising = sorted(range(len(task.bins)), key=lambda kind: (len(task.allowed[kind]), task.capacities[kind], kind))
    falling = sorted(rising, key=lambda kind: (len(task.allowed[kind]), -task.capacities[kind], kind))
    for kinds in (rising, falling) if rising != falling else (rising,):
        for forced in (True, False):
            yield fill_in_turn(task, kinds, is_longest_forced=forced)


def is_whole(task: Task, layout: Layout) -> bool:
    """Whether a layout leaves no item over.

    Examples
    --------
    >>> is_whole(Task((5,), (2,), (10,), (1,), ((0,),)), ((0, ((0, 1),)),))
    False
    """
    return not any(task.less(layout).counts)


def _filling(capacity: int, here: list[tuple[int, int, int]], *, is_longest_forced: bool) -> dict[int, int]:
    if not is_longest_forced:
        return fullest(capacity, here)
    item, size, count = here[0]
    rest = [(item, size, count - 1), *here[1:]] if count > 1 else here[1:]
    chosen = fullest(capacity - size, rest)
    chosen[item] = chosen.get(item, 0) + 1
    return chosen
