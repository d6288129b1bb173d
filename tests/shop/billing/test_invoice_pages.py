"""Pages that make invoices, credit notes and payments: looked at first, heard once, refused in words."""

from __future__ import annotations

import re
from uuid import uuid4

import pytest
from django.urls import reverse

from shop.billing.document_record import read_document
from shop.billing.models import Document, Payment
from shop.billing.orders import What
from tests.shop.billing.cast import D, credit, issue, pay
from tests.shop.billing.pages import LINE, invoice_form, issue_by_page, lines, seen_in, text_of, url


def test_lines_are_looked_at_before_they_are_issued(office, job):
    looked = office.post(url("new_invoice", job), invoice_form("rest"))
    assert "Final invoice, as it would be issued" in text_of(looked)
    assert not Document.objects.exists()


def test_a_link_that_names_the_kind_shows_the_lines_at_once(office, job):
    looked = office.get(url("new_invoice", job) + "?what=deposit")
    assert "Deposit invoice, as it would be issued" in text_of(looked)


@pytest.mark.parametrize("what", ["", "nonsense", "<script>"])
def test_a_link_that_names_no_kind_shows_the_form(office, job, what):
    answer = office.get(url("new_invoice", job), {"what": what})
    assert answer.status_code == 200
    assert "as it would be issued" not in text_of(answer)


def test_issuing_by_page(office, job):
    answer = issue_by_page(office, job, "deposit")
    assert "Deposit invoice I-2026" not in text_of(answer) or Document.objects.count() == 1
    row = Document.objects.get()
    assert row.issued_by == "office"
    assert answer.redirect_chain[-1][0] == url("invoice", job, row.pk)


def test_issuing_without_having_looked_issues_nothing(office, job):
    answer = office.post(url("new_invoice", job), invoice_form("rest", act="issue"))
    assert "changed since you looked" in text_of(answer)
    assert not Document.objects.exists()


def test_issuing_something_other_than_was_looked_at_issues_nothing(office, job):
    looked = office.post(url("new_invoice", job), invoice_form("part", amount="100.00"))
    form = invoice_form("part", amount="200.00", act="issue", seen=seen_in(looked))
    answer = office.post(url("new_invoice", job), form)
    assert "changed since you looked" in text_of(answer)
    assert not Document.objects.exists()


def test_the_issue_button_pressed_twice_issues_once(office, job):
    form = invoice_form("deposit")
    seen = seen_in(office.post(url("new_invoice", job), form))
    for _ in range(2):
        answer = office.post(url("new_invoice", job), form | {"act": "issue", "seen": seen})
    assert Document.objects.count() == 1
    assert answer.status_code == 302


def test_typed_lines_are_invoiced_and_blank_ones_are_not(office, unquoted):
    blank = {"text": "", "line_class": "parts", "quantity": "1", "unit": "piece", "unit_price": ""}
    issue_by_page(office, unquoted, "work", **lines(LINE, blank))
    record = read_document(Document.objects.get().content)
    assert [(line.text, line.net) for line in record.lines] == [("Grommet", D("3.00"))]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"text": ""}, "Say what it is"),
        ({"unit_price": ""}, "Give the price of one"),
        ({"quantity": "0"}, "other than 0"),
        ({"quantity": "lots"}, "Enter a number"),
        ({"unit_price": "1e400"}, "Enter a number|digits"),
        ({"unit_price": "NaN"}, "Enter a number"),
        ({"line_class": "bribes"}, "Select a valid choice"),
    ],
)
def test_half_a_line_is_told_and_nothing_typed_is_lost(office, unquoted, change, said):
    answer = office.post(url("new_invoice", unquoted), invoice_form("work", **lines(LINE | change)))
    assert answer.status_code == 400
    assert re.search(said, text_of(answer))
    if change.get("text", "x"):
        assert 'value="Grommet"' in answer.content.decode()
    assert not Document.objects.exists()


def test_more_lines_keep_what_was_typed(office, unquoted):
    answer = office.post(url("new_invoice", unquoted), invoice_form("work", **lines(LINE), act="more"))
    page = answer.content.decode()
    assert 'value="Grommet"' in page
    assert 'name="line-3-text"' in page


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ({"what": "part", "amount": "99999999"}, "more than what is left"),
        ({"what": "part", "amount": ""}, "above 0"),
        ({"what": "part", "amount": "-5"}, "greater than or equal to 0"),
        ({"what": "rest", "days": "4000"}, "less than or equal to 365"),
        ({"what": "", "days": "1"}, "required"),
        ({"what": "rest", "key": "not-a-key"}, "Enter a valid UUID|valid"),
        ({"what": "rest", "line-TOTAL_FORMS": "x"}, "ManagementForm|management"),
    ],
)
def test_bad_input_gets_one_clear_message(office, job, form, said):
    answer = office.post(url("new_invoice", job), invoice_form("rest") | form)
    assert answer.status_code == 400
    assert not Document.objects.exists()
    if "key" not in form:
        assert re.search(said, text_of(answer)), text_of(answer)


def test_invoice_page_shows_what_became_of_it(office, job):
    row = issue(job, What.DEPOSIT)
    pay(job, "10.00", row)
    note = credit(row, {D(20): D("5.00")}, "Customer's own relay")
    page = text_of(office.get(url("invoice", job, row.pk)))
    for words in ("Deposit invoice I-2026-001", note.number, "€10.00 received", "overdue", "revision 1, accepted by"):
        assert words in page
    assert "Customer's own relay" in text_of(office.get(url("invoice", job, note.pk))).replace("&#x27;", "'")


def test_a_document_is_only_found_on_its_own_job(office, job, unquoted):
    row = issue(unquoted)
    assert office.get(url("invoice", job, row.pk)).status_code == 404
    assert office.get(reverse("billing:find", args=[row.pk])).url == url("invoice", unquoted, row.pk)


def test_payment_page_offers_what_is_open(office, job):
    row = issue(job, What.DEPOSIT)
    page = office.get(url("pay", job) + f"?invoice={row.pk}").content.decode()
    assert f"{read_document(row.content).totals.payable}" in page
    form = {"invoice": row.pk, "amount": "12.30", "means": "cash", "moved_on": "2026-03-02", "key": str(uuid4())}
    for _ in range(2):
        assert office.post(url("pay", job), form).status_code == 302
    payment = Payment.objects.get()
    assert (payment.amount, payment.means, payment.invoice) == (D("12.30"), "cash", row)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"amount": "0"}, "must be above 0"),
        ({"amount": "1.005"}, "finer than EUR"),
        ({"amount": "x"}, "Enter a number"),
        ({"moved_on": "2099-01-01"}, "yet to come"),
        ({"means": "shells"}, "Select a valid choice"),
        ({"invoice": "777"}, "Select a valid choice"),
    ],
)
def test_a_bad_payment_is_refused_in_words(office, job, change, said):
    row = issue(job, What.DEPOSIT)
    form = {"invoice": row.pk, "amount": "12.30", "means": "cash", "moved_on": "2026-03-02", "key": str(uuid4())}
    answer = office.post(url("pay", job), form | change)
    assert answer.status_code == 400
    assert said in text_of(answer)
    assert not Payment.objects.exists()


def test_a_payment_before_any_invoice_is_refused_in_words(office, job):
    form = {"amount": "12.30", "means": "cash", "moved_on": "2026-03-02", "key": str(uuid4())}
    assert "issue the deposit invoice first" in text_of(office.post(url("pay", job), form))


def test_refund_page_pays_back_what_is_held_and_no_more(office, unquoted):
    assert "nothing to pay back" in text_of(office.get(url("refund", unquoted)))
    pay(unquoted, "150.00", issue(unquoted))
    assert 'value="30.00"' in office.get(url("refund", unquoted)).content.decode()
    form = {"amount": "30.01", "means": "bank", "moved_on": "2026-03-02", "key": str(uuid4())}
    answer = office.post(url("refund", unquoted), form)
    assert "30.00 can be paid back, not 30.01" in text_of(answer)
    assert office.post(url("refund", unquoted), form | {"amount": "30.00"}).status_code == 302


def test_credit_page_shows_then_issues(office, unquoted):
    row = issue(unquoted)
    page = office.get(url("credit", unquoted, row.pk)).content.decode()
    assert 'value="100.00"' in page
    form = {"reason": "Sent back", "net_0": "40.00", "key": str(uuid4()), "act": "look"}
    looked = office.post(url("credit", unquoted, row.pk), form)
    assert "48.00" in text_of(looked)
    answer = office.post(url("credit", unquoted, row.pk), form | {"act": "issue", "seen": seen_in(looked)})
    assert answer.status_code == 302
    assert Document.objects.get(kind="credit").number == f"CN-{Document.objects.get(kind='credit').issued_on.year}-001"


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ({"net_0": "100.01"}, "remain to be credited"),
        ({"net_0": ""}, "every amount is 0"),
        ({"reason": " "}, "required"),
    ],
)
def test_a_bad_credit_is_refused_in_words(office, unquoted, form, said):
    row = issue(unquoted)
    given = {"reason": "Sent back", "net_0": "40.00", "key": str(uuid4()), "act": "look"} | form
    answer = office.post(url("credit", unquoted, row.pk), given)
    assert answer.status_code == 400
    assert said in text_of(answer)


def test_a_deposit_credited_on_the_final_invoice_is_not_credited_again(office, job):
    deposit = issue(job, What.DEPOSIT)
    final = issue(job, What.REST)
    assert "Credit it" not in text_of(office.get(url("invoice", job, deposit.pk)))
    given = {"reason": "x", "net_0": "1.00", "key": str(uuid4()), "act": "look"}
    answer = office.post(url("credit", job, deposit.pk), given)
    assert f"credited on invoice {final.number} already" in text_of(answer)
