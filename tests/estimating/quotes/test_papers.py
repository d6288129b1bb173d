"""The quote on paper: every figure that was promised stands on it, as a customer reads it."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from io import BytesIO

import pytest
from PIL import Image

from circuits.plan import Disposition
from estimating.labour.hours import Spread
from estimating.pricing.price import LOT
from estimating.pricing.quote import LabourBasis, LineClass, PricedQuote, QuoteLine, TaxGroup
from estimating.quotes.paper_words import InWords, work_words
from estimating.quotes.papers import CircuitLine, Letterhead, QuoteContent, paper_of, quote_pdf
from tests.circuits.paper.reading import fonts, pages, whole

SECTIONS = ("engine bay", "behind the dash", "cabin floor", "rear")


def line(line_class: LineClass, text: str, quantity: str, unit: str, price: str, tax: int = 20) -> QuoteLine:
    net = (Decimal(quantity) * Decimal(price)).quantize(Decimal("0.01"))
    return QuoteLine(line_class, text, Decimal(quantity), unit, Decimal(price), net, Decimal(tax))


def priced() -> PricedQuote:
    lines = (
        *(line(LineClass.LABOUR, f"Labour: {section}", "12.5", "h", "75.00") for section in SECTIONS),
        line(LineClass.PARTS, "Wire", "1", LOT, "412.35"),
        line(LineClass.PARTS, "Fuses", "1", LOT, "61.20"),
        line(LineClass.SUNDRIES, "Sundries, 4 % of parts", "1", LOT, "18.94"),
        line(LineClass.CARRIAGE, "Carriage", "1", LOT, "18.00", tax=10),
    )
    net = sum((found.net for found in lines), Decimal(0))
    taxes = (
        TaxGroup(Decimal(20), net - 18, Decimal("848.50")),
        TaxGroup(Decimal(10), Decimal("18.00"), Decimal("1.80")),
    )
    return PricedQuote("EUR", lines, (), taxes, net, Decimal("850.30"), net + Decimal("850.30"), Decimal("1533.24"))


def circuit(number: int) -> CircuitLine:
    work = list(Disposition)[number % 4]
    return CircuitLine(
        f"circuit-{number}", SECTIONS[number % 4], work, f"lamp {number}", "blade 15 A", "14 AWG, 16 AWG", "blade", 15.0
    )


def content(**changed: object) -> QuoteContent:
    plain = QuoteContent(
        letterhead=Letterhead(
            "Kestrel Lane Electrics", "4 Kestrel Lane\nHollow Mill", "555 0134", "bench@kestrel.example"
        ),
        number="Q-2026-014",
        revision=2,
        issued_on=date(2026, 3, 2),
        valid_until=date(2026, 4, 1),
        by="Ana Brook",
        addressee="Ilse Marlow\n12 Orchard Row",
        vehicle="1969 two-door, OLD 69",
        quote=priced(),
        hours=Spread(51.0, 8.0, 50.2, 57.4, 61.9),
        basis=LabourBasis.P80,
        circuits=tuple(circuit(number) for number in range(42)),
        rate_per_h=Decimal(75),
        note="The rear loom is better than feared.",
        exclusions=("Body, trim and paint work.",),
        cautions=("A fuse protects its wire. Never fit a larger one.",),
        findings=("The charging cable is carried as it is.",),
        changes=("Added: trailer socket.",),
        changes_since=1,
        locale="en_GB",
    )
    return replace(plain, **changed)  # type: ignore[arg-type]


def flat(data: bytes) -> str:
    return " ".join(whole(data).replace("\xa0", " ").split())


def test_first_page_says_what_it_costs_until_when_and_what_is_included() -> None:
    first = " ".join(pages(quote_pdf(content()))[0].replace("\xa0", " ").split())
    for words in (
        "€5,110.79",
        "€1,533.24",
        "1 April 2026",
        "42 circuits",
        "in 8 of 10 such jobs we need no more hours",
    ):
        assert words in first


def test_every_line_tax_and_total_stands_on_the_paper() -> None:
    found, quote = flat(quote_pdf(content())), priced()
    for each in quote.lines:
        assert each.text.removeprefix("Labour: ") in found
        assert f"{each.net:,.2f}" in found
    for group in quote.taxes:
        assert f"{group.taxable:,.2f} {group.tax:,.2f}" in found
    for amount in (quote.net, quote.total, quote.deposit):
        assert f"{amount:,.2f}" in found


def test_class_of_several_lines_shows_its_sum() -> None:
    found = flat(quote_pdf(content()))
    assert "Labour 3,750.00" in found
    assert "Parts 473.55" in found


def test_names_note_changes_findings_exclusions_and_cautions_are_told() -> None:
    plain = content()
    found = flat(quote_pdf(plain))
    for words in (
        *plain.addressee.split("\n"),
        plain.vehicle,
        plain.note,
        "Changed since revision 1",
        *plain.changes,
        *plain.findings,
        *plain.exclusions,
        *plain.cautions,
        "Kestrel Lane Electrics",
        "Hollow Mill",
        "555 0134",
    ):
        assert words in found


def test_every_circuit_stands_once_and_whole_on_one_page() -> None:
    many = content(circuits=tuple(circuit(number) for number in range(120)))
    found = pages(quote_pdf(many))
    for number in range(120):
        (page,) = [text for text in found if re.search(rf"circuit-{number}\b", text)]
        assert re.search(rf"lamp {number}\b", page)


def test_forty_two_circuits_take_at_most_four_pages() -> None:
    assert len(pages(quote_pdf(content()))) <= 4


def test_signature_lines_stay_with_what_is_signed() -> None:
    for count in range(1, 40, 3):
        texts = tuple(f"Exclusion {i}, said in a few words." for i in range(count))
        (page,) = [text for text in pages(quote_pdf(content(exclusions=texts))) if "I accept revision 2" in text]
        assert all(words in page for words in ("Place and date", "Name", "Signature"))


def test_accepted_quote_says_by_whom_and_when() -> None:
    found = flat(quote_pdf(content(accepted_by="Ilse Marlow", accepted_at=datetime(2026, 3, 9, 10, 5, tzinfo=UTC))))
    assert "Ilse Marlow accepted revision 2 of quote Q-2026-014 for €5,110.79 with tax on 9 March 2026, 10:05." in found
    assert "Signature" not in found


def test_draft_says_so_and_has_nothing_to_sign() -> None:
    found = flat(quote_pdf(content(issued_on=None, valid_until=None)))
    assert "Draft, not sent" in found
    assert "2 draft" in found
    assert "Signature" not in found


def test_first_revision_tells_of_no_changes() -> None:
    assert "Changed since" not in flat(quote_pdf(content(changes=(), changes_since=None)))


def test_basis_of_the_hours_is_said_in_plain_words() -> None:
    found = flat(quote_pdf(content(basis=LabourBasis.P50)))
    assert "P50: in 5 of 10 such jobs we need no more hours" in found
    assert "P50 50.2 h sold" in found


@pytest.mark.parametrize(
    ("locale", "total", "day"),
    [
        ("de", "5.110,79 €", "1. April 2026"),
        ("en_US", "€5,110.79", "April 1, 2026"),
        ("fr_FR", "5 110,79 €", "1 avril 2026"),
    ],
)
def test_money_and_days_are_written_as_the_locale_does(locale: str, total: str, day: str) -> None:
    found = flat(quote_pdf(content(locale=locale))).replace("\u202f", " ")
    assert total in found
    assert day in found


def test_currency_without_decimals_shows_none() -> None:
    assert InWords("JPY", "en").amount(Decimal(123456)) == "123,456"
    assert InWords("EUR", "en").unit_price(Decimal("0.1234")) == "0.1234"
    assert InWords("EUR", "xx").day(date(2026, 3, 2)) == "March 2, 2026"


@pytest.mark.parametrize(
    "name", ["Σταύρος Ωμέγας", "Ёжикова Щука", "Żaneta Łoś", "Şükrü Iğdır", "山田 花子", "王小明", "김민수"]
)
def test_names_of_any_script_stay_intact(name: str) -> None:
    assert name in flat(quote_pdf(content(addressee=name, vehicle=name)))


def test_every_font_is_embedded() -> None:
    found = fonts(quote_pdf(content(addressee="山田 花子")))
    assert found
    assert all(found.values()), found


def test_long_words_and_markup_are_printed_as_they_are() -> None:
    word = "Überlandleitungsprüfungsbeauftragtenvertretungssitzungsprotok"
    nasty = '<b>&amp;</b> <img src="x"/>'
    found = flat(quote_pdf(content(note=nasty, circuits=(replace(circuit(1), circuit=word, load=word),))))
    assert nasty in found
    assert word in found.replace(" ", "")


def test_same_content_same_bytes() -> None:
    assert quote_pdf(content()) == quote_pdf(content())


def test_logo_is_printed_and_a_broken_one_left_out() -> None:
    picture = BytesIO()
    Image.new("RGB", (400, 100), "navy").save(picture, "PNG")
    head = content().letterhead
    with_logo = quote_pdf(content(letterhead=replace(head, logo_png=picture.getvalue())))
    without = quote_pdf(content(letterhead=replace(head, logo_png=b"no picture")))
    assert b"/Image" in with_logo
    assert b"/Subtype /Image" not in without


def test_quote_without_hours_or_circuits_is_still_a_paper() -> None:
    assert "Quote" in flat(quote_pdf(content(hours=Spread(0, 0, 0, 0, 0), circuits=())))


def test_every_kind_of_work_has_its_words() -> None:
    lines = tuple(replace(circuit(0), work=disposition) for disposition in Disposition)
    assert work_words(lines) == (
        "6 circuits: 1 replaced, 1 added new, 1 repaired, 1 kept as it is, 1 removed, 1 capped off"
    )


def test_paper_size_goes_by_the_country_of_the_locale() -> None:
    assert [paper_of(locale).name for locale in ("en_US", "en-CA", "en_GB", "de", "en")] == [
        "LETTER", "LETTER", "A4", "A4", "A4",
    ]  # fmt: skip
