"""What an imported price list would change in the price book. Pure: compares values."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields
from decimal import Decimal

from estimating.pricing.quote import PriceItem


@dataclass(frozen=True, slots=True)
class FieldChange:
    """One cell that would read otherwise; empty texts where it is blank."""

    field: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class ItemChange:
    """One row that would be changed."""

    item: PriceItem
    changes: tuple[FieldChange, ...]


@dataclass(frozen=True, slots=True)
class PriceChanges:
    """What an import would do. ``absent`` are rows of the book that the list does not name."""

    new: tuple[PriceItem, ...]
    changed: tuple[ItemChange, ...]
    absent: tuple[PriceItem, ...]
    same: int


def price_changes(book: Iterable[PriceItem], listed: Iterable[PriceItem]) -> PriceChanges:
    """Compares a list with the book, row by row, by kind and spec.

    Examples
    --------
    >>> old = PriceItem("wire", "14 AWG*", "m", Decimal("0.53"))
    >>> new = PriceItem("wire", "14 AWG*", "m", Decimal("0.60"))
    >>> price_changes([old], [new]).changed[0].changes
    (FieldChange(field='cost', before='0.53', after='0.6'),)
    """
    present = {(item.kind, item.spec): item for item in book}
    wanted = {(item.kind, item.spec): item for item in listed}
    changed = tuple(
        ItemChange(item, changes)
        for key, item in wanted.items()
        if key in present and (changes := _differences(present[key], item))
    )
    new = tuple(item for key, item in wanted.items() if key not in present)
    absent = tuple(item for key, item in present.items() if key not in wanted)
    return PriceChanges(new, changed, absent, len(wanted) - len(new) - len(changed))


def _differences(old: PriceItem, new: PriceItem) -> tuple[FieldChange, ...]:
    return tuple(
        FieldChange(field.name.removesuffix("_percent"), _words(before), _words(after))
        for field in fields(PriceItem)
        if (before := getattr(old, field.name)) != (after := getattr(new, field.name))
    )


def _words(value: Decimal | str | None) -> str:
    if value is None:
        return ""
    return f"{value.normalize():f}" if isinstance(value, Decimal) else value
