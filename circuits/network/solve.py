"""The network in one state: switches thrown, relays as their coils say, fuses that would open opened."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from circuits.findings import Finding
from circuits.network.branches import Bools, Branches
from circuits.network.elements import LEAST_OHM, Load, Resistor, Source
from circuits.network.laws import Floats, figure
from circuits.network.linear import islands_of
from circuits.network.network_findings import network_finding
from circuits.network.operating import Point, operating_point
from circuits.units import format_current, format_voltage

MOST_STEPS = 200
"""Steps of relays and fuses, one after the other, before a state counts as never at rest."""

ALIKE = 1e-9
"""Share by which two fuses may differ and still be loaded alike: the first of the plan opens, not one by rounding."""


@dataclass(frozen=True)
class Solution:
    """One state solved.

    Parameters
    ----------
    branches : Branches
    point : Point
    on : array of bool
        True for each branch that conducts.
    pulled, oscillating, opened : tuple of str
        Relays pulled in; relays without a position they can keep; fuses that opened.
    findings : tuple of Finding
    """

    branches: Branches
    point: Point
    on: Bools
    pulled: tuple[str, ...]
    oscillating: tuple[str, ...]
    opened: tuple[str, ...]
    findings: tuple[Finding, ...]

    def voltage_v(self, node: str) -> float | None:
        """Voltage of a node against the reference [V]; None where it floats."""
        index = self.branches.node[node]
        return None if self.point.floating[index] else float(self.point.volt_v[index])

    def across_v(self, start: str, end: str) -> float | None:
        """Voltage from one node to another [V]; None where either floats."""
        from_v, to_v = self.voltage_v(start), self.voltage_v(end)
        return None if from_v is None or to_v is None else from_v - to_v

    def current_a(self, branch: str) -> float:
        """Current of a branch, from its start to its end [A]."""
        return float(self.point.current_a[self.branches.row[branch]])

    def load_current_a(self, load: Load) -> float:
        """Current of a load, positive from its supply side [A]."""
        return self.current_a(load.branch)


def solve(
    branches: Branches, positions: Mapping[str, str], *, open_fuses: bool = True, broken: Bools | None = None
) -> Solution:
    """Solve one state. Relays start at rest; a fuse that carries too much opens, the most overloaded first.

    Parameters
    ----------
    branches : Branches
    positions : mapping of str to str
        Position by function; a function without one is off.
    open_fuses : bool
        False to keep every fuse whole whatever it carries.
    broken : array of bool, optional
        Branches that do not conduct, whatever the state.

    Examples
    --------
    A relay that feeds its coil through its own contact at rest: a buzzer.

    >>> from circuits.network.branches import compile_branches
    >>> from circuits.network.elements import Network, Node, Relay
    >>> buzzer = Network(
    ...     (Node("minus"), Node("plus"), Node("coil")),
    ...     (Source("battery", "minus", "plus", 12.0, 0.01),
    ...      Relay("buzzer", "coil", "minus", "plus", "coil", 85.0, rest_closed=True)),
    ...     "minus")
    >>> solve(compile_branches(buzzer), {}).oscillating
    ('buzzer',)
    """
    emf_v = branches.forces_v(positions)
    pulled: frozenset[str] = frozenset()
    opened: dict[str, None] = {}
    oscillating: frozenset[str] = frozenset()
    thrown = branches.thrown(positions) & ~(np.zeros(len(branches.start), bool) if broken is None else broken)
    may_close = np.ones(len(branches.start), dtype=np.bool_) if broken is None else ~broken
    seen = [pulled]
    for _ in range(MOST_STEPS):
        on = _with_relays(branches, thrown, may_close, pulled)
        on[[branches.row[name] for name in opened]] = False
        point = operating_point(branches, on, emf_v)
        asked = _pulled_by(branches, point, pulled)
        if asked != pulled and not oscillating:
            if asked in seen:
                cycle = seen[seen.index(asked) :]
                oscillating = frozenset.union(*cycle) - frozenset.intersection(*cycle)
            else:
                seen.append(asked)
                pulled = asked
                continue
        blown = _most_overloaded(branches, point) if open_fuses else None
        if blown is None:
            break
        opened[blown] = None
        oscillating, seen = frozenset(), [pulled]
    solution = Solution(branches, point, on, tuple(sorted(pulled)), tuple(sorted(oscillating)), tuple(opened), ())
    return _with_findings(solution, emf_v)


def _with_relays(branches: Branches, thrown: Bools, may_close: Bools, pulled: frozenset[str]) -> Bools:
    on = thrown.copy()
    for rows in branches.relays:
        if rows.relay.name in pulled:
            on[rows.contact] = not rows.relay.rest_closed and may_close[rows.contact]
    return on


def _pulled_by(branches: Branches, point: Point, before: frozenset[str]) -> frozenset[str]:
    """Relays that the voltages over their coils pull in, or hold."""
    pulled = set()
    for rows in branches.relays:
        relay = rows.relay
        coil_v = abs(float(point.current_a[rows.coil])) / branches.conductance_s[rows.coil]
        if coil_v >= (relay.drop_out_v if relay.name in before else relay.pull_in_v):
            pulled.add(relay.name)
    return frozenset(pulled)


def _most_overloaded(branches: Branches, point: Point) -> str | None:
    """The fuse furthest beyond what opens it; None where all hold."""
    rows = branches.fuse_rows
    share = np.abs(point.current_a[rows]) / branches.rating_a[rows]
    worst = int(np.argmax(share >= (1.0 - ALIKE) * np.max(share))) if len(rows) else -1
    return branches.names[rows[worst]] if worst >= 0 and share[worst] >= figure("fuse_opens_share") else None


def _with_findings(solution: Solution, emf_v: Floats) -> Solution:
    found = (*_solver_findings(solution), *_source_findings(solution, emf_v), *_action_findings(solution))
    return Solution(
        solution.branches, solution.point, solution.on, solution.pulled, solution.oscillating, solution.opened, found
    )


def _solver_findings(solution: Solution) -> Iterator[Finding]:
    residual_a = solution.point.residual_a
    if np.isinf(residual_a):
        yield network_finding("network-singular", "", "The network cannot be solved in this state")
    elif not solution.point.is_held:
        message = f"The solution did not settle: currents are out by {residual_a:.2g} A"
        yield network_finding("network-unsettled", "", message, figure=f"{residual_a:.2g} A")


def _source_findings(solution: Solution, emf_v: Floats) -> Iterator[Finding]:
    if not solution.branches.sources:
        yield network_finding("network-no-source", "", "The network has no battery")
    for row, source in solution.branches.sources:
        if emf_v[row] < 0:
            message = f"{source.name} is connected the wrong way round"
            yield network_finding("network-reversed", source.circuit, message, figure=format_voltage(float(emf_v[row])))
        current_a = abs(float(solution.point.current_a[row]))
        if emf_v[row] and current_a * max(source.ohm, LEAST_OHM) > 0.5 * abs(emf_v[row]):
            message = f"{source.name} is shorted: {format_current(current_a)} flow"
            yield network_finding("network-shorted", source.circuit, message, figure=format_current(current_a))


def _action_findings(solution: Solution) -> Iterator[Finding]:
    elements = {element.name: element for element in solution.branches.network.elements}
    for name in solution.oscillating:
        relay = elements[name]
        yield network_finding("relay-oscillates", relay.circuit, f"{name} finds no position it can keep: it chatters")
    for name in solution.opened:
        fuse = elements[name]
        assert isinstance(fuse, Resistor)
        assert fuse.rating_a is not None
        message = f"{name} opens: more than {figure('fuse_opens_share'):.0%} of {format_current(fuse.rating_a)}"
        yield network_finding("fuse-would-open", fuse.circuit, message, limit=format_current(fuse.rating_a))


def structure_findings(branches: Branches) -> tuple[Finding, ...]:
    """What is wrong with a network whatever its switches do: floating nodes, elements without resistance, no source.

    Parameters
    ----------
    branches : Branches

    Examples
    --------
    >>> from circuits.network.branches import compile_branches
    >>> from circuits.network.elements import Network, Node
    >>> loose = Network((Node("minus"), Node("a"), Node("b")), (Resistor("wire", "a", "b", 0.0),), "minus")
    >>> [found.code for found in structure_findings(compile_branches(loose))]
    ['network-floating', 'network-zero-ohm', 'network-no-source']
    """
    network, found = branches.network, []
    floating = islands_of(len(network.nodes), branches.start, branches.end, branches.reference).floating
    loose = [node.name for node, is_loose in zip(network.nodes, floating, strict=True) if is_loose]
    if loose:
        named = ", ".join(loose[:5]) + (f" and {len(loose) - 5} more" if len(loose) > 5 else "")
        found.append(network_finding("network-floating", "", f"Nothing joins to the battery: {named}"))
    for element in network.elements:
        if isinstance(element, Resistor | Source) and element.ohm < LEAST_OHM:
            message = f"{element.name} has no resistance to speak of"
            found.append(network_finding("network-zero-ohm", element.circuit, message, figure=f"{element.ohm:g} ohm"))
    if not any(isinstance(element, Source) for element in network.elements):
        found.append(network_finding("network-no-source", "", "The network has no battery"))
    return tuple(found)
