"""Any sequence of movements: never below nothing, no metre made or lost, twice is once."""

from __future__ import annotations

from datetime import UTC, datetime
from itertools import count as numbers

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, consumes, invariant, rule, run_state_machine_as_test

from estimating.stock.models import HoldingRow, MovementRow, Reason
from estimating.stock.services import Act, StockError, count, issue, level_of, material_named, scrap, take_in

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
AMOUNTS = st.integers(-5, 30_000)
NUMBERS = numbers()


class Stock(RuleBasedStateMachine):
    """A material, its rolls, and the same told apart by hand."""

    rolls = Bundle("rolls")

    def __init__(self) -> None:
        super().__init__()
        self.material = material_named("wire", f"14 AWG C{next(NUMBERS)}", 125)
        self.levels: dict[int, int] = {}
        self.acts = 0

    def act(self, job: str = "") -> Act:
        self.acts += 1
        return Act("Ada", NOON, job, key=f"{self.material.pk} {self.acts}")

    @rule(target=rolls, amount=st.integers(1, 100_000), is_return=st.booleans(), is_doubled=st.booleans())
    def comes(self, amount: int, is_return: bool, is_doubled: bool) -> HoldingRow:
        act = self.act("J-1" if is_return else "")
        roll = take_in(material=self.material, amount=amount, act=act)
        if is_doubled:
            assert take_in(material=self.material, amount=amount, act=act) == roll
        self.levels[roll.pk] = amount
        return roll

    @rule(roll=rolls, amount=AMOUNTS, blade=st.integers(0, 50), is_doubled=st.booleans())
    def goes_to_a_job(self, roll: HoldingRow, amount: int, blade: int, is_doubled: bool) -> None:
        act, level = self.act("J-1"), self.levels[roll.pk]
        try:
            issue(holding=roll, amount=amount, act=act, blade_mm=blade)
            if is_doubled:
                issue(holding=roll, amount=amount, act=act, blade_mm=blade)
        except StockError:
            assert amount <= 0 or amount > level
        else:
            self.levels[roll.pk] = max(0, level - amount - blade)

    @rule(roll=rolls, amount=AMOUNTS)
    def is_scrapped(self, roll: HoldingRow, amount: int) -> None:
        try:
            scrap(holding=roll, amount=amount, act=self.act())
        except StockError:
            assert amount <= 0 or amount > self.levels[roll.pk]
        else:
            self.levels[roll.pk] -= amount

    @rule(roll=consumes(rolls), found=st.integers(0, 50_000))
    def is_measured(self, roll: HoldingRow, found: int) -> None:
        count(holding=roll, found=found, act=self.act())
        self.levels[roll.pk] = found

    @invariant()
    def levels_are_those_told_by_hand(self) -> None:
        rows = {row.pk: row.level for row in self.material.holdings.with_level()}
        assert rows == self.levels
        assert all(level >= 0 for level in rows.values())

    @invariant()
    def every_millimetre_is_accounted_for(self) -> None:
        sums = dict.fromkeys(Reason, 0)
        for movement in MovementRow.objects.filter(holding__material=self.material):
            sums[Reason(movement.reason)] += movement.amount
        came = sums[Reason.RECEIPT] + sums[Reason.RETURN] + sums[Reason.COUNT]
        went = sums[Reason.ISSUE] + sums[Reason.SCRAP] + sums[Reason.BLADE]
        assert came + went == sum(self.levels.values())


@pytest.mark.django_db
def test_any_sequence_of_movements_conserves_metres():
    run_state_machine_as_test(Stock, settings=settings(max_examples=25, stateful_step_count=15, deadline=None))
    assert MovementRow.objects.filter(reason=Reason.BLADE).exists(), "the machine has cut something"


@pytest.mark.django_db
def test_the_level_of_nothing_is_nothing():
    material = material_named("fuse", "blade 5 A")
    assert level_of(HoldingRow.objects.create(material=material)) == 0
