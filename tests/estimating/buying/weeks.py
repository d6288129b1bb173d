"""Invented weeks of work, by seed: jobs, kinds, suppliers, offcuts."""

from __future__ import annotations

import random
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from estimating.buying.kinds import Kind, Measure, SubstituteRule
from estimating.buying.week import Need, Offer, PriceBreak, Settings, StockPiece, Supplier, Week

MONDAY = date(2026, 3, 2)
AREAS_MM2 = (0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0)
COLOURS = ("BK", "RD", "BN", "YE", "GN", "BU", "VT", "WH", "RD/BK", "GN/WH", "BN/YE", "BU/RD")
ROLLS_M = (5.0, 10.0, 25.0, 50.0, 100.0)
SHORT_ROLLS_M = (5.0, 7.5, 10.0, 12.0)


@dataclass(frozen=True)
class Made:
    """How a week is made."""

    jobs: int = 8
    cuts: int = 400
    kinds: int = 25
    suppliers: int = 3
    parts: int = 0
    has_breaks: bool = False
    has_terms: bool = True
    skewed_cuts: int = 0
    has_substitutes: bool = False
    has_tight_dates: bool = False
    has_long_cuts: bool = False
    blade_loss_m: float = 0.0
    time_limit_s: float = 60.0


def made_week(seed: int, made: Made) -> Week:
    """The week of a seed."""
    chance = random.Random(seed)
    wires = [
        Kind(f"wire {area:g} mm² {colour}", Measure.CUTS, area, 125, colour)
        for area, colour in chance.sample([(a, c) for a in AREAS_MM2 for c in COLOURS], made.kinds)
    ]
    parts = [Kind(f"part {n}") for n in range(made.parts)]
    suppliers = tuple(_supplier(chance, n, made) for n in range(made.suppliers))
    return Week(
        today=MONDAY,
        kinds=(*wires, *parts),
        needs=(*_cuts(chance, wires, made), *_parts(chance, parts, made)),
        offers=tuple(
            offer
            for supplier in suppliers
            for offer in (
                *(o for wire in wires for o in _rolls(chance, wire, supplier.name, made)),
                *(_pack(chance, part, supplier.name, made) for part in parts),
            )
        ),
        suppliers=suppliers,
        stock=tuple(
            StockPiece(f"offcut {n}", chance.choice(wires).key, chance.randint(20, 900) / 100)
            for n in range(2 * made.kinds)
        ),
        rule=_rule(made),
        settings=Settings(blade_loss_m=made.blade_loss_m, time_limit_s=made.time_limit_s),
    )


def _supplier(chance: random.Random, n: int, made: Made) -> Supplier:
    if not made.has_terms:
        return Supplier(f"supplier {n}", carriage=Decimal(chance.randint(500, 1200)) / 100)
    return Supplier(
        f"supplier {n}",
        min_order=Decimal(chance.choice((0, 25, 40, 60))),
        carriage=Decimal(chance.randint(500, 1500)) / 100,
        carriage_free_from=Decimal(chance.choice((100, 150, 250, 400))),
    )


def _rule(made: Made) -> SubstituteRule:
    if not made.has_substitutes:
        return SubstituteRule()
    same = frozenset((a, b) for a in ("BK", "BN", "VT") for b in ("BK", "BN", "VT"))
    return SubstituteRule(colours=same, is_thicker_allowed=True, must_fit_terminal=False)


def _cuts(chance: random.Random, wires: list[Kind], made: Made) -> list[Need]:
    weights = [chance.uniform(0.3, 1.0) ** 2 for _ in wires]
    needs = []
    for n in range(made.cuts + made.skewed_cuts):
        wire = wires[0] if n >= made.cuts else wires[n] if n < len(wires) else chance.choices(wires, weights)[0]
        job = chance.randrange(made.jobs)
        length_m = round(min(9.5, max(0.15, chance.lognormvariate(0.6, 0.6))), 2)
        if made.has_long_cuts:
            length_m = round(chance.uniform(1.2, 4.9), 2)
        due = MONDAY + timedelta(days=job % 5 if made.has_tight_dates else 7 + job % 5)
        needs.append(Need(f"cut {n}", wire.key, due, 1, length_m, f"job {job}", f"circuit {n % 40}"))
    return needs


def _parts(chance: random.Random, parts: list[Kind], made: Made) -> list[Need]:
    return [
        Need(
            f"{part.key} job {job}",
            part.key,
            MONDAY + timedelta(days=7 + job % 5),
            chance.randint(1, 30),
            job=f"job {job}",
        )
        for part in parts
        for job in range(made.jobs)
    ]


def _breaks(chance: random.Random, price: int, made: Made) -> tuple[PriceBreak, ...]:
    breaks = [PriceBreak(1, Decimal(price) / 100)]
    if made.has_breaks:
        for quantity in sorted(chance.sample((3, 5, 10, 20), chance.choice((0, 1, 2)))):
            price = round(price * chance.uniform(0.88, 0.97))
            breaks.append(PriceBreak(quantity, Decimal(price) / 100))
    return tuple(breaks)


def _rolls(chance: random.Random, wire: Kind, supplier: str, made: Made) -> list[Offer]:
    assert wire.area_mm2 is not None
    per_m = (12 + 18 * wire.area_mm2) * chance.uniform(0.85, 1.25)
    return [
        Offer(
            f"{supplier} {wire.key} {roll:g} m",
            supplier,
            wire.key,
            _breaks(chance, max(1, round(per_m * roll**0.93 * chance.uniform(0.95, 1.05))), made),
            roll,
            lead_days=chance.choice((1, 2, 3)),
        )
        for roll in sorted(chance.sample(SHORT_ROLLS_M if made.has_long_cuts else ROLLS_M, 3))
    ]


def _pack(chance: random.Random, part: Kind, supplier: str, made: Made) -> Offer:
    pack = chance.choice((1, 5, 10, 25, 100))
    price = round(chance.uniform(8, 60) * pack**0.9)
    return Offer(f"{supplier} {part.key}", supplier, part.key, _breaks(chance, price, made), pack=pack)
