"""The journal balances, names every document and payment, runs in no spreadsheet; debts are aged by their day."""

from __future__ import annotations

import csv
import io
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from estimating.pricing.claims import Claim
from estimating.pricing.invoice import lot, totals_of
from estimating.quotes.paper_content import Letterhead
from shop.billing.aged import BUCKETS, aged_balances, bucket_of, totals
from shop.billing.document_record import DocumentRecord
from shop.billing.journal import COLUMNS, journal, journal_csv, postings_of
from shop.billing.models import Account, Balance, Document
from shop.billing.orders import What
from tests.shop.billing import cast
from tests.shop.billing.cast import D, credit, issue, pay

MONEY = st.decimals(-(10**5), 10**5, places=2)
LINES = st.lists(st.tuples(MONEY, st.sampled_from([D(0), D("5.5"), D(20)])), max_size=6)


def record_of(kind: str, claim: Claim) -> DocumentRecord:
    day = date(2026, 3, 2)
    return DocumentRecord(
        kind, "worked", "I-2026-001", day, day, "Otto", Letterhead(), "Ada", "Heron", "J-1", "EUR", "en", claim.lines,
        claim.totals, credits="I-2026-000" if kind == "credit" else "",
    )  # fmt: skip


@given(LINES, st.sampled_from(["deposit", "final", "credit"]), st.integers(-3, 3))
def test_every_document_balances(pairs, kind, odd):
    lines = tuple(lot("x", net, rate, "EUR") for net, rate in pairs)
    claim = Claim(lines, totals_of(lines, "EUR", rounding=Decimal(odd) / 100))
    postings = postings_of(record_of(kind, claim), "Ada")
    assert sum((one.debit for one in postings), D(0)) == sum((one.credit for one in postings), D(0))
    assert all((one.debit > 0) != (one.credit > 0) for one in postings)
    receivable = sum((one.debit - one.credit for one in postings if one.account == "receivables"), D(0))
    assert receivable == claim.totals.payable * (-1 if kind == "credit" else 1)


def test_journal_of_a_job_balances_and_leaves_what_is_due(job):
    deposit = issue(job, What.DEPOSIT)
    pay(job, "500000.00", deposit)
    final = issue(job, What.REST)
    credit(final, {D(20): D("10.00")})
    assert Account.objects.get(job=job).held > 0
    cast.give_back(job, "1.00")
    rows = list(journal(cast.TODAY, cast.TODAY))
    assert sum(one.debit for one in rows) == sum(one.credit for one in rows)
    left = sum(one.debit - one.credit for one in rows if one.account == "receivables")
    open_left = sum(Balance.objects.values_list("open", flat=True), D(0))
    assert left == open_left - Account.objects.get(job=job).held
    assert {one.number for one in rows} >= set(Document.objects.values_list("number", flat=True))


def test_journal_keeps_to_its_days(job):
    issue(job, What.DEPOSIT)
    assert list(journal(cast.TODAY + timedelta(days=1), date(2030, 1, 1))) == []
    assert list(journal(date(2020, 1, 1), cast.TODAY - timedelta(days=1))) == []


@pytest.mark.parametrize("name", ["=1+1", "@SUM(A1)", "+44", "-x", "\tx", "＝x"])
def test_no_cell_runs_in_a_spreadsheet(db, name):
    job = cast.new_job(name if name.strip() == name else "x" + name)
    job.customer.name = name
    job.customer.save()
    issue(job)
    table = list(csv.reader(io.StringIO(journal_csv(journal(cast.TODAY, cast.TODAY)).decode("utf-8-sig"))))
    assert tuple(table[0]) == COLUMNS
    customer = {row[COLUMNS.index("customer")] for row in table[1:]}
    assert customer == {f"'{name}"}


def test_journal_page_shows_and_exports(office, job):
    row = issue(job, What.DEPOSIT)
    days = {"first": "2026-03-01", "last": "2026-03-31"}
    page = reverse("billing:journal")
    assert row.number in office.get(page, days).content.decode()
    answer = office.get(page, days | {"as": "csv"})
    assert answer["Content-Type"].startswith("text/csv")
    assert "attachment" in answer["Content-Disposition"]
    assert row.number in answer.content.decode()
    assert office.get(page).status_code == 200


def test_days_in_the_wrong_order_are_told(office, db):
    answer = office.get(reverse("billing:journal"), {"first": "2026-03-31", "last": "2026-03-01"})
    assert answer.status_code == 400
    assert b"It lies before" in answer.content
    assert office.get(reverse("billing:journal"), {"first": "soon", "last": ""}).status_code == 400


@pytest.mark.parametrize(
    ("late", "bucket"), [(-5, 0), (0, 0), (1, 1), (30, 1), (31, 2), (60, 2), (61, 3), (90, 3), (91, 4), (900, 4)]
)
def test_a_debt_stands_in_the_bucket_of_its_day(unquoted, late, bucket):
    row = issue(unquoted)
    today = row.due_on + timedelta(days=late)
    (aged,) = aged_balances(today)
    assert [bool(amount) for amount in aged.amounts].index(True) == bucket == bucket_of(row.due_on, today)
    assert (aged.total, aged.customer, len(aged.amounts)) == (D("120.00"), "Hal Marrow", len(BUCKETS))


def test_aged_balances_add_up_to_all_that_is_open(job, unquoted):
    deposit = issue(job, What.DEPOSIT)
    pay(job, "0.37", deposit)
    issue(unquoted)
    pay(unquoted, "500.00", issue(unquoted))
    aged = aged_balances(cast.TODAY)
    (together,) = totals(aged)
    assert together.total == sum(Balance.objects.values_list("open", flat=True), D(0))
    assert [one.customer for one in aged] == ["Ada Fernwhistle"]
