"""From a frozen record to what the paper says."""

from __future__ import annotations

from typing import Any

from circuits.findings import Severity
from estimating.pricing.quote import LineClass, Terms
from estimating.quotes.changes import Changes
from estimating.quotes.paper_content import CircuitLine, QuoteContent
from estimating.quotes.paper_words import InWords
from estimating.quotes.record import Record

_MONEY_WORDS = {
    **{str(line_class): str(line_class).capitalize() for line_class in LineClass},
    "total": "Total with tax",
}
"""Sums that the paper tells the change of; net, tax and deposit follow from them."""


def paper_content(record: Record, *, is_draft: bool) -> QuoteContent:
    """What the paper of a record says; a draft has neither day nor last day."""
    heading, terms = record.heading, record.terms
    return QuoteContent(
        letterhead=record.letterhead,
        number=heading.number,
        revision=heading.revision,
        issued_on=None if is_draft else heading.date,
        valid_until=None if is_draft else heading.valid_until,
        by=heading.by,
        addressee=heading.addressee,
        vehicle=heading.vehicle,
        quote=record.priced,
        hours=record.hours,
        basis=terms.labour_basis,
        circuits=tuple(_circuit_line(row) for row in record.answer["circuits"]),
        rate_per_h=terms.rate_per_h,
        note=heading.note,
        exclusions=terms.exclusions,
        cautions=terms.cautions,
        findings=told_findings(record),
        changes=change_sentences(record.changes, terms) if record.changes is not None else (),
        changes_since=record.changes_since,
        locale=terms.locale,
    )


def told_findings(record: Record) -> tuple[str, ...]:
    """Warnings that the customer should know of, one sentence each."""
    return tuple(
        dict.fromkeys(
            finding["message"] for finding in record.answer["findings"] if finding["severity"] == Severity.WARNING
        )
    )


def _circuit_line(row: dict[str, Any]) -> CircuitLine:
    fuse = row["fuse"]
    return CircuitLine(
        circuit=row["circuit"],
        section=row["section"],
        work=row["disposition"],
        load=row["load"],
        fuse=f"{fuse['family']} {fuse['rating_a']:g} A" if fuse else "",
        wires=", ".join(dict.fromkeys(wire["size"] for wire in row["wires"])),
        fuse_family=fuse["family"] if fuse else "",
        fuse_a=float(fuse["rating_a"]) if fuse else None,
    )


def change_sentences(changes: Changes, terms: Terms) -> tuple[str, ...]:
    """What changed, one sentence each, for the paper: circuits, the hours that are sold, and money by class and in all.

    Examples
    --------
    >>> change_sentences(Changes(added=("fog lamps", "horn"), dropped=("trailer",)), Terms())
    ('Added: fog lamps, horn.', 'Left out: trailer.')
    """
    sentences = []
    if changes.added:
        sentences.append(f"Added: {', '.join(changes.added)}.")
    if changes.dropped:
        sentences.append(f"Left out: {', '.join(changes.dropped)}.")
    for altered in changes.altered:
        differences = "; ".join(
            f"{difference.name} {difference.after or 'none'} (was {difference.before or 'none'})"
            for difference in altered.differences
        )
        sentences.append(f"{altered.circuit}: {differences}.")
    sentences += [f"{words[:1].upper()}{words[1:]}." for words in changes.fittings]
    now, before = InWords(changes.currency, terms.locale), InWords(changes.currency_before, terms.locale)
    sentences += [
        f"Hours of labour, {change.name}: {now.hours(change.after_h)} (was {now.hours(change.before_h)})."
        for change in changes.hours
        if change.name == terms.labour_basis
    ]
    sentences += [
        f"{_MONEY_WORDS[change.name]}: {now.money(change.after)} (was {before.money(change.before)})."
        for change in changes.money
        if change.name in _MONEY_WORDS
    ]
    return tuple(sentences) or ("Nothing in circuits, hours or money.",)
