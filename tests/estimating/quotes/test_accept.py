"""Accepting and declining: each rule with a test that fails without it."""

from datetime import timedelta

import pytest

from estimating.quotes import events
from estimating.quotes.models import QuoteRevision
from estimating.quotes.rules import RefusedError
from estimating.quotes.services import accept_revision, decline_revision, send_revision
from tests.estimating.quotes import cast


def _accept(revision, at=cast.NOON, name="R. Oduya"):
    return accept_revision(revision=revision, name=name, at=at, by="Ada")


def test_acceptance_keeps_name_time_and_who_took_it_down(sent):
    revision = _accept(sent, name=" R.  Oduya ")
    assert (revision.state, revision.accepted_name, revision.accepted_by) == ("accepted", "R. Oduya", "Ada")
    assert revision.accepted_at == cast.NOON


def test_accepted_on_the_last_day(sent):
    assert _accept(sent, at=cast.NOON + timedelta(days=30)).state == "accepted"


def test_expired_revision_cannot_be_accepted(sent):
    with pytest.raises(RefusedError, match="valid until 01 Apr 2026"):
        _accept(sent, at=cast.NOON + timedelta(days=31))


def test_day_of_acceptance_is_the_shops(sent):
    from django.utils import timezone

    with timezone.override("Pacific/Auckland"), pytest.raises(RefusedError, match="valid until"):
        _accept(sent, at=cast.NOON.replace(hour=18) + timedelta(days=30))


def test_superseded_revision_cannot_be_accepted(quote, sent):
    send_revision(quote=quote, by="Ada", at=cast.NOON)
    with pytest.raises(RefusedError, match="later revision"):
        _accept(sent)


def test_draft_cannot_be_accepted(quote):
    with pytest.raises(RefusedError, match="not been sent"):
        _accept(quote.revisions.get())


def test_accepted_revision_cannot_be_accepted_again(sent):
    _accept(sent)
    with pytest.raises(RefusedError, match="already"):
        _accept(sent, name="Somebody else")
    sent.refresh_from_db()
    assert sent.accepted_name == "R. Oduya"


def test_declined_revision_cannot_be_accepted(sent):
    decline_revision(revision=sent, reason="Too dear", at=cast.NOON)
    with pytest.raises(RefusedError, match="declined"):
        _accept(sent)


def test_somebody_must_accept(sent):
    with pytest.raises(RefusedError, match="name"):
        _accept(sent, name="  ")


@pytest.mark.parametrize("act", [_accept, lambda r: decline_revision(revision=r, reason="", at=cast.NOON)])
def test_receiver_that_raises_undoes_the_act(sent, act):
    def refuse(**_: object) -> None:
        raise RuntimeError("the job cannot be booked")

    signals = (events.quote_accepted, events.quote_declined)
    for signal in signals:
        signal.connect(refuse)
    try:
        with pytest.raises(RuntimeError):
            act(sent)
    finally:
        for signal in signals:
            signal.disconnect(refuse)
    assert QuoteRevision.objects.get(pk=sent.pk).state == "sent"


def test_listener_hears_name_and_revision(sent):
    heard = []

    def listen(**said: object) -> None:
        heard.append((said["revision"], said["name"], said["at"]))

    events.quote_accepted.connect(listen)
    try:
        _accept(sent)
    finally:
        events.quote_accepted.disconnect(listen)
    assert heard == [(sent, "R. Oduya", cast.NOON)]


def test_declined_revision_keeps_the_reason_and_a_new_one_can_be_sent(quote, sent):
    decline_revision(revision=sent, reason="Too dear", at=cast.NOON)
    again = send_revision(quote=quote, by="Ada", at=cast.NOON)
    sent.refresh_from_db()
    assert (sent.state, sent.declined_reason, again.number) == ("declined", "Too dear", 2)


def test_expired_revision_can_still_be_declined(sent):
    assert decline_revision(revision=sent, reason="", at=cast.NOON + timedelta(days=90)).state == "declined"


@pytest.mark.parametrize("state", ["accepted", "declined"])
def test_answered_revision_cannot_be_declined(sent, state):
    if state == "accepted":
        _accept(sent)
    else:
        decline_revision(revision=sent, reason="", at=cast.NOON)
    with pytest.raises(RefusedError):
        decline_revision(revision=sent, reason="", at=cast.NOON)
