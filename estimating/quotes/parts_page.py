"""What the parts page shows: the take-off by kind, with the circuits that caused it and, for those who may, prices."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from circuits.colours import parse_colour
from circuits.errors import QuantityError
from estimating.pricing.money import quantity_of
from estimating.pricing.price import PART_TEXTS
from estimating.pricing.quote import PartPrice
from estimating.quotes.csv_out import csv_bytes
from estimating.takeoff.parts import Part, PartKind, Unit
from estimating.workup import WorkUp

_FUSE_SPEC = re.compile(r"(?P<family>.+) (?P<rating>\d+(?:\.\d+)?) A")


@dataclass(frozen=True, slots=True)
class CircuitName:
    """A circuit by name, with the address of its page; empty where it has none."""

    name: str
    url: str


@dataclass(frozen=True, slots=True)
class PartLine:
    """One part.

    Parameters
    ----------
    part : Part
    words : str
        The spec without what is drawn beside it.
    colour : str
        Letters of a wire's colour; empty for other parts.
    family, rating_a : str, float or None
        Of a fuse, to draw it; empty and None for other parts.
    quantity : Decimal
        As it is sold: lengths to the centimetre.
    circuits : tuple of CircuitName
    price : PartPrice or None
        None where it has none, or where the reader may not see prices.
    """

    part: Part
    words: str
    colour: str
    family: str
    rating_a: float | None
    quantity: Decimal
    circuits: tuple[CircuitName, ...]
    price: PartPrice | None

    @property
    def is_length(self) -> bool:
        """True where it is counted in metres."""
        return self.part.unit is Unit.METRE


@dataclass(frozen=True, slots=True)
class PartsGroup:
    """The parts of one kind. ``net`` is None where prices are not shown."""

    title: str
    lines: tuple[PartLine, ...]
    net: Decimal | None


def parts_groups(workup: WorkUp, urls: Mapping[str, str], *, with_prices: bool) -> tuple[PartsGroup, ...]:
    """The take-off by kind, in the order of ``PartKind``.

    Parameters
    ----------
    workup : WorkUp
    urls : mapping of str to str
        Pages of circuits by name.
    with_prices : bool
        Without them no line or group carries any money.
    """
    prices = {(price.kind, price.spec, price.unit): price for price in workup.quote.part_prices} if with_prices else {}
    lines = [_line(part, urls, prices) for part in workup.parts]
    return tuple(
        PartsGroup(PART_TEXTS[kind], of_kind, _net(of_kind) if with_prices else None)
        for kind in PartKind
        if (of_kind := tuple(line for line in lines if line.part.kind is kind))
    )


def _line(part: Part, urls: Mapping[str, str], prices: Mapping[tuple[str, str, str], PartPrice]) -> PartLine:
    words, colour = _split_colour(part)
    fuse = _FUSE_SPEC.fullmatch(part.spec) if part.kind is PartKind.FUSE else None
    return PartLine(
        part=part,
        words=words,
        colour=colour,
        family=fuse["family"] if fuse else "",
        rating_a=float(fuse["rating"]) if fuse else None,
        quantity=quantity_of(part.quantity),
        circuits=tuple(CircuitName(name, urls.get(name, "")) for name in part.circuits),
        price=prices.get((part.kind, part.spec, part.unit)),
    )


def _split_colour(part: Part) -> tuple[str, str]:
    """``14 AWG RD/BK`` as ``14 AWG`` and ``RD/BK``; other specs stay whole."""
    size, _, last = part.spec.rpartition(" ")
    if part.kind in (PartKind.WIRE, PartKind.REPAIR_LENGTH) and size:
        try:
            return size, parse_colour(last)
        except QuantityError:
            pass
    return part.spec, ""


def _net(lines: Iterable[PartLine]) -> Decimal:
    return sum((line.price.net for line in lines if line.price), Decimal(0))


def parts_csv(groups: Iterable[PartsGroup], *, with_prices: bool) -> bytes:
    """The take-off as CSV; money only where the reader may see it."""
    header = ["kind", "spec", "quantity", "unit", "circuits"]
    if with_prices:
        header += ["unit_cost", "unit_price", "net", "supplier"]
    rows: list[list[str | Decimal | None]] = []
    for group in groups:
        for line in group.lines:
            part, price = line.part, line.price
            names = "; ".join(circuit.name for circuit in line.circuits)
            row: list[str | Decimal | None] = [str(part.kind), part.spec, line.quantity, str(part.unit), names]
            if with_prices:
                row += [price.unit_cost, price.unit_price, price.net, price.supplier] if price else [None] * 4
            rows.append(row)
    return csv_bytes(header, rows)
