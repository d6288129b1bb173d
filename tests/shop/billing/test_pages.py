"""The pages of money: what they show, what they cost, and who may."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from shop.billing.change_services import send_change
from shop.billing.document_record import read_document
from shop.billing.models import Change, Document
from shop.billing.orders import What
from tests.estimating.quotes.cast import FAN, HEADLAMP, SOCKET, TAIL
from tests.shop.billing import cast
from tests.shop.billing.cast import D, credit, issue, pay, plan_becomes
from tests.shop.billing.pages import text_of, url


def test_money_sheet_says_what_is_agreed_invoiced_paid_and_due(office, job):
    deposit = issue(job, What.DEPOSIT)
    pay(job, "10.00", deposit)
    page = text_of(office.get(url("money", job)))
    total = read_document(deposit.content).totals.payable
    for words in ("agreed, with tax", "€10.00 received by bank transfer", f"{total - 10:,.2f}", deposit.number):
        assert words in page


def test_next_step_leads_from_deposit_to_rest_to_nothing(office, job):
    def step():
        (said,) = re.findall(r'<h2 id="next">(.*?)</h2>', office.get(url("money", job)).content.decode(), re.S)
        return said

    assert "deposit agreed" in step()
    deposit = issue(job, What.DEPOSIT)
    assert "overdue" in step()  # the cast's day is long past
    pay(job, read_document(deposit.content).totals.payable, deposit)
    assert "not invoiced" in step()
    rest = issue(job, What.REST)
    pay(job, read_document(rest.content).totals.payable + 5, rest)
    assert "held for the customer" in step()
    cast.give_back(job, "5.00")
    assert "All is invoiced and paid" in step()


def test_money_sheet_before_anything_is_agreed(office, unquoted):
    page = text_of(office.get(url("money", unquoted)))
    assert "No price agreed yet" in page
    assert "Nothing has been invoiced yet" in page


def test_change_page_prices_sends_and_takes_the_answer(office, job):
    plan_becomes(job, HEADLAMP, TAIL, FAN, SOCKET)
    page = office.get(url("change", job))
    assert "Added: socket" in text_of(page)
    fields = dict(re.findall(r'name="(expected|seen)" value="([^"]*)"', page.content.decode()))
    answer = office.post(url("send_change", job), fields | {"note": "As asked"})
    assert answer.url == url("sent_change", job, 1)
    assert "with the customer" in text_of(office.get(answer.url))
    given = {"name": "A. Fernwhistle", "answer": "accepted"}
    office.post(url("answer_change", job, 1), given)
    assert Change.objects.get().state == "accepted"
    assert Change.objects.get().answered_by == "office"
    assert "The plan is as the customer accepted it" in text_of(office.get(url("change", job)))


def test_an_answer_without_a_name_is_told(office, job):
    plan_becomes(job, HEADLAMP, SOCKET)
    send_change(job=job, note="", by="Otto", at=cast.NOON)
    answer = office.post(url("answer_change", job, 1), {"answer": "accepted"})
    assert answer.status_code == 400
    assert Change.objects.get().state == "sent"


def test_work_not_accepted_is_told_to_all_who_see_the_job_and_its_price_to_nobody_else(office, technician, job):
    page = reverse("jobs:job", args=[job.pk])
    assert "Not accepted by the customer" not in text_of(office.get(page))
    plan_becomes(job, HEADLAMP, TAIL, FAN, SOCKET)
    for client in (office, technician):
        assert "Not accepted by the customer: socket" in text_of(client.get(page)).replace(" :", ":").replace("  ", " ")
    assert url("change", job) in office.get(page).content.decode()
    assert "/money/" not in technician.get(page).content.decode()
    assert "/changes/" not in technician.get(page).content.decode()


def test_technicians_see_no_money(technician, job):
    row = issue(job, What.DEPOSIT)
    for name, more in (
        ("money", []),
        ("change", []),
        ("new_invoice", []),
        ("invoice", [row.pk]),
        ("invoice_paper", [row.pk]),
    ):
        assert technician.get(url(name, job, *more)).status_code == 403
    for name in ("invoices", "journal"):
        assert technician.get(reverse(f"billing:{name}")).status_code == 403
    help_page = technician.get(reverse("help:money")).content.decode()
    assert reverse("billing:invoices") not in help_page


def test_list_finds_filters_and_exports(office, job, unquoted):
    one, two = issue(job, What.DEPOSIT), issue(unquoted)
    pay(unquoted, "120.00", two)
    note = credit(two, {D(20): D("10.00")})
    page = reverse("billing:invoices")

    def found(**given):
        body = office.get(page, given).content.decode()
        return {number for number in (one.number, two.number, note.number) if f">{number}</a>" in body}

    assert found() == {one.number, two.number, note.number}
    assert found(q="hal marrow") == {two.number, note.number}
    assert found(q=one.number) == {one.number}
    assert found(stage="open") == found(stage="overdue") == {one.number}
    assert found(stage="settled") == {two.number}
    assert found(stage="credit") == {note.number}
    assert found(q="nobody") == set()
    rows = office.get(page, {"as": "csv"}).content.decode()
    assert "-12.00 EUR" in rows
    assert "Held for customers: 12.00 EUR" in text_of(office.get(page))


@pytest.mark.parametrize("sort", ["number", "-customer", "issued_on", "-due_on", "payable", "-open"])
def test_list_sorts_by_what_it_offers(office, job, sort):
    issue(job, What.DEPOSIT)
    assert office.get(reverse("billing:invoices"), {"sort": sort}).status_code == 200


def queries_of(client, page, django_assert_max_num_queries, most):
    with django_assert_max_num_queries(most) as counted:
        assert client.get(page).status_code == 200
    return len(counted)


def test_list_costs_the_same_for_one_row_and_for_many(office, job, django_assert_max_num_queries):
    issue(job, What.DEPOSIT)
    page = reverse("billing:invoices")
    office.get(page)
    one = queries_of(office, page, django_assert_max_num_queries, 8)
    for index in range(12):
        issue(cast.new_job(f"Customer {index}"))
    assert queries_of(office, page, django_assert_max_num_queries, 8) == one


def test_pages_of_what_is_not_there_are_not_found(office, job):
    for name, more in (
        ("sent_change", [9]),
        ("invoice", [9]),
        ("credit", [9]),
        ("invoice_paper", [9]),
        ("change_paper", [9]),
    ):
        assert office.get(url(name, job, *more)).status_code == 404
    assert office.get(reverse("billing:money", args=[777])).status_code == 404


def test_names_are_escaped(office, db):
    job = cast.new_job("<script>alert(1)</script>")
    issue(job)
    for page in (url("money", job), reverse("billing:invoices"), url("invoice", job, Document.objects.get().pk)):
        assert b"<script>alert" not in office.get(page).content


def test_money_sheet_costs_the_same_for_one_document_and_for_many(office, job, django_assert_max_num_queries):
    issue(job, What.DEPOSIT)
    page = url("money", job)
    office.get(page)
    one = queries_of(office, page, django_assert_max_num_queries, 16)
    for _ in range(6):
        pay(job, "1.00", issue(job))
    assert queries_of(office, page, django_assert_max_num_queries, 16) == one
