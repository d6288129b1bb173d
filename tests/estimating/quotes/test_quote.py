"""The page of a quote: today's offer, its texts, sending, the draft's PDF."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from circuits.planning.store import create_plan, load, replace_plan
from estimating.quotes.models import QuoteRow
from estimating.quotes.services import accept_revision, create_quote, decline_revision, send_revision
from estimating.quotes.settings_services import start_price_book
from tests.estimating.quotes import cast

TEXTS = {"addressee": "R. Oduya", "vehicle": "Heron", "note": "With thanks.", "labour_basis": "P50"}


def _url(name, quote):
    return reverse(f"quotes:{name}", args=[quote.pk])


def _page(client, quote):
    answer = client.get(_url("quote", quote))
    assert answer.status_code == 200
    return answer


def _sending(client, quote):
    """What the send form of the page says."""
    return dict(_page(client, quote).context["send_form"].initial)


def test_draft_says_who_what_and_on_what_basis(office, quote):
    page = _page(office, quote).content.decode()
    for words in ("R. Oduya", "P80: in 8 of 10 such jobs", "Isolate the battery", "Nothing has been sent yet"):
        assert words in page


def test_reasons_that_stand_in_the_way_are_shown_and_sending_is_not_offered(office, quote):
    loaded = load(quote.plan_id)
    replace_plan(plan_id=quote.plan_id, plan=cast.plan_of(cast.LOST), expected_version=loaded.row.version, by="Ada")
    page = _page(office, quote).content.decode()
    assert "Why it cannot be sent yet" in page
    assert "reading lamp" in page
    assert f'action="{_url("send", quote)}"' not in page


def test_example_prices_are_pointed_out_until_the_shop_has_its_own(office, quote):
    words = "priced from the packaged examples"
    assert words in _page(office, quote).content.decode()
    start_price_book()
    assert words not in _page(office, quote).content.decode()


def test_texts_are_stored_and_used(office, quote):
    assert office.post(_url("quote", quote), TEXTS).status_code == 302
    page = _page(office, quote).content.decode()
    assert "With thanks." in page
    assert "P50: in 5 of 10" in page


def test_missing_addressee_is_named_and_nothing_is_lost(office, quote):
    answer = office.post(_url("quote", quote), TEXTS | {"addressee": "", "note": "Typed before"})
    assert answer.status_code == 400
    assert "Typed before" in answer.content.decode()
    quote.refresh_from_db()
    assert quote.addressee.startswith("R. Oduya")


def test_sending_from_the_page(office, quote):
    answer = office.post(_url("send", quote), _sending(office, quote))
    assert answer.url == reverse("quotes:revision", args=[quote.pk, 1])
    assert quote.revisions.get().state == "sent"


def test_sending_twice_sends_once(office, quote):
    form = _sending(office, quote)
    office.post(_url("send", quote), form)
    answer = office.post(_url("send", quote), form, follow=True)
    assert "has been sent meanwhile" in answer.content.decode()
    assert quote.revisions.exclude(state="draft").count() == 1


def test_form_of_another_site_is_refused(office, quote):
    assert office.post(_url("send", quote), {"expected": "x"}).status_code == 400


def test_page_says_what_changed_since_the_last_revision(office, quote):
    send_revision(quote=quote, by="Ada", at=timezone.now())
    loaded = load(quote.plan_id)
    replace_plan(
        plan_id=quote.plan_id,
        plan=cast.plan_of(cast.HEADLAMP, cast.TAIL, cast.FAN, cast.SOCKET),
        expected_version=loaded.row.version,
        by="Ada",
    )
    page = _page(office, quote).content.decode()
    assert "Changed since revision 1" in page
    assert "socket" in page


def test_expired_declined_and_accepted_are_said(office, quote):
    first = send_revision(quote=quote, by="Ada", at=timezone.now() - timedelta(days=60))
    assert "expired" in _page(office, quote).content.decode()
    decline_revision(revision=first, reason="Too dear", at=timezone.now())
    assert "Too dear" in _page(office, quote).content.decode()
    accept_revision(
        revision=send_revision(quote=quote, by="Ada", at=timezone.now()), name="R. Oduya", at=timezone.now()
    )
    page = _page(office, quote).content.decode()
    assert "was accepted by R. Oduya" in page
    assert f'action="{_url("send", quote)}"' not in page


def test_draft_paper_is_marked_as_draft(office, quote):
    answer = office.get(_url("draft_paper", quote))
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")


def test_plan_without_quote_offers_to_make_one(office, plan):
    url = reverse("quotes:for_plan", args=[plan.pk])
    assert office.get(url).status_code == 200
    assert office.post(url, {"addressee": "", "vehicle": ""}).status_code == 400
    answer = office.post(url, {"addressee": "R. Oduya", "vehicle": "Heron"})
    made = QuoteRow.objects.get()
    assert answer.url == _url("quote", made)
    assert office.get(url).url == _url("quote", made)


@pytest.mark.parametrize("name", ["quote", "draft_paper"])
def test_technician_and_stranger_may_not_read(technician, stranger, quote, name):
    assert technician.get(_url(name, quote)).status_code == 403
    assert stranger.get(_url(name, quote)).status_code == 302


@pytest.mark.parametrize("name", ["quote", "send"])
def test_technician_and_stranger_may_not_write(technician, stranger, quote, name):
    assert technician.post(_url(name, quote), TEXTS).status_code == 403
    assert stranger.post(_url(name, quote), TEXTS).status_code == 302
    assert quote.revisions.get().state == "draft"


def test_quote_that_is_not_there(owner, db):
    assert owner.get(reverse("quotes:quote", args=[999])).status_code == 404


def test_name_with_markup_is_shown_as_text(office, db):
    plan = create_plan(title="<i>x</i>", plan=cast.PLAN, by="Ada")
    quote = create_quote(plan=plan, addressee="<script>alert(1)</script>", vehicle="", by="Ada", at=cast.NOON)
    page = _page(office, quote).content.decode()
    assert "<script>alert" not in page
    assert "<i>x" not in page
