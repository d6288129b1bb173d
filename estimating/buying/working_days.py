"""Working days: when an order arrives."""

from __future__ import annotations

from datetime import date, timedelta

from estimating.buying.week import Settings


def is_workday(day: date, settings: Settings) -> bool:
    """Whether suppliers and carriers work on a day.

    Examples
    --------
    >>> is_workday(date(2026, 1, 3), Settings())  # a Saturday
    False
    """
    return day.weekday() in settings.workdays and day not in settings.holidays


def arrival(ordered: date, lead_days: int, settings: Settings) -> date:
    """The day an order arrives: ``lead_days`` working days after the day it goes out.

    An order of a free day goes out on the next working day.

    Parameters
    ----------
    ordered : date
    lead_days : int
        0 or more.
    settings : Settings

    Returns
    -------
    date

    Examples
    --------
    >>> arrival(date(2026, 1, 2), 2, Settings())  # Friday: Monday is the first day, Tuesday the second
    datetime.date(2026, 1, 6)
    >>> arrival(date(2026, 1, 2), 2, Settings(holidays=frozenset({date(2026, 1, 6)})))
    datetime.date(2026, 1, 7)
    """
    day = ordered
    while not is_workday(day, settings):
        day += timedelta(days=1)
    for _ in range(lead_days):
        day += timedelta(days=1)
        while not is_workday(day, settings):
            day += timedelta(days=1)
    return day
