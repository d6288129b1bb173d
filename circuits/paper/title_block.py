"""The title block of a sheet (fields of ISO 7200): the same on screen and on paper."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """What the frame of a page says about it.

    Parameters
    ----------
    title : str
        What the sheet is: ``Quote``, ``Circuit plan``.
    subject : str
        Job and vehicle, or the shop where there is none.
    number : str
        Number of the document, e.g. ``Q-2026-014``; empty where it has none.
    revision : str
        Empty where it has none.
    date : datetime.date or None
    by : str
        Who made it.
    """

    title: str
    subject: str = ""
    number: str = ""
    revision: str = ""
    date: date | None = None
    by: str = ""
