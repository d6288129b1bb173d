"""Sending a revision: what is frozen, what stands in the way, what is superseded."""

from datetime import date, timedelta

import pytest

from circuits.outbox.models import OutboxRow
from circuits.planning.store import load, replace_plan
from estimating.pricing.quote import LabourBasis
from estimating.quotes.draft import draft_of
from estimating.quotes.models import QuoteRevision
from estimating.quotes.record import plan_data, read_record
from estimating.quotes.rules import RefusedError
from estimating.quotes.services import accept_revision, send_revision, write_draft
from estimating.quotes.store import work_up_plan
from tests.estimating.quotes import cast


def _replan(quote, *circuits):
    loaded = load(quote.plan_id)
    replace_plan(plan_id=quote.plan_id, plan=cast.plan_of(*circuits), expected_version=loaded.row.version, by="Ada")


def _send(quote, **more):
    return send_revision(quote=quote, by="Ada", at=cast.NOON, **more)


def test_sent_revision_freezes_figures_and_plan(quote):
    workup = work_up_plan(quote.plan_id)
    record = read_record(_send(quote).content)
    assert record.priced == workup.quote
    assert record.answer["quote"]["total"] == str(workup.quote.total)
    assert record.plan == plan_data(cast.PLAN)
    assert record.heading.addressee == "R. Oduya\n4 Mill Lane"
    assert record.terms.cautions


def test_sent_revision_keeps_its_figures_when_the_plan_moves_on(quote):
    revision = _send(quote)
    before = revision.content
    _replan(quote, cast.TAIL)
    revision.refresh_from_db()
    assert revision.content == before


def test_validity_counts_from_the_day_sent(quote):
    assert _send(quote).valid_until == date(2026, 3, 2) + timedelta(days=30)


def test_paper_is_queued_with_the_revision(quote):
    revision = _send(quote)
    assert OutboxRow.objects.get(task="quotes.make_paper").args == [revision.pk]


def test_later_revision_supersedes_the_one_before_and_says_what_changed(quote):
    first = _send(quote)
    _replan(quote, cast.HEADLAMP, cast.TAIL, cast.SOCKET)
    second = _send(quote)
    first.refresh_from_db()
    assert (first.state, second.state, second.number) == ("superseded", "sent", 2)
    changes = read_record(second.content).changes
    assert changes is not None
    assert (changes.added, changes.dropped) == (("socket",), ("cooling fan",))
    assert {change.name for change in changes.money} >= {"labour", "total"}


def test_first_revision_has_nothing_to_compare_with(quote):
    assert read_record(_send(quote).content).changes is None


def test_error_finding_stands_in_the_way(quote):
    _replan(quote, cast.HEADLAMP, cast.LOST)
    with pytest.raises(RefusedError, match="reading lamp"):
        _send(quote)
    assert not QuoteRevision.objects.exclude(state="draft").exists()


def test_plan_without_circuits_stands_in_the_way(quote):
    _replan(quote)
    with pytest.raises(RefusedError, match="no circuits"):
        _send(quote)


def test_every_reason_is_given_at_once(quote):
    _replan(quote, cast.LOST)
    quote.addressee = " "
    quote.save()
    with pytest.raises(RefusedError) as refused:
        _send(quote)
    assert len(refused.value.reasons) == 2


def test_nothing_is_sent_after_acceptance(quote):
    accept_revision(revision=_send(quote), name="R. Oduya", at=cast.NOON)
    with pytest.raises(RefusedError, match="accepted"):
        _send(quote)


def test_second_sender_of_the_same_revision_is_told(quote):
    _send(quote, expected=1)
    with pytest.raises(RefusedError, match="sent meanwhile"):
        _send(quote, expected=1)
    assert quote.revisions.exclude(state="draft").count() == 1


def test_offer_that_changed_since_it_was_read_is_not_sent(quote):
    seen = draft_of(quote, quote.revisions.get(), by="Ada", at=cast.NOON).fingerprint
    _replan(quote, cast.TAIL)
    with pytest.raises(RefusedError, match="changed since you looked"):
        _send(quote, seen=seen)


def test_offer_as_read_is_sent_also_by_another_and_later(quote):
    seen = draft_of(quote, quote.revisions.get(), by="Ada", at=cast.NOON).fingerprint
    send_revision(quote=quote, by="Ben", at=cast.NOON + timedelta(days=1), seen=seen, expected=1)


def test_basis_of_labour_is_that_of_the_draft(quote):
    cautious = work_up_plan(quote.plan_id).quote.total
    write_draft(quote=quote, addressee="R. Oduya", vehicle="", note="As agreed.", labour_basis=LabourBasis.P50)
    record = read_record(_send(quote).content)
    assert record.terms.labour_basis == "P50"
    assert record.priced.total < cautious
    assert record.heading.note == "As agreed."
