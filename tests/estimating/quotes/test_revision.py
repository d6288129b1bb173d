"""The page of a sent revision, its papers, and the customer's answer."""

import json
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from circuits.outbox.models import OutboxRow
from circuits.outbox.running import run
from circuits.planning.store import load, replace_plan
from estimating.quotes.issue import paper_of
from estimating.quotes.models import QuotePaper
from estimating.quotes.rules import RefusedError
from estimating.quotes.services import send_revision
from tests.estimating.quotes import cast

ACCEPTED = {"name": "R. Oduya", "agrees": "on"}


@pytest.fixture
def sent(quote):
    return send_revision(quote=quote, by="Ada", at=timezone.now())


def _url(name, revision):
    return reverse(f"quotes:{name}", args=[revision.quote_id, revision.number])


def _state(revision):
    revision.refresh_from_db()
    return revision.state


def test_page_stays_as_sent_when_plan_and_texts_move_on(office, sent):
    before = office.get(_url("revision", sent)).context["shown"].content
    loaded = load(sent.quote.plan_id)
    replace_plan(plan_id=loaded.row.pk, plan=cast.plan_of(), expected_version=loaded.row.version, by="Ada")
    sent.quote.addressee = "Somebody else"
    sent.quote.save()
    answer = office.get(_url("revision", sent))
    assert answer.context["shown"].content == before
    assert "cooling fan" in answer.content.decode()
    assert "Somebody else" not in answer.content.decode()


def test_accepting_from_the_page(office, sent):
    answer = office.post(_url("accept", sent), ACCEPTED, follow=True)
    assert "Accepted by R. Oduya" in answer.content.decode()
    assert _state(sent) == "accepted"
    assert sent.accepted_by == "office"


@pytest.mark.parametrize("typed", [{"name": ""}, {"agrees": ""}, {"name": "x" * 161}])
def test_acceptance_needs_name_and_consent(office, sent, typed):
    assert office.post(_url("accept", sent), ACCEPTED | typed).status_code == 400
    assert _state(sent) == "sent"


def test_expired_revision_offers_no_acceptance_and_refuses_one(office, quote):
    old = send_revision(quote=quote, by="Ada", at=timezone.now() - timedelta(days=60))
    assert f'action="{_url("accept", old)}"' not in office.get(_url("revision", old)).content.decode()
    answer = office.post(_url("accept", old), ACCEPTED, follow=True)
    assert "valid until" in answer.content.decode()
    assert _state(old) == "sent"


def test_declining_from_the_page(office, sent):
    answer = office.post(_url("decline", sent), {"reason": "Too dear"}, follow=True)
    assert "Too dear" in answer.content.decode()
    assert _state(sent) == "declined"


def test_reason_that_is_too_long_is_refused(office, sent):
    assert office.post(_url("decline", sent), {"reason": "x" * 301}).status_code == 400
    assert _state(sent) == "sent"


def test_paper_is_made_once_and_stays(office, sent):
    first = office.get(_url("paper", sent)).content
    assert first.startswith(b"%PDF")
    made = QuotePaper.objects.get()
    assert office.get(_url("paper", sent)).content == first
    assert QuotePaper.objects.get().made_at == made.made_at


def test_queued_work_makes_the_paper_and_may_run_twice(sent):
    row = OutboxRow.objects.get(task="quotes.make_paper")
    assert run(row.pk)
    OutboxRow.objects.update(done_at=None, claimed_until=None)
    assert run(row.pk)
    assert QuotePaper.objects.count() == 1


def test_draft_has_no_paper(quote):
    with pytest.raises(RefusedError):
        paper_of(quote.revisions.get().pk, at=cast.NOON)


def test_answer_is_that_of_the_circuit_sheet(office, sent):
    told = json.loads(office.get(_url("answer", sent)).content)
    assert set(told) >= {"circuits", "findings", "parts", "hours", "quote"}


def test_draft_has_no_page(office, quote):
    assert office.get(reverse("quotes:revision", args=[quote.pk, 1])).status_code == 404


@pytest.mark.parametrize("name", ["revision", "paper", "answer"])
def test_technician_and_stranger_may_not_read(technician, stranger, sent, name):
    assert technician.get(_url(name, sent)).status_code == 403
    assert stranger.get(_url(name, sent)).status_code == 302


@pytest.mark.parametrize("name", ["accept", "decline"])
def test_technician_and_stranger_may_not_answer(technician, stranger, sent, name):
    assert technician.post(_url(name, sent), ACCEPTED).status_code == 403
    assert stranger.post(_url(name, sent), ACCEPTED).status_code == 302
    assert _state(sent) == "sent"
