"""Creating quotes: consecutive numbers, snapshots, refusals."""

from datetime import UTC, datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import transaction

from circuits.planning.models import PlanRow
from estimating.quotes import events
from estimating.quotes.models import NumberSeries, QuoteRow
from estimating.quotes.services import create_quote
from tests.estimating.quotes import cast


def _create(plan: PlanRow, at: datetime = cast.NOON) -> QuoteRow:
    return create_quote(plan=plan, addressee="R. Oduya", vehicle="Heron", by="Ada", at=at)


def test_numbers_follow_on_within_the_year(plan):
    assert [_create(plan).number for _ in range(3)] == ["Q-2026-001", "Q-2026-002", "Q-2026-003"]


def test_each_year_starts_at_one(plan):
    _create(plan)
    assert _create(plan, datetime(2027, 1, 1, tzinfo=UTC)).number == "Q-2027-001"


def test_year_of_the_number_is_the_shops(plan, settings):
    settings.TIME_ZONE = "Pacific/Auckland"
    from django.utils import timezone

    with timezone.override("Pacific/Auckland"):
        assert _create(plan, datetime(2026, 12, 31, 18, tzinfo=UTC)).number == "Q-2027-001"


def test_roll_back_gives_the_number_back(plan):
    with transaction.atomic():
        _create(plan)
        transaction.set_rollback(True)
    assert _create(plan).number == "Q-2026-001"
    assert NumberSeries.objects.get(name="Q-2026").last == 1


def test_quote_starts_with_a_draft(plan):
    draft = _create(plan).revisions.get()
    assert (draft.number, draft.state, draft.content) == (1, "draft", "")


@pytest.mark.parametrize("addressee", ["", "x" * 601])
def test_addressee_must_be_there_and_fit(plan, addressee):
    with pytest.raises(ValidationError):
        create_quote(plan=plan, addressee=addressee, vehicle="", by="Ada", at=cast.NOON)
    assert not QuoteRow.objects.exists()


def test_receiver_that_raises_undoes_the_quote(plan):
    def refuse(**_: object) -> None:
        raise RuntimeError("no")

    events.quote_created.connect(refuse)
    try:
        with pytest.raises(RuntimeError):
            _create(plan)
    finally:
        events.quote_created.disconnect(refuse)
    assert not QuoteRow.objects.exists()
