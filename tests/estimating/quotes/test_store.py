"""Rows to values; results kept under stamps."""

from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from circuits.planning.store import load, replace_plan
from estimating.pricing.quote import LabourBasis
from estimating.quotes.models import MinutesRow, PriceRow, TermsRow
from estimating.quotes.settings_services import save_price, save_terms
from estimating.quotes.store import shop_rules, terms_of, terms_row, work_up_plan, worked_up
from estimating.rules import ShopRules
from tests.estimating.quotes import cast


def test_empty_tables_give_the_packaged_rules(db):
    rules, packaged = shop_rules(), ShopRules()
    assert (rules.book, rules.minutes, rules.takeoff, rules.condition_cv) == (
        packaged.book,
        packaged.minutes,
        packaged.takeoff,
        packaged.condition_cv,
    )


def test_unstored_terms_row_says_what_the_defaults_say(db):
    assert terms_of(terms_row()) == shop_rules().terms


def test_work_up_is_kept_while_nothing_changes(plan):
    assert work_up_plan(plan.pk) is work_up_plan(plan.pk)


def test_change_of_plan_gives_another_work_up(plan):
    before = work_up_plan(plan.pk)
    loaded = load(plan.pk)
    replace_plan(plan_id=plan.pk, plan=cast.plan_of(cast.TAIL), expected_version=loaded.row.version, by="Ada")
    assert work_up_plan(plan.pk).quote.total < before.quote.total


def test_change_of_a_price_gives_another_work_up(plan):
    before = work_up_plan(plan.pk)
    save_price(row=PriceRow(kind="clip", spec="*", unit="piece", cost=Decimal(1), pack=1))
    assert work_up_plan(plan.pk) is not before


def test_roll_back_leaves_no_result_of_what_never_was(plan):
    before = work_up_plan(plan.pk).quote.total
    with transaction.atomic():
        row = terms_row()
        row.rate_per_h = Decimal(500)
        save_terms(row=row)
        assert work_up_plan(plan.pk).quote.total > before
        transaction.set_rollback(True)
    assert work_up_plan(plan.pk).quote.total == before


def test_basis_of_labour_is_kept_apart(plan):
    p50, p80 = worked_up(plan.pk, LabourBasis.P50), worked_up(plan.pk, LabourBasis.P80)
    assert p50.workup.quote.total < p80.workup.quote.total
    assert p50.rules.terms.labour_basis is LabourBasis.P50
    assert p50.usual_basis is p80.usual_basis is LabourBasis.P80


@pytest.mark.parametrize("count", [1, 40])
def test_work_up_takes_a_fixed_number_of_queries(db, django_assert_max_num_queries, count):
    from circuits.planning.store import create_plan

    plan = create_plan(title="x", plan=cast.plan_with(count), by="Ada")
    with django_assert_max_num_queries(16):
        work_up_plan(plan.pk)
    with django_assert_max_num_queries(3):
        work_up_plan(plan.pk)


def _second_terms() -> TermsRow:
    row = terms_row()
    row.pk = 2
    return row


@pytest.mark.parametrize(
    "make",
    [
        lambda: PriceRow.objects.create(kind="clip", spec="*", unit="piece", cost=-1),
        lambda: PriceRow.objects.create(kind="clip", spec="*", unit="piece", cost=1, pack=0),
        lambda: MinutesRow.objects.create(element="splice", optimistic_min=3, likely_min=2, pessimistic_min=4),
        lambda: _second_terms().save(force_insert=True),
    ],
)
def test_database_refuses_rows_that_make_no_sense(db, make):
    with pytest.raises(IntegrityError), transaction.atomic():
        make()
