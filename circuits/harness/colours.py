"""Colours for groups of wires, so that no two that lie side by side or sit in one connector look alike.

First fit in plan order, each group by its own order of preference: so a group added at the end changes none before it,
and one taken out frees its colour for few. Where that leaves a group without a colour of its own palette, the graph of
what lies side by side is coloured anew by a library, smallest degree last; what then is left takes a colour of another
palette, and only where there is none repeats one.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain, combinations
from zlib import crc32

CROWD = 2
"""Groups in one area, as a multiple of the colours of their palette, beyond which colours are given as they come."""


@dataclass(frozen=True, slots=True)
class Group:
    """Wires that bear one colour.

    Parameters
    ----------
    name : str
        Unique.
    areas : frozenset
        Runs it lies in and connectors it sits in: groups that share one must differ.
    palette : tuple of str
        Colours that suit it, best first as a whole; groups with one palette share it.
    given : str
        Colour it has whatever the others have; empty = to be chosen.
    """

    name: str
    areas: frozenset[Hashable]
    palette: tuple[str, ...] = ()
    given: str = ""


@dataclass(frozen=True, slots=True)
class Clash:
    """Two groups of the same colour, and what they share. The first was there first."""

    first: str
    second: str
    area: Hashable


def assign(groups: Sequence[Group], spare: Sequence[str] = ()) -> dict[str, str]:
    """Colour of each group, by name.

    Parameters
    ----------
    groups : sequence of Group
        Those to choose for must have a palette.
    spare : sequence of str
        Colours for when a palette runs out.

    Examples
    --------
    >>> trunk = frozenset({0})
    >>> reds = ("RD", "RD/BK")
    >>> assign([Group("horn", trunk, reds), Group("fan", trunk, reds), Group("pump", trunk, given="RD")], ["OG"])
    {'pump': 'RD', 'horn': 'RD/BK', 'fan': 'OG'}
    """
    book = _Book()
    for group in groups:
        if group.given:
            book.enter(group, group.given)
    by_palette: defaultdict[tuple[str, ...], list[Group]] = defaultdict(list)
    for group in groups:
        if not group.given:
            by_palette[group.palette].append(group)
    left = [group for palette, alike in by_palette.items() for group in _within(palette, alike, book)]
    rank = {group.name: number for number, group in enumerate(groups)}
    for group in sorted(left, key=lambda group: rank[group.name]):
        offered = [*group.palette, *_preferred(group.name, spare)]
        free = book.free(group, offered)
        book.enter(group, next(free, None) or book.least_used(group, offered))
    return book.colours


def clashes(groups: Iterable[Group], colours: Mapping[str, str]) -> Iterator[Clash]:
    """Each group that shares a colour and an area with one before it: the first such, once.

    Examples
    --------
    >>> one, other = (Group(name, frozenset({"C1"}), (), "RD") for name in ("horn", "fan"))
    >>> [clash.area for clash in clashes([one, other], {"horn": "RD", "fan": "RD"})]
    ['C1']
    """
    seen: dict[tuple[Hashable, str], str] = {}
    for group in groups:
        found = [(area, seen[area, colours[group.name]]) for area in group.areas if (area, colours[group.name]) in seen]
        if found:
            area, first = min(found, key=lambda one: (not isinstance(one[0], str), str(one[0])))
            yield Clash(first, group.name, area)
        for area in group.areas:
            seen.setdefault((area, colours[group.name]), group.name)


class _Book:
    """Colours given so far, and who uses them where."""

    def __init__(self) -> None:
        self.colours: dict[str, str] = {}
        self._used: defaultdict[Hashable, dict[str, int]] = defaultdict(dict)

    def enter(self, group: Group, colour: str) -> None:
        self.colours[group.name] = colour
        for area in group.areas:
            self._used[area][colour] = self._used[area].get(colour, 0) + 1

    def taken(self, group: Group) -> set[str]:
        return set().union(*(self._used[area].keys() for area in group.areas))

    def free(self, group: Group, offered: Iterable[str]) -> Iterator[str]:
        taken = self.taken(group)
        return (colour for colour in offered if colour not in taken)

    def least_used(self, group: Group, offered: Sequence[str]) -> str:
        return min(offered, key=lambda colour: sum(self._used[area].get(colour, 0) for area in group.areas))


def _preferred(name: str, colours: Sequence[str]) -> list[str]:
    """Colours in an order of the group's own, plain ones first: which it gets then hardly depends on the others."""
    return sorted(
        colours, key=lambda colour: ("/" in colour, crc32(f"{name} {colour}".encode()) if "/" in colour else 0)
    )


def _within(palette: Sequence[str], groups: list[Group], book: _Book) -> list[Group]:
    """Colour groups of one palette and enter them; those it has no colour for are left."""
    areas = frozenset[Hashable]().union(*(group.areas for group in groups))
    fixed = {area: set(book.taken(Group("", frozenset({area})))) for area in areas}
    chosen = _first_fit(palette, groups, fixed)
    if len(chosen) < len(groups) and not _is_crowd(palette, groups):
        again = _smallest_last(palette, groups, fixed)
        chosen = again if len(again) > len(chosen) else chosen
    for group in groups:
        if group.name in chosen:
            book.enter(group, chosen[group.name])
    return [group for group in groups if group.name not in chosen]


def _is_crowd(palette: Sequence[str], groups: Iterable[Group]) -> bool:
    """True where so many lie together that no order helps, and looking for one would take long."""
    here = Counter(area for group in groups for area in group.areas)
    return max(here.values(), default=0) > CROWD * len(palette)


def _first_fit(
    palette: Sequence[str], groups: Iterable[Group], fixed: Mapping[Hashable, set[str]]
) -> dict[str, str]:  # fmt: skip
    used = {area: set(taken) for area, taken in fixed.items()}
    bases = list(dict.fromkeys(colour.partition("/")[0] for colour in palette))
    chosen: dict[str, str] = {}
    for group in groups:
        taken: set[str] = set().union(*(used[area] for area in group.areas))
        for base in bases:
            family = [colour for colour in palette if colour.partition("/")[0] == base and colour not in taken]
            if family:
                colour = family[0] if family[0] == base else _preferred(group.name, family)[0]
                chosen[group.name] = colour
                for area in group.areas:
                    used[area].add(colour)
                break
    return chosen


def _smallest_last(
    palette: Sequence[str], groups: Iterable[Group], fixed: Mapping[Hashable, set[str]]
) -> dict[str, str]:  # fmt: skip
    """Colour the graph of groups that share areas, with each colour of the palette as a node that has it already."""
    import networkx as nx  # slow to load, and few plans come here

    members: defaultdict[Hashable, list[str]] = defaultdict(list)
    graph: nx.Graph[tuple[str, str]] = nx.Graph()
    colours = [("colour", colour) for colour in palette]
    graph.add_nodes_from(colours)
    graph.add_edges_from(combinations(colours, 2))
    names = []
    for group in groups:
        names.append(("group", group.name))
        graph.add_node(names[-1])
        for area in group.areas:
            members[area].append(group.name)
            graph.add_edges_from((names[-1], node) for node in colours if node[1] in fixed[area])
    for here in members.values():
        graph.add_edges_from((("group", one), ("group", other)) for one, other in combinations(here, 2))

    def order(graph: nx.Graph[tuple[str, str]], found: dict[tuple[str, str], int]) -> Iterator[tuple[str, str]]:
        return chain(colours, nx.coloring.strategy_smallest_last(graph.subgraph(names), found))

    number = nx.greedy_color(graph, strategy=order)
    return {name: palette[number["group", name]] for _, name in names if number["group", name] < len(palette)}
