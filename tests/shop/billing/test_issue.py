"""Issuing invoices: what they claim, their numbers, and that a form sent in twice is heard once."""

from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from estimating.pricing.quote import LineClass
from estimating.quotes.rules import RefusedError
from estimating.quotes.settings_services import save_terms
from estimating.quotes.store import terms_row
from shop.billing.agreement import agreement_of
from shop.billing.document_record import read_document
from shop.billing.drafting import books_of
from shop.billing.ledger import ledger_of
from shop.billing.models import Account, Balance, Document
from shop.billing.orders import Order, What
from shop.billing.services import issue_invoice
from tests.shop.billing import cast
from tests.shop.billing.cast import D, credit, issue, pay, typed


def payable(row):
    return read_document(row.content).totals.payable


def test_deposit_is_what_the_quote_says_to_the_cent(job):
    agreement = agreement_of(job)
    assert agreement is not None
    made = issue(job, What.DEPOSIT)
    assert payable(made) == agreement.record.priced.deposit
    assert made.kind == "deposit"
    assert made.number == "I-2026-001"


def test_all_invoices_of_an_agreed_price_claim_it_and_not_a_cent_more(job):
    agreement = agreement_of(job)
    assert agreement is not None
    total = agreement.total
    rows = [issue(job, What.DEPOSIT), issue(job, What.PART, amount=D("123.45")), issue(job, What.REST)]
    assert sum(payable(row) for row in rows) == total
    assert [row.kind for row in rows] == ["deposit", "progress", "final"]


def test_final_invoice_credits_deposits_rate_by_rate(job):
    deposit = issue(job, What.DEPOSIT)
    final = read_document(issue(job, What.REST).content)
    less = [line for line in final.lines if line.origin == f"less:{deposit.number}"]
    taken = read_document(deposit.content).totals.taxes
    assert [(line.tax_percent, -line.net) for line in less] == [(tax.tax_percent, tax.taxable) for tax in taken]


def test_nothing_is_invoiced_twice(job):
    issue(job, What.REST)
    with pytest.raises(RefusedError, match="Nothing is left"):
        issue(job, What.REST)
    with pytest.raises(RefusedError, match="more than what is left"):
        issue(job, What.PART, amount=D("0.01"))
    with pytest.raises(RefusedError, match="No deposit is left"):
        issue(job, What.DEPOSIT)


def test_a_part_is_at_most_what_is_left_of_the_agreed_price(job):
    left = books_of(job).agreed_left
    with pytest.raises(RefusedError, match="more than what is left"):
        issue(job, What.PART, amount=left + D("0.01"))
    assert payable(issue(job, What.PART, amount=left)) == left


@pytest.mark.parametrize("amount", ["0", "-1"])
def test_a_part_must_be_above_nothing(job, amount):
    with pytest.raises(RefusedError, match="above 0"):
        issue(job, What.PART, amount=D(amount))


def test_an_amount_finer_than_a_cent_is_refused(job):
    with pytest.raises(RefusedError, match="finer"):
        issue(job, What.PART, amount=D("1.001"))


def test_without_an_accepted_quote_there_is_no_agreed_price(unquoted):
    with pytest.raises(RefusedError, match="No quote has been accepted"):
        issue(unquoted, What.REST)


def test_typed_lines_are_not_slipped_onto_an_agreed_price(job):
    with pytest.raises(RefusedError, match="needs a change"):
        issue(job, What.REST, typed("10.00"))


def test_typed_lines_bear_the_tax_of_their_class(unquoted):
    record = read_document(issue(unquoted, What.WORK, typed("19.99", "3")).content)
    assert record.totals.net == D("59.97")
    assert record.totals.tax == D("11.99")
    assert record.totals.payable == D("71.96")


def test_an_invoice_of_nothing_is_refused(unquoted):
    with pytest.raises(RefusedError, match="Nothing is left"):
        issue_invoice(job=unquoted, order=Order(What.WORK), by="Otto", at=cast.NOON, key=uuid4())


def test_the_last_invoice_for_work_credits_the_deposit_once(job):
    deposit = issue(job, What.DEPOSIT)
    last = read_document(issue(job, What.WORK_REST, typed("5000.00")).content)
    assert last.totals.payable == D("6000.00") - payable(deposit)
    again = read_document(issue(job, What.WORK_REST, typed("10.00")).content)
    assert again.totals.payable == D("12.00")


def test_money_held_is_shown_as_paid_already(unquoted):
    first = issue(unquoted, What.WORK, typed("100.00"))
    pay(unquoted, "150.00", first)
    record = read_document(issue(unquoted, What.WORK, typed("50.00")).content)
    assert (record.totals.prepaid, record.totals.due) == (D("30.00"), D("30.00"))
    assert Balance.objects.get(document__number=record.number).open == D("30.00")


def test_a_job_is_invoiced_in_one_currency(unquoted):
    issue(unquoted)
    terms = terms_row()
    terms.currency = "CHF"
    save_terms(row=terms)
    with pytest.raises(RefusedError, match="invoiced in EUR, not in CHF"):
        issue(unquoted)


def test_an_accepted_quote_keeps_its_terms_for_its_invoices(job):
    terms = terms_row()
    terms.currency, terms.tax_parts_percent, terms.rate_per_h = "CHF", D("7.7"), D("500.00")
    save_terms(row=terms)
    record = read_document(issue(job, What.REST).content)
    assert record.currency == "EUR"
    assert {line.tax_percent for line in record.lines} == {D(20)}


def test_a_yen_has_no_cents(unquoted):
    terms = terms_row()
    terms.currency = "JPY"
    save_terms(row=terms)
    record = read_document(issue(unquoted, What.WORK, typed("99.50", "3")).content)
    assert [record.lines[0].net, record.totals.tax, record.totals.payable] == [D(299), D(60), D(359)]


def test_lines_of_several_rates_are_taxed_rate_by_rate(unquoted):
    terms = terms_row()
    terms.tax_labour_percent, terms.tax_carriage_percent = D("7"), None
    save_terms(row=terms)
    rows = [
        typed("33.33", line_class=LineClass.PARTS),
        typed("33.33", line_class=LineClass.LABOUR),
        typed("33.33", line_class=LineClass.CARRIAGE),
        typed("33.34", line_class=LineClass.LABOUR),
    ]
    totals = read_document(issue(unquoted, What.WORK, *rows).content).totals
    assert [(tax.tax_percent, tax.taxable, tax.tax) for tax in totals.taxes] == [
        (D(20), D("33.33"), D("6.67")),
        (D(7), D("66.67"), D("4.67")),
        (D(0), D("33.33"), D("0.00")),
    ]


def test_sent_in_twice_issued_once(unquoted):
    key = uuid4()
    first, second = issue(unquoted, key=key), issue(unquoted, key=key)
    assert first.pk == second.pk
    assert Document.objects.count() == 1


def test_a_key_of_another_job_is_refused(unquoted, job):
    key = uuid4()
    issue(unquoted, key=key)
    with pytest.raises(RefusedError, match="another job"):
        issue(job, key=key)


def test_what_is_issued_is_what_was_looked_at(job):
    with pytest.raises(RefusedError, match="changed since you looked"):
        issue_invoice(job=job, order=Order(What.REST), by="Otto", at=cast.NOON, key=uuid4(), seen="0123456789abcdef")
    assert not Document.objects.exists()


def test_a_roll_back_gives_the_number_back(unquoted):
    with transaction.atomic():
        issue(unquoted)
        transaction.set_rollback(True)
    assert issue(unquoted).number == "I-2026-001"


def test_invoices_and_credit_notes_have_series_of_their_own(unquoted):
    first = issue(unquoted)
    note = credit(first, {D(20): D("100.00")})
    assert (note.number, issue(unquoted).number) == ("CN-2026-001", "I-2026-002")


def test_two_documents_never_share_a_number(unquoted):
    first = issue(unquoted)
    copy = Document(**{f.attname: getattr(first, f.attname) for f in Document._meta.concrete_fields if f.name != "id"})
    copy.key, copy.step, copy.number = uuid4(), 9, "I-2026-009"
    with pytest.raises(IntegrityError), transaction.atomic():
        copy.save()


def test_balances_kept_are_those_that_the_entries_give(job):
    deposit = issue(job, What.DEPOSIT)
    pay(job, "1000000.00", deposit)
    issue(job, What.REST)
    ledger = ledger_of(job.pk)
    kept = dict(Balance.objects.values_list("document__number", "open"))
    assert kept == ledger.account.open
    account = Account.objects.get(job=job)
    assert (account.held, account.steps) == (ledger.account.held, 3)


def test_sum_of_columns_is_that_of_the_record(job):
    row = issue(job, What.DEPOSIT)
    row.refresh_from_db()
    totals = read_document(row.content).totals
    assert (row.net, row.tax, row.total, row.payable) == (totals.net, totals.tax, totals.total, totals.payable)
    assert Decimal(row.net) + row.tax == row.total
