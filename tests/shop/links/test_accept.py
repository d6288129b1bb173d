"""A customer reads and accepts a quote by link, without a log-in; nothing is accepted that may not be."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.db import connection
from django.urls import reverse
from django.utils import timezone

from estimating.quotes.services import decline_revision, send_revision
from shop.jobs.models import Stage
from shop.links.models import CustomerLink, LinkAct
from shop.links.services import accept_by_link, make_link, revoke_link


def token_in(page):
    found = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page.content.decode())
    assert found
    return found[1]


def accept(customer, secret, number, name="Ada Fernwhistle", **more):
    page = customer.get(reverse("links:open", args=[secret]))
    data = {"name": name, "agrees": "on", "csrfmiddlewaretoken": token_in(page)} | more
    return customer.post(reverse("links:accept", args=[secret, number]), data)


def test_customer_reads_the_quote_and_its_acceptance_books_the_job(customer, job, sent, new, door):
    page = customer.get(door)
    assert page.status_code == 200
    assert job.quote.number in page.content.decode()
    assert accept(customer, new.secret, 1).status_code == 302
    job.refresh_from_db()
    sent.refresh_from_db()
    assert (job.stage, sent.state, sent.accepted_name, sent.accepted_by) == (
        Stage.BOOKED, "accepted", "Ada Fernwhistle", "",
    )  # fmt: skip
    assert "accepted by Ada Fernwhistle" in customer.get(door).content.decode()
    act = LinkAct.objects.get()
    assert (act.link, act.name) == (new.link, "Ada Fernwhistle")


def test_acceptance_without_the_token_of_the_page_is_refused(customer, sent, new, door):
    customer.get(door)
    answer = customer.post(reverse("links:accept", args=[new.secret, 1]), {"name": "Ada", "agrees": "on"})
    assert answer.status_code == 403
    sent.refresh_from_db()
    assert sent.state == "sent"


@pytest.mark.parametrize("data", [{"name": " "}, {"agrees": ""}])
def test_name_and_consent_are_asked_for(customer, sent, new, data):
    answer = accept(customer, new.secret, 1, **data)
    assert answer.status_code == 400
    sent.refresh_from_db()
    assert sent.state == "sent"


def test_reading_alone_accepts_nothing(customer, sent, new):
    assert customer.get(reverse("links:accept", args=[new.secret, 1])).status_code == 405
    sent.refresh_from_db()
    assert sent.state == "sent"


def test_superseded_revision_is_refused_in_one_sentence_and_the_present_one_shown(customer, job, sent, new, door):
    page = customer.get(door)
    send_revision(quote=job.quote, by="Otto", at=timezone.now())
    data = {"name": "Ada", "agrees": "on", "csrfmiddlewaretoken": token_in(page)}
    answer = customer.post(reverse("links:accept", args=[new.secret, 1]), data)
    assert answer.status_code == 409
    text = answer.content.decode()
    assert "A later revision has replaced this one." in text
    assert "revision 2" in text
    sent.refresh_from_db()
    assert sent.state == "superseded"


def test_second_acceptance_is_refused(customer, job, sent, new, door):
    token = token_in(customer.get(door))
    url = reverse("links:accept", args=[new.secret, 1])
    assert accept(customer, new.secret, 1).status_code == 302
    answer = customer.post(url, {"name": "Eve", "agrees": "on", "csrfmiddlewaretoken": token})
    assert answer.status_code == 409
    assert "accepted already" in answer.content.decode()
    sent.refresh_from_db()
    assert sent.accepted_name == "Ada Fernwhistle"


def test_declined_quote_is_told_and_cannot_be_accepted(customer, sent, new, door):
    page = customer.get(door)
    decline_revision(revision=sent, reason="too dear", at=timezone.now())
    data = {"name": "Ada", "agrees": "on", "csrfmiddlewaretoken": token_in(page)}
    answer = customer.post(reverse("links:accept", args=[new.secret, 1]), data)
    assert answer.status_code == 409
    assert "Declined on" in answer.content.decode()


def test_expired_quote_says_so_and_offers_no_form(customer, job, new):
    send_revision(quote=job.quote, by="Otto", at=timezone.now() - timedelta(days=200))
    text = customer.get(reverse("links:open", args=[new.secret])).content.decode()
    assert "It could be accepted until" in text
    assert '<form method="post" class="form"' not in text


def test_number_of_a_revision_that_was_never_sent_opens_nothing(customer, sent, new, door):
    token = token_in(customer.get(door))
    for number in (2, 77):
        data = {"name": "Ada", "agrees": "on", "csrfmiddlewaretoken": token}
        assert customer.post(reverse("links:accept", args=[new.secret, number]), data).status_code == 404


def test_link_revoked_while_the_page_is_open_accepts_nothing(customer, sent, new, door):
    token = token_in(customer.get(door))
    revoke_link(link_id=new.link.pk, by="Otto", at=timezone.now())
    data = {"name": "Ada", "agrees": "on", "csrfmiddlewaretoken": token}
    assert customer.post(reverse("links:accept", args=[new.secret, 1]), data).status_code == 410
    sent.refresh_from_db()
    assert sent.state == "sent"


def test_failed_booking_leaves_no_trace_of_the_acceptance(sent, new, monkeypatch):
    monkeypatch.setattr(LinkAct.objects, "create", lambda **_: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        accept_by_link(link=new.link, number=1, name="Ada", at=timezone.now())
    sent.refresh_from_db()
    assert sent.state == "sent"


def test_secret_is_kept_nowhere_in_the_database(job, sent):
    new = make_link(job=job, days=3, by="Otto", at=timezone.now())
    assert len(new.secret) >= 43  # 256 bits in base 64
    for table in connection.introspection.table_names():
        with connection.cursor() as cursor:
            cursor.execute(f"SELECT * FROM {connection.ops.quote_name(table)}")
            assert new.secret not in str(cursor.fetchall()), table
    assert CustomerLink.objects.get(pk=new.link.pk).secret_hash != new.secret
