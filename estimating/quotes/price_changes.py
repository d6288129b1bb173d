"""What an imported price list would change in the price book. Pure: compares values."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass, fields, replace
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


def named_columns(content: bytes) -> frozenset[str]:
    r"""Columns that the header of a price list names, in small letters.

    Examples
    --------
    >>> sorted(named_columns(b"Kind;spec;unit;Cost\nwire;14 AWG*;m;0,60\n"))
    ['cost', 'kind', 'spec', 'unit']
    """
    header = content.decode("utf-8-sig", "replace").partition("\n")[0]
    return frozenset(name.strip().strip('"').strip().casefold() for name in re.split(r"[,;\t]", header)) - {""}


def with_unnamed_kept(
    listed: Iterable[PriceItem], book: Iterable[PriceItem], named: Collection[str]
) -> tuple[PriceItem, ...]:
    """The list, each row with what the book has in the columns that the list does not name.

    Examples
    --------
    >>> old = PriceItem("wire", "14 AWG*", "m", Decimal("0.53"), pack=Decimal(100))
    >>> new = PriceItem("wire", "14 AWG*", "m", Decimal("0.60"))
    >>> with_unnamed_kept([new], [old], {"kind", "spec", "unit", "cost"})[0].pack
    Decimal('100')
    """
    present = {(item.kind, item.spec): item for item in book}
    unnamed = [field.name for field in fields(PriceItem) if field.name not in named]
    return tuple(
        replace(item, **{name: getattr(old, name) for name in unnamed})
        if (old := present.get((item.kind, item.spec)))
        else item
        for item in listed
    )


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
