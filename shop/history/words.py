"""How a row of each log is told: who, what, subject, details."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone

from circuits.planning.history import change_line
from circuits.planning.models import PlanChange
from estimating.quotes.models import QuoteRevision
from estimating.quotes.paper_words import InWords
from shop.billing.models import Change, Document, Payment
from shop.faults.models import FaultEvent, FaultTest, FinderStep
from shop.floor.models import HoursCorrection, HoursEntry, Tick
from shop.handover.models import Handover
from shop.links.models import CustomerLink, LinkAct
from shop.proof.judging import limits_in_words
from shop.proof.models import BatteryAct, ProofSheet, Reading

_MOMENT = "%d %b %Y, %H:%M"


@dataclass(frozen=True, slots=True)
class Told:
    """A row in words."""

    by: str
    what: str
    subject: str = ""
    details: tuple[str, ...] = ()


def _said(*details: str) -> tuple[str, ...]:
    return tuple(detail for detail in details if detail)


def plan_change(row: PlanChange) -> Told:
    """A change of the plan, cell by cell."""
    line = change_line(row)
    details = tuple(f"{one.label}: {one.before or 'none'} → {one.after or 'none'}" for one in line.fields)
    return Told(line.by, line.what, line.subject, details)


def sheet_made(row: ProofSheet) -> Told:
    """The check sheet was made, last."""
    return Told(str(row.made_by), "check sheet made", "", (f"from version {row.plan_version} of the plan",))


def reading(row: Reading) -> Told:
    """A reading, with the limits that it was judged against."""
    limits = limits_in_words(row.low, row.high, row.check_row.unit)
    read = ", ".join(filter(None, [row.typed or "by eye", limits]))
    meter = f"with {row.meter}" if row.meter else ""
    what = "check passed" if row.passed else "check failed"
    return Told(str(row.by), what, row.check_row.what, _said(read, meter, row.remark))


def battery(row: BatteryAct) -> Told:
    """The battery went on or off; an override says why."""
    what = "battery connected" if row.is_on else "battery taken off"
    if not row.is_override:
        return Told(str(row.by), what)
    return Told(str(row.by), f"{what} by override", "", (row.reason, f"missing: {'; '.join(row.missing)}"))


def fault_event(row: FaultEvent) -> Told:
    """What happened to a fault."""
    return Told(str(row.by), f"fault {row.get_what_display().lower()}", str(row.fault), _said(*row.words.split("\n")))


def finder_step(row: FinderStep) -> Told:
    """A step of a search."""
    return Told(str(row.by), "fault searched", str(row.fault), _said(row.words, row.answer))


def fault_test(row: FaultTest) -> Told:
    """A test on a fault."""
    result = "" if row.passed is None else " passed" if row.passed else " failed"
    what = f"re-test{result}" if row.is_retest else "test"
    return Told(str(row.by), what, str(row.fault), _said(row.what, row.reading))


def hours_started(row: HoursEntry) -> Told:
    """Somebody began on a package."""
    return Told(str(row.person), "work started", str(row.package), _said(str(row.fault) if row.fault else ""))


def hours_stopped(row: HoursEntry) -> Told:
    """Somebody left a package."""
    return Told(str(row.person), "work stopped", str(row.package), _said(str(row.fault) if row.fault else ""))


def hours_corrected(row: HoursCorrection) -> Told:
    """Hours were set right or added by hand: what they said, and why."""
    entry = row.entry
    whose = "" if entry.person_id == row.by_id else f"hours of {entry.person}"
    if not row.was:
        return Told(str(row.by), "hours added by hand", str(entry.package), _said(whose, row.reason))
    what = "hours struck out" if entry.is_struck else "hours set right"
    was = f"was {row.was['package']}, {_moment(row.was['start'])} to {_moment(row.was['stop'])}"
    return Told(str(row.by), what, str(entry.package), _said(whose, row.reason, was))


def _moment(text: str | None) -> str:
    """A kept moment by the shop's clock."""
    return timezone.localtime(datetime.fromisoformat(text)).strftime(_MOMENT) if text else "running"


def ticked(row: Tick) -> Told:
    """A circuit was done."""
    return Told(str(row.by), "ticked", row.circuit or "the whole package", (str(row.package),))


def tick_taken_back(row: Tick) -> Told:
    """A circuit was not done after all."""
    return Told(str(row.undone_by), "tick taken back", row.circuit or "the whole package", (str(row.package),))


def quote_sent(row: QuoteRevision) -> Told:
    """A revision went to the customer."""
    return Told(row.sent_by, "quote sent", f"revision {row.number}")


def quote_accepted(row: QuoteRevision) -> Told:
    """The customer accepted."""
    down = f"taken down by {row.accepted_by}" if row.accepted_by else ""
    return Told(row.accepted_name, "quote accepted", f"revision {row.number}", _said(down))


def quote_declined(row: QuoteRevision) -> Told:
    """The customer said no."""
    return Told("", "quote declined", f"revision {row.number}", _said(row.declined_reason))


def change_sent(row: Change) -> Told:
    """A change went to the customer."""
    return Told(row.sent_by, "change sent", f"change {row.number}", _said(row.note))


def change_answered(row: Change) -> Told:
    """The customer answered a change."""
    down = f"taken down by {row.answered_by}" if row.answered_by else ""
    return Told(
        row.answered_name, f"change {row.get_state_display()}", f"change {row.number}", _said(row.answer_note, down)
    )


def document(row: Document) -> Told:
    """An invoice or credit note was issued."""
    amount = InWords(row.currency).money(row.payable)
    return Told(row.issued_by, f"{row.get_kind_display().lower()} issued", row.number, (amount,))


def payment(row: Payment) -> Told:
    """Money moved."""
    amount = InWords(row.currency).money(row.amount)
    means = f"{amount} by {row.get_means_display()}"
    return Told(row.booked_by, f"money {row.get_direction_display()}", row.reference, (means,))


def released(row: Handover) -> Told:
    """The vehicle left."""
    return Told(row.released_name, "vehicle released", f"handover sheet revision {row.number}")


def link_made(row: CustomerLink) -> Told:
    """An address was given out."""
    until = f"until {timezone.localtime(row.expires_at).strftime(_MOMENT)}"
    return Told(row.made_by, "customer link made", "", (until,))


def link_revoked(row: CustomerLink) -> Told:
    """An address was closed."""
    made = f"made {timezone.localtime(row.made_at).strftime(_MOMENT)}"
    return Told(row.revoked_by, "customer link revoked", "", (made,))


def link_act(row: LinkAct) -> Told:
    """A customer accepted by link."""
    return Told(row.name, "accepted by customer link", row.what)
