"""A work-up in a page of plain text, for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from circuits.electrical.explain import explain
from circuits.figures import format_current, format_percent
from circuits.findings import Finding
from circuits.sized import Fuse, SizedCircuit
from estimating.labour.hours import Hours
from estimating.pricing.quote import PricedQuote
from estimating.workup import WorkUp


def summary_lines(workup: WorkUp) -> Iterator[str]:
    """The lines of the summary: circuits with their reasons, findings, hours, money.

    Parameters
    ----------
    workup : WorkUp

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> from estimating.workup import work_up_sized
    >>> print(next(summary_lines(work_up_sized(example_sized_plan()))))
    1 circuit, 5 wires, 1 fuse
    """
    sized = workup.sized
    counts = (len(sized.circuits), "circuit"), (len(sized.wires), "wire"), (len(sized.fuses), "fuse")
    yield ", ".join(f"{count} {word}{'' if count == 1 else 's'}" for count, word in counts)
    for circuit in sized.circuits:
        yield from _circuit(circuit)
    yield from _section("Findings", [_finding(finding) for finding in sized.findings])
    yield from _section("Hours", _hours(workup.hours))
    yield from _section("Quote", _quote(workup.quote))


def _section(title: str, lines: list[str]) -> Iterator[str]:
    yield ""
    yield title
    yield from lines or ["  none"]


def _circuit(sized: SizedCircuit) -> Iterator[str]:
    circuit = sized.circuit
    yield ""
    if not sized.wires:
        yield f"{circuit.name} ({circuit.section}): {circuit.disposition}, no wires"
        return
    drop = f"drop {format_percent(sized.drop_percent)} of {format_percent(sized.drop_limit_percent)}"
    if sized.drop_percent > sized.drop_limit_percent:
        drop += ", over it"
    yield f"{circuit.name} ({circuit.section}): {format_current(sized.current_a)}, {_fuse(sized.fuse)}, {drop}"
    for wire in sized.wires:
        ends = f"{wire.wire.start.place} to {wire.wire.end.place}"
        colour = wire.wire.colour or "colour not recorded"
        yield f"  {wire.wire.name}  {wire.wire.role}, {ends}, {wire.wire.length_m:.2f} m, {colour}"
        yield f"    {explain(wire)}"


def _fuse(fuse: Fuse | None) -> str:
    return f"{fuse.family} fuse {fuse.rating_a:g} A at {fuse.at}" if fuse else "no fuse of its own"


def _finding(finding: Finding) -> str:
    cure = f" Cure: {finding.cure}" if finding.cure else ""
    return f"  {finding.severity}: {finding.message} [{finding.code}]{cure}"


def _hours(hours: Hours) -> list[str]:
    rows = [*hours.sections, ("all", hours.total)]
    width = max(len(name) for name, _ in rows)
    return [f"  {name:<{width}}  mean {one.mean_h:6.1f} h   P80 {one.p80_h:6.1f} h" for name, one in rows]


def _quote(quote: PricedQuote) -> list[str]:
    amounts = [
        *((line.text, line.net) for line in quote.lines),
        ("net", quote.net),
        ("tax", quote.tax),
        ("total", quote.total),
        ("deposit", quote.deposit),
    ]
    width = max(len(text) for text, _ in amounts)
    unpriced = [f"  no price for {name}: not in the total" for name in quote.unpriced]
    return [f"  {text:<{width}}  {amount:>12} {quote.currency}" for text, amount in amounts] + unpriced
