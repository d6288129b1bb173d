"""What the paper of a quote says, as values: ``papers`` sets it, whoever issues a quote fills it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from estimating.labour.hours import Spread
from estimating.pricing.quote import LabourBasis, PricedQuote


@dataclass(frozen=True, slots=True)
class Letterhead:
    """The shop as its papers name it.

    Parameters
    ----------
    name : str
    address : str
        One or more lines.
    phone, email, web, tax_number : str
        As printed; empty = not printed.
    logo_png : bytes or None
        A picture (PNG or JPEG); None = none.
    """

    name: str = ""
    address: str = ""
    phone: str = ""
    email: str = ""
    web: str = ""
    tax_number: str = ""
    logo_png: bytes | None = None


@dataclass(frozen=True, slots=True)
class CircuitLine:
    """One circuit as the customer reads it.

    Parameters
    ----------
    circuit, section, work, load : str
        ``work`` is what is done: replace, new, repair ...
    fuse, wires : str
        ``blade 15 A`` and ``14 AWG, 16 AWG``; empty where nothing is fitted.
    fuse_family : str
    fuse_a : float or None
        For the picture of the fuse; None = no picture [A].
    """

    circuit: str
    section: str
    work: str
    load: str
    fuse: str
    wires: str
    fuse_family: str = ""
    fuse_a: float | None = None


@dataclass(frozen=True, slots=True)
class QuoteContent:
    """All that one revision of a quote says.

    Parameters
    ----------
    letterhead : Letterhead
    number : str
        Of the quote, e.g. ``Q-2026-014``.
    revision : int
    issued_on, valid_until : datetime.date or None
        Not set on a draft.
    by : str
        Who made it out.
    addressee, vehicle : str
        As printed, line by line.
    quote : PricedQuote
    hours : Spread
        Of the whole job.
    basis : LabourBasis
        The figure of it that is sold.
    circuits : tuple of CircuitLine
        In plan order.
    rate_per_h : Decimal or None
        None = not told.
    note : str
        A few words to the customer.
    exclusions, cautions, findings : tuple of str
        One sentence each. ``findings`` are those that the customer is told.
    changes : tuple of str
        What changed since ``changes_since``, one sentence each.
    changes_since : int or None
        Number of the revision before; None for the first.
    locale : str
        For money and dates, e.g. ``de`` or ``en_GB``.
    accepted_by : str
        Empty until accepted.
    accepted_at : datetime.datetime or None
        In the shop's time zone.
    """

    letterhead: Letterhead
    number: str
    revision: int
    issued_on: date | None
    valid_until: date | None
    by: str
    addressee: str
    vehicle: str
    quote: PricedQuote
    hours: Spread
    basis: LabourBasis
    circuits: tuple[CircuitLine, ...]
    rate_per_h: Decimal | None = None
    note: str = ""
    exclusions: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()
    changes: tuple[str, ...] = ()
    changes_since: int | None = None
    locale: str = "en"
    accepted_by: str = ""
    accepted_at: datetime | None = None

    @property
    def is_draft(self) -> bool:
        """True until it has been sent."""
        return self.issued_on is None
