"""Papers of invoices, credit notes and changes: what they say, that they keep saying it, and long and foreign names."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from django.urls import reverse
from pypdf import PdfReader

from circuits.outbox.models import OutboxRow
from estimating.quotes.settings_services import save_terms
from estimating.quotes.store import terms_row
from shop.billing.change_papers import change_pdf
from shop.billing.change_record import read_change
from shop.billing.change_services import send_change
from shop.billing.document_record import read_document, write_document
from shop.billing.issue import paper_of_document
from shop.billing.models import ChangePaper, DocumentPaper
from shop.billing.orders import What
from shop.billing.papers import document_pdf
from tests.estimating.quotes.cast import FAN, HEADLAMP, SOCKET, TAIL
from tests.shop.billing import cast
from tests.shop.billing.cast import D, credit, issue, pay, plan_becomes, typed


def text_of(pdf: bytes | memoryview) -> str:
    pages = (page.extract_text() for page in PdfReader(io.BytesIO(bytes(pdf))).pages)
    return " ".join(" ".join(pages).replace("\xa0", " ").split())


def paper(row) -> str:
    return text_of(paper_of_document(row.pk, at=cast.NOON).pdf)


def test_an_invoice_says_what_the_law_and_the_customer_want(job):
    row = issue(job, What.DEPOSIT)
    said = paper(row)
    record = read_document(row.content)
    for words in (
        "Deposit invoice", row.number, "March 2, 2026", "Ada Fernwhistle", "14 Nowhere Lane", "HE 71", job.number,
        "Tax 20 %", "Please pay", "March 16, 2026", "accepted by A. Fernwhistle", "Otto",
        f"{record.totals.payable:,.2f}", f"{record.totals.net:,.2f}", f"{record.totals.tax:,.2f}",
    ):  # fmt: skip
        assert words in said, words


def test_a_final_invoice_shows_deposits_taken_off(job):
    deposit = issue(job, What.DEPOSIT)
    assert f"Less deposit invoice {deposit.number}" in paper(issue(job, What.REST))


def test_lines_of_a_change_say_so(job):
    plan_becomes(job, HEADLAMP, TAIL, FAN, SOCKET)
    change = send_change(job=job, note="", by="Otto", at=cast.NOON)
    from shop.billing.change_services import answer_change

    answer_change(change=change, accepted=True, name="A. F.", at=cast.NOON)
    said = paper(issue(job, What.REST))
    assert "Change 1: Labour" in said
    assert "Change 1, accepted by A. F. on March 2, 2026" in said


def test_a_credit_note_names_its_invoice_and_reason(unquoted):
    row = issue(unquoted)
    said = paper(credit(row, {D(20): D("40.00")}, "Grommet sent back"))
    for words in ("Credit note", f"invoice {row.number}", "Grommet sent back", "48.00"):
        assert words in said


def test_money_paid_before_is_taken_off_what_is_to_be_paid(unquoted):
    pay(unquoted, "150.00", issue(unquoted))
    said = paper(issue(unquoted, What.WORK, typed("50.00")))
    assert "Paid already -30.00" in said
    assert "Please pay €30.00" in said


def test_an_invoice_in_the_customers_favour_asks_for_nothing(unquoted):
    said = paper(issue(unquoted, What.WORK, typed("50.00", "-1")))
    assert "In your favour" in said
    assert "Nothing is to be paid on this invoice" in said


def test_a_change_says_what_it_costs_and_where_to_sign(job):
    plan_becomes(job, HEADLAMP, TAIL, FAN, SOCKET)
    change = send_change(job=job, note="As asked for.", by="Otto", at=cast.NOON)
    record = read_change(change.content)
    said = text_of(change_pdf(record))
    for words in (
        "Change", "Added: socket", "As asked for.", "More, with tax", f"{record.priced.total:,.2f}",
        f"{record.priced.after:,.2f}", "I accept change 1", "Signature",
    ):  # fmt: skip
        assert words in said, words


def test_a_change_that_saves_says_so(job):
    plan_becomes(job, HEADLAMP)
    said = text_of(change_pdf(read_change(send_change(job=job, note="", by="Otto", at=cast.NOON).content)))
    assert "Less, with tax" in said
    assert "Left out: tail lamp, cooling fan" in said


def test_a_record_is_read_back_as_it_was(job):
    record = read_document(issue(job, What.DEPOSIT).content)
    assert read_document(write_document(record)) == record


def test_an_issued_paper_keeps_its_data(job):
    row = issue(job, What.DEPOSIT)
    before = document_pdf(read_document(row.content))
    terms = terms_row()
    terms.currency, terms.locale, terms.rate_per_h = "CHF", "de", D("500.00")
    save_terms(row=terms)
    job.customer.name, job.customer.address = "Somebody Else", "Elsewhere"
    job.customer.save()
    row.refresh_from_db()
    assert document_pdf(read_document(row.content)) == before
    assert bytes(paper_of_document(row.pk, at=cast.NOON).pdf) == before


@pytest.mark.django_db(transaction=True)
def test_papers_are_made_through_the_outbox_once_the_document_is_stored():
    job = cast.booked_job()
    row = issue(job, What.DEPOSIT)
    assert OutboxRow.objects.get(task="billing.make_paper").done_at is not None
    assert DocumentPaper.objects.get().document_id == row.pk
    plan_becomes(job, HEADLAMP, SOCKET)
    send_change(job=job, note="", by="Otto", at=cast.NOON)
    assert ChangePaper.objects.count() == 1


def test_a_paper_is_made_once(job):
    row = issue(job, What.DEPOSIT)
    first = paper_of_document(row.pk, at=cast.NOON)
    assert paper_of_document(row.pk, at=cast.LATER).pk == first.pk


def test_the_page_of_a_paper_serves_it(office, job):
    row = issue(job, What.DEPOSIT)
    answer = office.get(reverse("billing:invoice_paper", args=[job.pk, row.pk]))
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content[:5] == b"%PDF-"
    plan_becomes(job, HEADLAMP, SOCKET)
    send_change(job=job, note="", by="Otto", at=cast.NOON)
    assert office.get(reverse("billing:change_paper", args=[job.pk, 1])).content[:5] == b"%PDF-"


LONG = "Wilhelmina-Konstantinopolitanische Oldtimerrestaurierungsgesellschaft mit sehr beschränkter Haftung & Söhne"


@pytest.mark.parametrize("name", [LONG, "石田自動車電機株式会社", "שרון לוי", "Łukasz Żółć", "Ада Ферн"])
def test_long_and_foreign_names_stand_on_the_paper(job, name):
    record = replace(read_document(issue(job, What.DEPOSIT).content), addressee=name, by=name)
    pdf = document_pdf(record)
    said = text_of(pdf).replace(" ", "")
    if name != "שרון לוי":  # written from right to left: the text of a PDF comes in drawing order
        assert name.replace(" ", "") in said
    for page in PdfReader(io.BytesIO(pdf)).pages:
        fonts = page["/Resources"]["/Font"]  # type: ignore[index]
        for font in fonts.values():
            found = font.get_object()
            inner = found.get("/DescendantFonts", [found])[0].get_object()
            assert "/FontFile2" in inner["/FontDescriptor"].get_object(), "every font is embedded"


def test_a_long_invoice_repeats_its_head_on_every_page(unquoted):
    row = issue(unquoted, What.WORK, *[typed(f"{index}.00") for index in range(1, 120)])
    pages = PdfReader(io.BytesIO(bytes(paper_of_document(row.pk, at=cast.NOON).pdf))).pages
    assert len(pages) > 2
    for index, page in enumerate(pages, start=1):
        said = " ".join(page.extract_text().split())
        assert f"{index} of {len(pages)}" in said
        assert row.number in said
    assert "Net, EUR" in pages[1].extract_text().replace("\xa0", " ")
