"""A sent revision stays as it was sent: the service, the model and the database each hold it."""

import pytest
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.db.models import ProtectedError

from estimating.quotes.models import FrozenError, QuoteRevision
from estimating.quotes.services import accept_revision
from tests.estimating.quotes import cast

FROZEN_COLUMNS = {
    "content": "'{}'",
    "number": "9",
    "note": "'x'",
    "labour_basis": "'P50'",
    "valid_until": "'2099-01-01'",
    "sent_at": "'2020-01-01 00:00:00'",
    "sent_by": "'x'",
    "state": "'draft'",
}


def test_draft_may_be_saved_and_deleted(quote):
    draft = quote.revisions.get()
    draft.note = "x"
    draft.save()
    draft.delete()
    assert not quote.revisions.exists()


def test_model_refuses_to_save_what_was_sent(sent):
    sent.note = "cheaper"
    with pytest.raises(FrozenError):
        sent.save()


def test_model_refuses_to_save_an_old_copy_read_while_in_draft(quote, sent):
    stale = QuoteRevision(pk=sent.pk, quote=quote, number=1, state="draft", note="x")
    with pytest.raises(FrozenError):
        stale.save()


def test_model_refuses_to_delete_what_was_sent(sent):
    with pytest.raises(FrozenError):
        sent.delete()


def test_bulk_writes_refuse_too(sent):
    with pytest.raises(FrozenError):
        QuoteRevision.objects.update(content="{}")
    with pytest.raises(FrozenError):
        QuoteRevision.objects.all().delete()
    with pytest.raises(FrozenError):
        QuoteRevision.objects.bulk_update([sent], ["note"])


def test_quote_with_revisions_cannot_be_deleted(quote):
    with pytest.raises(ProtectedError):
        quote.delete()


@pytest.mark.parametrize("column", FROZEN_COLUMNS)
def test_database_refuses_to_change_what_was_sent(sent, column):
    sql = f"UPDATE quotes_quoterevision SET {column} = {FROZEN_COLUMNS[column]} WHERE id = {sent.pk}"
    with pytest.raises(DatabaseError, match="sent revision cannot be changed"), transaction.atomic():
        connection.cursor().execute(sql)


@pytest.mark.parametrize(
    "change", ["accepted_name = 'x'", "state = 'declined', accepted_name = '', accepted_at = NULL"]
)
def test_database_refuses_to_change_what_was_signed(sent, change):
    accept_revision(revision=sent, name="R. Oduya", at=cast.NOON)
    with pytest.raises(DatabaseError, match="sent revision cannot be changed"), transaction.atomic():
        connection.cursor().execute(f"UPDATE quotes_quoterevision SET {change} WHERE id = {sent.pk}")


def test_database_wants_sent_revisions_whole(quote):
    with pytest.raises(IntegrityError), transaction.atomic():
        connection.cursor().execute("UPDATE quotes_quoterevision SET state = 'sent'")


def test_database_wants_acceptance_signed(sent):
    with pytest.raises(IntegrityError), transaction.atomic():
        connection.cursor().execute("UPDATE quotes_quoterevision SET state = 'accepted'")


@pytest.mark.parametrize("state", ["draft", "sent", "accepted"])
def test_database_holds_one_of_each_state_and_number(quote, sent, state):
    if state == "accepted":
        accept_revision(revision=sent, name="R. Oduya", at=cast.NOON)
    frozen = {"content": "{}", "valid_until": "2026-04-01", "sent_at": cast.NOON, "sent_by": "Ada"}
    signed = {"accepted_name": "x", "accepted_at": cast.NOON} if state == "accepted" else {}
    if state == "draft":
        QuoteRevision.objects.create(quote=quote, number=2)
    with pytest.raises(IntegrityError), transaction.atomic():
        QuoteRevision.objects.create(quote=quote, number=7, state=state, **frozen, **signed)
    with pytest.raises(IntegrityError), transaction.atomic():
        QuoteRevision.objects.create(quote=quote, number=1, state="superseded", **frozen)
