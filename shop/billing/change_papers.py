"""The paper of a change: what it costs more or less first, then which circuits and parts, last what to sign."""

from __future__ import annotations

from reportlab.platypus import Flowable

from circuits.paper.flow import SignatureLines, Words, bullets, kept_section, section, together
from circuits.paper.rows import Column, rows
from circuits.paper.sheet import pdf, text_width
from circuits.paper.styles import BODY, Align
from circuits.paper.title_block import TitleBlock
from estimating.pricing.change import PricedChange
from estimating.quotes.changes import Changes
from estimating.quotes.paper_facts import change_sentences
from estimating.quotes.paper_words import InWords
from estimating.quotes.papers import paper_of
from shop.billing.change_record import ChangeRecord
from shop.billing.paper_parts import Head, figures, lines_table, note, opening, sums_table


def change_pdf(record: ChangeRecord) -> bytes:
    """A change as a PDF: the same bytes for the same record."""
    locale = record.terms.locale
    paper = paper_of(locale)
    width, heading, priced = text_width(paper), record.heading, record.priced
    said = InWords(priced.currency, locale)
    facts = (
        ("Change", str(heading.number)),
        ("To", f"quote {heading.quote_number}, revision {heading.revision}"),
        ("Date", said.day(heading.date)),
        ("Job", heading.job_number),
        ("Made out by", heading.by),
    )
    head = Head("Change", record.letterhead, heading.addressee, heading.vehicle, facts)
    boxes = [
        (more_or_less(priced), said.money(abs(priced.total))),
        ("New total with tax", said.money(priced.after)),
        ("Agreed before", said.money(priced.before)),
    ]
    story = [
        *opening(head, width),
        figures(boxes, width),
        Words(f"Against {heading.since}, by the same rules, terms and prices.", BODY),
        *note(heading.note),
        *section("Circuits", *bullets(circuit_sentences(record))),
        *_money(priced, said, width),
        *_parts(priced, said, width),
        *_acceptance(record, said),
    ]
    block = TitleBlock(
        title="Change",
        subject=" ".join(heading.vehicle.split()),
        number=heading.quote_number,
        revision=f"change {heading.number}",
        date=heading.date,
        by=heading.by,
    )
    return pdf(block, story, paper=paper, author=record.letterhead.name, locale=locale)


def more_or_less(priced: PricedChange) -> str:
    """What the difference is called."""
    return "Less, with tax" if priced.total < 0 else "More, with tax"


def circuit_sentences(record: ChangeRecord) -> tuple[str, ...]:
    """Circuits added, left out and altered, one sentence each."""
    circuits = Changes(record.circuits.added, record.circuits.dropped, record.circuits.altered)
    return change_sentences(circuits, record.terms)


def _money(priced: PricedChange, said: InWords, width: float) -> list[Flowable]:
    if not priced.lines:
        return section("What it costs", Words("Nothing more and nothing less.", BODY))
    sums = [("Difference with tax", priced.total), ("New total with tax", priced.after)]
    tables = [
        lines_table(priced.lines, said, width),
        together(sums_table(priced.net, priced.taxes, sums, said, width)),
    ]
    return section("What it costs", *tables)


def _parts(priced: PricedChange, said: InWords, width: float) -> list[Flowable]:
    if not priced.parts:
        return []
    columns = [
        Column("Part", 1.6),
        Column("", 3.2),
        Column("Before", 1.2, Align.RIGHT),
        Column("Now", 1.2, Align.RIGHT),
        Column("", 0.8),
    ]
    cells = [
        [part.kind, part.spec, said.quantity(part.before), said.quantity(part.after), part.unit]
        for part in priced.parts
    ]
    return section("Parts", rows(columns, cells, width_pt=width))


def _acceptance(record: ChangeRecord, said: InWords) -> list[Flowable]:
    heading = record.heading
    words = (
        f"I accept change {heading.number} to quote {heading.quote_number}. The agreed price with tax is then "
        f"{said.money(record.priced.after)}."
    )
    return kept_section("Acceptance", Words(words, BODY), SignatureLines(["Place and date", "Name", "Signature"]))
