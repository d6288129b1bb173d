"""Consecutive document numbers: none skipped, none given twice."""

from __future__ import annotations

from django.db import transaction

from estimating.quotes.models import NumberSeries


def next_number(series: str, year: int) -> str:
    """The next number of a series in a year, e.g. ``Q-2026-014``. Call it in the transaction that stores the document.

    The counter row stays locked until that transaction ends: a roll-back gives the number back, and nobody can take
    the one after it meanwhile.

    Parameters
    ----------
    series : str
        Letter of the series: ``Q`` for quotes, ``J`` for jobs.
    year : int

    Raises
    ------
    django.db.transaction.TransactionManagementError
        Outside a transaction.
    """
    name = f"{series}-{year}"
    with transaction.atomic(durable=False):
        NumberSeries.objects.get_or_create(name=name)
    counter = NumberSeries.objects.select_for_update().get(name=name)
    counter.last += 1
    counter.save(update_fields=["last"])
    return str(counter)
