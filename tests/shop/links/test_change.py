"""A customer accepts a change by link, and fetches change and invoices."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.urls import reverse
from django.utils import timezone

from circuits.planning.store import load_plan, replace_plan
from estimating.quotes.services import accept_revision
from shop.billing.change_services import answer_change, send_change
from shop.billing.models import Change
from shop.links.models import LinkAct
from shop.links.services import revoke_link
from tests.shop.links.test_accept import token_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def change(job, sent):
    accept_revision(revision=sent, name="Ada Fernwhistle", at=timezone.now(), by="Otto")
    return _more(job, "Trailer socket")


def _more(job, name):
    """The plan with one circuit more, sent as a change."""
    job.plan.refresh_from_db()
    plan = load_plan(job.plan_id)
    more = replace(plan, circuits=(*plan.circuits, replace(plan.circuits[-1], name=name)))
    replace_plan(plan_id=job.plan_id, plan=more, expected_version=job.plan.version, by="Otto")
    return send_change(job=job, note="As asked on the phone", by="Otto", at=timezone.now())


def accept(customer, new, number, **more):
    token = token_in(customer.get(reverse("links:open", args=[new.secret])))
    data = {"name": "Ada Fernwhistle", "agrees": "on", "csrfmiddlewaretoken": token} | more
    return customer.post(reverse("links:accept_change", args=[new.secret, number]), data)


def test_customer_reads_and_accepts_the_change(customer, new, change, door):
    text = customer.get(door).content.decode()
    assert "Trailer socket" in text
    assert "As asked on the phone" in text
    assert accept(customer, new, change.number).status_code == 302
    change.refresh_from_db()
    assert (change.state, change.answered_name, change.answered_by) == ("accepted", "Ada Fernwhistle", "")
    assert LinkAct.objects.get().what == "change 1"
    assert customer.get(reverse("links:paper", args=[new.secret, "change-1"]))["Content-Type"] == "application/pdf"


def test_superseded_change_is_refused_and_the_present_one_shown(customer, job, new, change, door):
    token = token_in(customer.get(door))
    second = _more(job, "Second trailer socket")
    url = reverse("links:accept_change", args=[new.secret, change.number])
    answer = customer.post(url, {"name": "Ada", "agrees": "on", "csrfmiddlewaretoken": token})
    assert answer.status_code == 409
    assert "replaced by a later change" in answer.content.decode()
    assert f"Accept change {second.number}" in answer.content.decode()
    assert customer.get(reverse("links:paper", args=[new.secret, "change-1"])).status_code == 404


def test_change_is_accepted_by_an_open_link_alone(customer, new, change, door):
    token = token_in(customer.get(door))
    revoke_link(link_id=new.link.pk, by="Otto", at=timezone.now())
    url = reverse("links:accept_change", args=[new.secret, change.number])
    assert customer.post(url, {"name": "Ada", "agrees": "on", "csrfmiddlewaretoken": token}).status_code == 410
    change.refresh_from_db()
    assert change.state == "sent"


def test_change_without_the_token_of_the_page_is_refused(customer, new, change):
    url = reverse("links:accept_change", args=[new.secret, change.number])
    assert customer.post(url, {"name": "Ada", "agrees": "on"}).status_code == 403
    change.refresh_from_db()
    assert change.state == "sent"


def test_change_that_does_not_exist_opens_nothing(customer, new, change):
    assert accept(customer, new, 77).status_code == 404


def test_page_of_the_customer_costs_the_same_queries_with_more_papers(
    customer, job, new, change, door, django_assert_max_num_queries
):
    customer.get(door)
    for name in ("Second", "Third", "Fourth"):
        with django_assert_max_num_queries(12):
            assert customer.get(door).status_code == 200
        answer_change(change=Change.objects.get(state="sent"), accepted=True, name="Ada", at=timezone.now())
        _more(job, name)
