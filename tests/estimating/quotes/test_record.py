"""The frozen record: comes back whole, and says the same on page, paper and in JSON."""

import io
import json
import re
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from circuits.sheets import read_sheet
from estimating.quotes.draft import draft_of
from estimating.quotes.issue import paper_of
from estimating.quotes.models import TermsRow
from estimating.quotes.record import read_record, write_record
from estimating.quotes.services import send_revision
from estimating.quotes.settings_services import save_terms
from estimating.quotes.store import terms_row
from tests.estimating.quotes import cast


def test_record_comes_back_as_it_was_written(quote):
    record = draft_of(quote, quote.revisions.get(), by="Ada", at=cast.NOON).record
    assert read_record(write_record(record)) == record


def test_frozen_plan_reads_back_as_a_circuit_sheet(sent):
    data = read_record(sent.content).plan
    assert read_sheet(("plan.json", json.dumps(data).encode())) == cast.PLAN


def test_fingerprint_names_the_offer_not_the_day(quote):
    def of(by="Ada", at=cast.NOON):
        return draft_of(quote, quote.revisions.get(), by=by, at=at).fingerprint

    assert of() == of(by="Ben", at=cast.NOON + timedelta(days=3))
    before = of()
    quote.addressee = "Somebody else"
    assert of() != before


def _terms(**changed):
    row = terms_row()
    for name, value in changed.items():
        setattr(row, name, value)
    save_terms(row=row)


def _digits(text):
    return re.sub(r"[^\d]", "", text)


@pytest.mark.parametrize(
    ("currency", "locale"), [("EUR", "en"), ("EUR", "de"), ("JPY", "ja"), ("KWD", "en"), ("GBP", "en_GB")]
)
def test_total_is_the_same_on_page_paper_and_in_json(office, quote, currency, locale):
    _terms(
        currency=currency,
        locale=locale,
        rate_per_h=Decimal("63.37"),
        carriage=Decimal("7.77"),
        tax_parts_percent=Decimal("8.1"),
        tax_labour_percent=Decimal("17"),
        tax_carriage_percent=None,
    )
    revision = send_revision(quote=quote, by="Ada", at=timezone.now())
    args = [quote.pk, revision.number]
    told = json.loads(office.get(reverse("quotes:answer", args=args)).content)["quote"]
    page = _digits(office.get(reverse("quotes:revision", args=args)).content.decode())
    pdf = PdfReader(io.BytesIO(bytes(paper_of(revision.pk, at=cast.NOON).pdf)))
    paper = _digits(" ".join(sheet.extract_text() for sheet in pdf.pages))
    for name in ("net", "tax", "total", "deposit"):
        if name == "tax":
            assert Decimal(told["tax"]) == sum(Decimal(group["tax"]) for group in told["taxes"])
            continue
        assert _digits(told[name]) in page, name
        assert _digits(told[name]) in paper, name
    for group in told["taxes"]:
        if Decimal(group["tax"]):
            assert _digits(group["tax"]) in page
            assert _digits(group["tax"]) in paper
    assert Decimal(told["total"]) == Decimal(told["net"]) + Decimal(told["tax"])
    assert sum(Decimal(line["net"]) for line in told["lines"]) == Decimal(told["net"])


def test_sent_revision_keeps_its_terms_when_the_shop_changes_them(sent):
    _terms(cautions="Mind the dog.", rate_per_h=Decimal(999))
    assert TermsRow.objects.get().rate_per_h == 999
    record = read_record(sent.content)
    assert record.terms.rate_per_h == Decimal("75.00")
    assert replace(record, changes=None) == record


def test_letterhead_is_frozen_with_the_revision(quote, settings):
    settings.LOOMWRIGHT_LETTERHEAD = "tests.estimating.quotes.cast.letterhead"
    revision = send_revision(quote=quote, by="Ada", at=cast.NOON)
    settings.LOOMWRIGHT_LETTERHEAD = ""
    letterhead = read_record(revision.content).letterhead
    assert letterhead.name == "Wharf Lane Auto Electrics, invented"
    assert letterhead.logo_png == b"\x89PNG"
