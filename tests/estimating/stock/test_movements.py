"""Stock is its movements: what may move, what may not, and that a record stays as it was made."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import DatabaseError, IntegrityError, connection, transaction

from estimating.stock.models import FrozenMovementError, HoldingRow, MaterialRow, MovementRow, Reason
from estimating.stock.services import (
    Act,
    StockError,
    count,
    issue,
    keep,
    level_of,
    material_named,
    scrap,
    take_in,
)

pytestmark = pytest.mark.django_db
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
ACT = Act("Ada", NOON)
FOR_JOB = Act("Ada", NOON, "J-1")


@pytest.fixture
def wire():
    return material_named("wire", "14 AWG RD", 125)


@pytest.fixture
def fuse():
    return material_named("fuse", "blade 15 A")


@pytest.fixture
def roll(wire):
    return take_in(material=wire, amount=25_000, act=ACT)


def test_each_length_is_a_roll_with_a_label_of_its_own(wire, roll):
    other = take_in(material=wire, amount=25_000, act=ACT)
    assert [roll.label, other.label] == ["R-2026-001", "R-2026-002"]
    assert level_of(roll) == level_of(other) == 25_000


def test_counted_parts_join_their_bin(fuse):
    keep(material=fuse, bin_name="A3", low_level=0)
    fuse.refresh_from_db()
    first = take_in(material=fuse, amount=50, act=ACT)
    assert take_in(material=fuse, amount=10, act=ACT) == first
    assert take_in(material=fuse, amount=10, act=ACT, bin_name="B1") != first
    assert level_of(first) == 60
    assert MaterialRow.objects.with_level().get(pk=fuse.pk).level == 70


def test_a_cut_takes_its_length_and_the_blade(roll):
    issue(holding=roll, amount=2_000, act=FOR_JOB, blade_mm=3)
    assert level_of(roll) == 25_000 - 2_003
    assert set(roll.movements.values_list("reason", "amount")) == {
        (Reason.RECEIPT, 25_000),
        (Reason.ISSUE, -2_000),
        (Reason.BLADE, -3),
    }


def test_the_last_cut_loses_no_more_than_is_there(roll):
    issue(holding=roll, amount=25_000, act=FOR_JOB, blade_mm=3)
    assert level_of(roll) == 0


@pytest.mark.parametrize("amount", [25_001, 0, -1])
def test_nothing_goes_out_that_is_not_there(roll, amount):
    for act in (issue, scrap):
        with pytest.raises(StockError, match=r"R-2026-001|more than nothing"):
            act(holding=roll, amount=amount, act=FOR_JOB if act is issue else ACT)
    assert level_of(roll) == 25_000


def test_an_issue_names_its_job(roll):
    with pytest.raises(StockError, match="number of the job"):
        issue(holding=roll, amount=1, act=ACT)


def test_what_comes_back_is_an_offcut_of_its_own(wire, roll):
    issue(holding=roll, amount=2_000, act=FOR_JOB)
    back = take_in(material=wire, amount=800, act=FOR_JOB)
    assert back != roll
    assert back.movements.get().reason == Reason.RETURN


def test_a_count_enters_the_difference(roll):
    count(holding=roll, found=24_000, act=ACT)
    assert level_of(roll) == 24_000
    assert roll.movements.filter(reason=Reason.COUNT).get().amount == -1_000
    count(holding=roll, found=24_000, act=ACT)
    assert roll.movements.count() == 2, "nothing moved, nothing is entered"
    with pytest.raises(StockError, match="0 or more"):
        count(holding=roll, found=-1, act=ACT)


def test_an_act_of_the_same_key_is_done_once(wire, roll):
    act = Act("Ada", NOON, key="x")
    assert take_in(material=wire, amount=9, act=act) == take_in(material=wire, amount=9, act=act)
    out = Act("Ada", NOON, "J-1", key="y")
    for _ in range(2):
        issue(holding=roll, amount=1_000, act=out, blade_mm=2)
        scrap(holding=roll, amount=500, act=Act("Ada", NOON, key="z"))
    assert level_of(roll) == 25_000 - 1_002 - 500


def test_a_record_is_never_changed_by_the_model(roll):
    movement = roll.movements.get()
    movement.amount = 1
    for write in (
        movement.save,
        movement.delete,
        MovementRow.objects.all().delete,
        lambda: MovementRow.objects.update(amount=1),
    ):
        with pytest.raises(FrozenMovementError):
            write()
    assert level_of(roll) == 25_000


def test_the_database_refuses_to_change_a_record(roll):
    with pytest.raises(DatabaseError, match="never changed"), transaction.atomic():
        connection.cursor().execute("UPDATE stock_movementrow SET amount = 1")


def test_the_database_refuses_to_go_below_nothing(roll):
    row = MovementRow(holding=roll, reason=Reason.SCRAP, amount=-25_001, at=NOON, by="Ada")
    with pytest.raises(DatabaseError, match="below nothing"), transaction.atomic():
        row.save()


@pytest.mark.parametrize(
    ("reason", "amount", "job"),
    [
        ("receipt", -1, ""),
        ("issue", 1, "J-1"),
        ("scrap", 1, ""),
        ("count", 0, ""),
        ("return", 1, ""),
        ("issue", -1, ""),
    ],
)
def test_the_database_wants_signs_and_jobs_to_fit(roll, reason, amount, job):
    with pytest.raises(IntegrityError), transaction.atomic():
        MovementRow.objects.create(holding=roll, reason=reason, amount=amount, job=job, by="Ada")


def test_the_database_holds_one_roll_a_label_and_one_lot_a_bin(wire, fuse, roll):
    with pytest.raises(IntegrityError), transaction.atomic():
        HoldingRow.objects.create(material=wire, label=roll.label)
    HoldingRow.objects.create(material=fuse, bin="A")
    with pytest.raises(IntegrityError), transaction.atomic():
        HoldingRow.objects.create(material=fuse, bin="A")


def test_a_repair_is_cut_from_the_same_wire(wire):
    assert material_named("repair length", " 14  AWG RD", 125) == wire


def test_a_wire_of_no_known_size_is_refused():
    with pytest.raises(ValidationError, match="size"):
        material_named("wire", "red one", 125)


def test_low_is_below_the_level_that_is_kept(fuse):
    keep(material=fuse, bin_name="", low_level=20)
    lot = take_in(material=fuse, amount=20, act=ACT)
    assert not MaterialRow.objects.with_level().low().exists()
    issue(holding=lot, amount=1, act=FOR_JOB)
    assert MaterialRow.objects.with_level().low().get() == fuse
