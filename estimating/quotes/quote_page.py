"""What the page of a quote shows: where it stands, what would be sent now, and what has been sent."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.utils import timezone

from circuits.drawings.distribution import hours_drawing
from circuits.drawings.shapes import Drawing
from estimating.pricing.quote import LineClass, QuoteLine
from estimating.quotes.draft import Draft, draft_of
from estimating.quotes.models import QuoteRevision, QuoteRow
from estimating.quotes.paper_content import QuoteContent
from estimating.quotes.paper_facts import paper_content
from estimating.quotes.paper_words import InWords, basis_words
from estimating.quotes.record import Record
from estimating.quotes.rules import has_expired
from estimating.quotes.states import State


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a quote stands in words, and the revision that is meant."""

    revision: QuoteRevision | None
    is_expired: bool = False

    @property
    def state(self) -> str:
        """State of the revision meant; empty where none has been sent."""
        return self.revision.state if self.revision else ""

    @property
    def is_open(self) -> bool:
        """True where the customer can still accept."""
        return self.state == State.SENT and not self.is_expired


@dataclass(frozen=True, slots=True)
class ClassLines:
    """The lines of one class, and their sum."""

    title: str
    lines: tuple[QuoteLine, ...]
    net: Decimal


@dataclass(frozen=True)
class Shown:
    """A record as pages show it: the very content that its paper has."""

    record: Record
    content: QuoteContent
    said: InWords
    drawing: Drawing | None

    @property
    def classes(self) -> tuple[ClassLines, ...]:
        """Lines by class, in the order of the quote."""
        by_class: dict[LineClass, list[QuoteLine]] = {}
        for line in self.content.quote.lines:
            by_class.setdefault(line.line_class, []).append(line)
        return tuple(
            ClassLines(str(line_class).capitalize(), tuple(lines), sum((line.net for line in lines), Decimal(0)))
            for line_class, lines in by_class.items()
        )

    @property
    def said_before(self) -> InWords:
        """Figures of the revision that this one is compared with: the shop may have changed its currency."""
        changes = self.record.changes
        return InWords((changes and changes.currency_before) or self.said.currency, self.said.locale)

    @property
    def basis_words(self) -> str:
        """What the figure of the hours that is sold means."""
        return basis_words(self.content.basis)

    @property
    def sold_h(self) -> float:
        """The hours that are charged [h]."""
        return self.content.hours.p50_h if self.content.basis == "P50" else self.content.hours.p80_h


@dataclass(frozen=True)
class QuotePage:
    """The page in values. ``today`` is the day in the shop's time zone."""

    quote: QuoteRow
    standing: Standing
    revisions: tuple[QuoteRevision, ...]
    draft: Draft
    shown: Shown
    today: date

    @property
    def revision_words(self) -> str:
        """The revision that the title block names."""
        if self.is_accepted and self.standing.revision:
            return str(self.standing.revision.number)
        return f"{self.draft.revision.number} draft"

    @property
    def is_accepted(self) -> bool:
        """True where a revision has been accepted: then nothing more is sent."""
        return self.standing.state == State.ACCEPTED


def shown(record: Record, *, is_draft: bool) -> Shown:
    """A record as pages show it."""
    content = paper_content(record, is_draft=is_draft)
    hours = content.hours
    drawing = hours_drawing(hours.p50_h, hours.p80_h, hours.p90_h, sold=content.basis) if hours.p50_h > 0 else None
    return Shown(record, content, InWords(content.quote.currency, content.locale), drawing)


def standing_of(revisions: tuple[QuoteRevision, ...], today: date) -> Standing:
    """Where a quote with these revisions, the latest first, stands."""
    latest = next((revision for revision in revisions if revision.state != State.DRAFT), None)
    if latest is None:
        return Standing(None)
    return Standing(latest, has_expired(latest.state, latest.valid_until, today))


def pending_revision(quote: QuoteRow, revisions: tuple[QuoteRevision, ...]) -> QuoteRevision:
    """The revision in draft; where there is none, one that is not stored but numbered as the next would be."""
    last = revisions[0] if revisions else None
    if last is not None and last.state == State.DRAFT:
        return last
    basis = last.labour_basis if last else ""
    return QuoteRevision(quote=quote, number=last.number + 1 if last else 1, labour_basis=basis)


def quote_page(quote: QuoteRow, *, by: str, at: datetime) -> QuotePage:
    """The page as ``by`` sees it at ``at``: a fixed number of queries."""
    today = timezone.localdate(at)
    revisions = tuple(quote.revisions.without_content().order_by("-number"))
    draft = draft_of(quote, pending_revision(quote, revisions), by=by, at=at)
    return QuotePage(
        quote=quote,
        standing=standing_of(revisions, today),
        revisions=tuple(revision for revision in revisions if revision.state != State.DRAFT),
        draft=draft,
        shown=shown(draft.record, is_draft=True),
        today=today,
    )


def draft_texts(draft: Draft) -> dict[str, str]:
    """What the next revision says so far, by field of its form."""
    heading = draft.record.heading
    return {
        "addressee": heading.addressee,
        "vehicle": heading.vehicle,
        "note": heading.note,
        "labour_basis": draft.revision.labour_basis,
    }
