"""The papers of invoices and credit notes: what is due and when first, then what for, last what it rests on."""

from __future__ import annotations

from decimal import Decimal

from reportlab.platypus import Flowable

from circuits.paper.flow import Words, bullets, section, together
from circuits.paper.sheet import pdf, text_width
from circuits.paper.styles import BODY, QUIET
from circuits.paper.title_block import TitleBlock
from estimating.quotes.paper_words import InWords
from estimating.quotes.papers import paper_of
from shop.billing.document_record import DocumentRecord
from shop.billing.models import Basis, Kind
from shop.billing.paper_parts import Head, figures, lines_table, note, opening, sums_table

TITLES = {str(kind.value): kind.label for kind in Kind}
_ROUNDING = "Rounding, so that all invoices together come to the agreed price"
_RULE = (
    "Each line is rounded once; tax is worked out once for each rate, on the sum of its lines, and rounded once "
    "(EN 16931, BR-CO-10 to BR-CO-17)."
)


def document_pdf(record: DocumentRecord) -> bytes:
    """An invoice or credit note as a PDF: the same bytes for the same record.

    Returns
    -------
    bytes
        On A4, or on letter paper where the locale's country uses it.
    """
    paper = paper_of(record.locale)
    width = text_width(paper)
    said = InWords(record.currency, record.locale)
    lines = [lines_table(record.lines, said, width)] if record.lines else []
    heading = "What is credited" if record.kind == Kind.CREDIT else "What for"
    story = [
        *opening(_head(record, said), width),
        figures(_figures(record, said), width),
        *note(record.note),
        *section(heading, *lines, together(_sums(record, said, width)), Words(_RULE, QUIET)),
        *_agreed(record),
        *_payment(record, said),
    ]
    block = TitleBlock(
        title=TITLES[record.kind],
        subject=" ".join(record.vehicle.split()) or record.addressee.partition("\n")[0],
        number=record.number or "not issued",
        date=record.date,
        by=record.by,
    )
    return pdf(block, story, paper=paper, author=record.letterhead.name, locale=record.locale)


def _head(record: DocumentRecord, said: InWords) -> Head:
    facts = [("Number", record.number or "not issued"), ("Date", said.day(record.date)), ("Job", record.job_number)]
    if record.kind == Kind.CREDIT:
        facts.append(("Credits", f"invoice {record.credits}"))
    facts.append(("Made out by", record.by))
    return Head(TITLES[record.kind], record.letterhead, record.addressee, record.vehicle, tuple(facts))


def _figures(record: DocumentRecord, said: InWords) -> list[tuple[str, str]]:
    totals = record.totals
    if record.kind == Kind.CREDIT:
        return [("Credited with tax", said.money(totals.payable)), ("On invoice", record.credits)]
    if totals.due < 0:
        return [("In your favour", said.money(-totals.due)), ("Total with tax", said.money(totals.payable))]
    return [
        ("To be paid", said.money(totals.due)),
        ("Total with tax", said.money(totals.payable)),
        ("Please pay by", said.day(record.due_on)),
    ]


def sums_of(record: DocumentRecord) -> list[tuple[str, Decimal]]:
    """The sums below net and tax, each with its words; those that are 0 are left out, but for the first and last."""
    totals = record.totals
    last = "Credited" if record.kind == Kind.CREDIT else "To be paid"
    sums = [("Total with tax", totals.total)]
    if totals.prepaid:
        sums.append(("Paid already", -totals.prepaid))
    if totals.rounding:
        sums.append((_ROUNDING, totals.rounding))
    return [*sums, (last, totals.due)]


def _sums(record: DocumentRecord, said: InWords, width: float) -> Flowable:
    return sums_table(record.totals.net, record.totals.taxes, sums_of(record), said, width)


def _agreed(record: DocumentRecord) -> list[Flowable]:
    if not record.agreed or record.basis != Basis.AGREED:
        return []
    return section("What it rests on", *bullets(record.agreed))


def _payment(record: DocumentRecord, said: InWords) -> list[Flowable]:
    if record.kind == Kind.CREDIT:
        words = "What of it is not needed for other invoices is paid back."
    elif record.totals.due > 0:
        amount, day = said.money(record.totals.due), said.day(record.due_on)
        words = f"Please pay {amount} by {day} and name {record.number or 'this invoice'}."
    else:
        words = "Nothing is to be paid on this invoice."
    return section("Payment", Words(words, BODY))
