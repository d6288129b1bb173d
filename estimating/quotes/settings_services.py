"""Writes to prices, minutes and terms. Each is one transaction and gives the costing rules a new stamp."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.db import transaction

from estimating.labour.hours import ThreePoint
from estimating.labour.minutes import DEFAULT_MINUTES
from estimating.pricing.price_book_csv import example_price_book
from estimating.pricing.quote import PriceItem
from estimating.quotes.models import MinutesRow, PriceRow, TermsRow
from estimating.quotes.store import price_fields, renew_costing_stamp, takeoff_of, terms_of


@transaction.atomic
def save_price(*, row: PriceRow) -> PriceRow:
    """Stores a new or changed row of the price book.

    Raises
    ------
    django.core.exceptions.ValidationError
        For a value out of range, or a kind and spec that another row has.
    """
    renew_costing_stamp()
    row.full_clean()
    row.save()
    return row


@transaction.atomic
def delete_price(*, row: PriceRow) -> None:
    """Takes a row out of the price book. Revisions that were sent keep their prices."""
    renew_costing_stamp()
    row.delete()


@transaction.atomic
def start_price_book() -> int:
    """Fills an empty price book from the packaged example; does nothing to one that has rows.

    Returns
    -------
    int
        Rows made.
    """
    renew_costing_stamp()
    if PriceRow.objects.exists():
        return 0
    return len(PriceRow.objects.bulk_create(PriceRow(**price_fields(item)) for item in example_price_book().items))


@transaction.atomic
def import_price_list(*, items: Sequence[PriceItem], remove_absent: bool) -> None:
    """Brings a price list into the book: rows of the same kind and spec are changed, others added.

    Parameters
    ----------
    items : sequence of PriceItem
        As ``read_price_book`` gives them: each kind and spec once.
    remove_absent : bool
        Also takes out the rows that the list does not name.
    """
    renew_costing_stamp()
    if remove_absent:
        kept = {(item.kind, item.spec) for item in items}
        present = PriceRow.objects.values_list("pk", "kind", "spec")
        gone = [pk for pk, kind, spec in present if (kind, spec) not in kept]
        for start in range(0, len(gone), 500):
            PriceRow.objects.filter(pk__in=gone[start : start + 500]).delete()
    PriceRow.objects.bulk_create(
        [PriceRow(**price_fields(item)) for item in items],
        batch_size=500,
        update_conflicts=True,
        unique_fields=["kind", "spec"],
        update_fields=["unit", "cost", "markup_percent", "price", "pack", "supplier"],
    )


@transaction.atomic
def save_minutes(*, minutes: Mapping[str, ThreePoint]) -> None:
    """Stores the shop's minutes; elements that are as packaged are not stored, so that they follow the package.

    Raises
    ------
    TableError
        For an element that the table does not have.
    """
    renew_costing_stamp()
    own = {element: points for element, points in minutes.items() if points != DEFAULT_MINUTES.minutes(element)}
    MinutesRow.objects.all().delete()
    MinutesRow.objects.bulk_create(
        MinutesRow(
            element=element,
            optimistic_min=points.optimistic_min,
            likely_min=points.likely_min,
            pessimistic_min=points.pessimistic_min,
        )
        for element, points in own.items()
    )


@transaction.atomic
def save_terms(*, row: TermsRow) -> TermsRow:
    """Stores the terms: used from now on; revisions that were sent keep theirs.

    Raises
    ------
    django.core.exceptions.ValidationError
        For a value out of range.
    PlanError
        For a currency that does not exist or an allowance out of range.
    """
    renew_costing_stamp()
    row.full_clean(validate_unique=False)
    terms_of(row)
    takeoff_of(row.takeoff)
    row.save()
    return row
