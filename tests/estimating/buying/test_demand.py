"""Demand: nothing forgotten, nothing counted twice, the jobs behind every line kept."""

from __future__ import annotations

from datetime import date
from math import fsum, isclose

import pytest

from estimating.buying.demand import Cover, OpenLine, Reservation, arriving, covers_of, demand_lines, less_reserved
from estimating.buying.from_takeoff import job_needs
from estimating.buying.kinds import BuyingError, Kind, Measure
from estimating.buying.week import MAX_LENGTH_M, Need, Offer, PriceBreak, Settings, StockPiece, Supplier, Week
from estimating.takeoff.example import example_sized_plan
from estimating.takeoff.takeoff import take_off
from tests.estimating.buying.cast import MONDAY, NEXT_MONDAY, RED, SHOP, price

RELAYS = Need("r", "relay", NEXT_MONDAY, 4, job="J1", circuit="horn")


def test_what_is_set_aside_is_not_bought_again():
    assert less_reserved([RELAYS], [Reservation("r", 1), Reservation("r", 1)])[0].count == 2
    assert less_reserved([RELAYS], [Reservation("r", 4)]) == ()


@pytest.mark.parametrize(
    ("reservation", "message"),
    [(Reservation("r", 5), "5 set aside, 4 are needed"), (Reservation("x", 1), "there is no such need")],
)
def test_more_set_aside_than_needed_is_refused(reservation, message):
    with pytest.raises(BuyingError, match=message):
        less_reserved([RELAYS], [reservation])


def test_open_orders_become_stock_of_their_day():
    day = date(2026, 3, 5)
    assert arriving([OpenLine("PO 1/1", "relay", day, 4)]) == (StockPiece("PO 1/1", "relay", count=4, available=day),)
    rolls = arriving([OpenLine("PO 1/2", RED.key, day, 3, 25.0)])
    assert [roll.length_m for roll in rolls] == [25.0] * 3
    assert len({roll.ref for roll in rolls}) == 3


def test_lines_keep_jobs_and_circuits():
    other = Need("s", "relay", NEXT_MONDAY, 2, job="J2", circuit="lamps")
    sooner = Need("t", "relay", MONDAY, 1, job="J3")
    lines = demand_lines([RELAYS, other, sooner])
    assert [(line.needed_by, line.count) for line in lines] == [(MONDAY, 1), (NEXT_MONDAY, 6)]
    assert [(need.job, need.circuit) for need in lines[1].needs] == [("J1", "horn"), ("J2", "lamps")]


def test_lines_are_covered_by_what_is_there_in_time():
    line = demand_lines([RELAYS])[0]
    stock = [
        StockPiece("late", "relay", count=9, available=date(2026, 3, 10)),
        StockPiece("coming", "relay", count=1, available=NEXT_MONDAY),
        StockPiece("bin", "relay", count=2),
        StockPiece("fuses", "fuse", count=9),
    ]
    assert covers_of(line, 0, stock) == (Cover("bin", 2), Cover("coming", 1), Cover("", 1))
    assert covers_of(line, 3, stock) == (Cover("", 4),)


def test_a_job_asks_for_what_its_take_off_counts():
    sized = example_sized_plan()
    kinds, needs = job_needs(sized, job="J1", needed_by=NEXT_MONDAY)
    for part in take_off(sized):
        mine = [need for need in needs if need.kind == f"{part.kind} {part.spec}"]
        asked = fsum((need.length_m or 1.0) * need.count for need in mine)
        assert isclose(asked, part.quantity, rel_tol=1e-12), part
        assert {need.circuit for need in mine} <= {*part.circuits, ""}
    assert {need.kind for need in needs} == {kind.key for kind in kinds}
    assert Week(MONDAY, kinds, needs).needs == needs


def test_every_wire_is_a_cut_of_its_own():
    sized = example_sized_plan()
    _, needs = job_needs(sized, job="J1", needed_by=NEXT_MONDAY)
    cuts = {need.ref: need.length_m for need in needs if need.kind.startswith("wire ")}
    assert cuts == {f"J1/{w.wire.name}": w.wire.length_m for w in sized.wires if not w.wire.is_existing}


def test_a_wire_carries_what_decides_a_substitute():
    kinds, _ = job_needs(example_sized_plan(), job="J1", needed_by=NEXT_MONDAY)
    wire = next(kind for kind in kinds if kind.key == "wire 16 AWG BN")
    assert (wire.measure, wire.colour, wire.insulation_c) == (Measure.CUTS, "BN", 125)
    assert wire.area_mm2 == pytest.approx(1.31, abs=0.01)


BAD = {
    "need r: count": lambda: Need("r", "relay", MONDAY, 0),
    "need r: length must be": lambda: Need("r", "relay", MONDAY, 1, float("nan")),
    "length must be 0.001 to 10000 m": lambda: StockPiece("s", "wire", MAX_LENGTH_M * 2),
    "each length is entered alone": lambda: StockPiece("s", "wire", 3.0, count=2),
    "a roll is a pack of 1": lambda: Offer("o", "s", "k", price("1.00"), 5.0, pack=2),
    "a price is expected": lambda: Offer("o", "s", "k", ()),
    "must rise in quantity": lambda: Offer("o", "s", "k", price("1.00", (5, "2.00"))),
    "lead time must be": lambda: Offer("o", "s", "k", price("1.00"), lead_days=-1),
    "must be above 0, got 0": lambda: PriceBreak(1, 0 * price("1.00")[0].price),
    "min_order must be 0 or more": lambda: Supplier("s", min_order=-price("1.00")[0].price),
    "blade loss must be 0 to 0.1 m": lambda: Settings(blade_loss_m=1.0),
    "time limit must be above 0 s": lambda: Settings(time_limit_s=0.0),
    "workdays must be days": lambda: Settings(workdays=frozenset({7})),
    "least useful offcut": lambda: Settings(min_useful_offcut_m=float("nan")),
    "a kind needs a key": lambda: Kind(" "),
    "area must be above 0": lambda: Kind("k", Measure.CUTS, 0.0),
    "kind 'relay' is there twice": lambda: Week(MONDAY, (Kind("relay"), Kind("relay")), ()),
    "need r: kind 'relay' is not among": lambda: Week(MONDAY, (), (RELAYS,)),
    "supplier 'supplier' is not among": lambda: Week(
        MONDAY, (Kind("k"),), (), (Offer("o", "supplier", "k", price("1.00")),)
    ),
    "whole in 0.01 EUR": lambda: Week(
        MONDAY, (Kind("k"),), (), (Offer("o", "supplier", "k", price("1.001")),), (SHOP,)
    ),
    "is measured in cuts": lambda: Week(MONDAY, (RED,), (Need("r", RED.key, MONDAY),)),
}


@pytest.mark.parametrize(("message", "make"), BAD.items(), ids=BAD)
def test_bad_values_are_refused_by_name(message, make):
    with pytest.raises(BuyingError, match=message):
        make()
