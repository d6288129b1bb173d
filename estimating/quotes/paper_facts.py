"""From a frozen record to what the paper says."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from babel.numbers import format_currency

from circuits.findings import Severity
from estimating.quotes.changes import Changes, MoneyChange
from estimating.quotes.paper_content import CircuitLine, QuoteContent
from estimating.quotes.record import Record


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
        changes=change_sentences(record.changes, terms.locale) if record.changes is not None else (),
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
    )


def change_sentences(changes: Changes, locale: str) -> tuple[str, ...]:
    """What changed, one sentence each, for the paper.

    Examples
    --------
    >>> change_sentences(Changes(added=("fog lamps", "horn"), dropped=("trailer",)), "en")
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
    sentences += [
        f"Hours {change.name}: {change.after_h:.1f} h (was {change.before_h:.1f} h)." for change in changes.hours
    ]
    sentences += [_money_sentence(change, changes, locale) for change in changes.money]
    return tuple(sentences) or ("Nothing in circuits, hours or money.",)


def _money_sentence(change: MoneyChange, changes: Changes, locale: str) -> str:
    def said(amount: Decimal, currency: str) -> str:
        return format_currency(amount, currency, locale=locale.replace("-", "_")) if currency else f"{amount:,f}"

    after, before = said(change.after, changes.currency), said(change.before, changes.currency_before)
    return f"{change.name.capitalize()}: {after} (was {before})."
