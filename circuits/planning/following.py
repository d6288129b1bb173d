"""Fittings follow a new name: cavities that of their connector and circuit, mates, what parts hide, kept positions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.utils import timezone

from circuits.planning.listing import CAVITIES, CIRCUITS, CONNECTORS, MOUNTINGS, POSITIONS, Listing
from circuits.planning.models import PlanRow

FOLLOWS: Mapping[str, tuple[tuple[Listing, str], ...]] = {
    CIRCUITS.name: ((CAVITIES, "circuit"), (POSITIONS, "circuit")),
    CONNECTORS.name: ((CAVITIES, "connector"), (CONNECTORS, "mates_with"), (MOUNTINGS, "hides")),
    MOUNTINGS.name: ((MOUNTINGS, "hides"),),
}
"""Lists and their fields that name a row of a list."""


def new_names(present: Sequence[Any], renamed: Mapping[int, tuple[str, str]]) -> dict[str, str]:
    """New name by old one, of rows with a name; an old name that now belongs to another is left out."""
    names = {str(getattr(row, "name", getattr(row, "part", ""))) for row in present}
    return {old: new for old, new in renamed.values() if old not in names}


def follow_renames(plan_row: PlanRow, listing: Listing, new_name: Mapping[str, str], by: str) -> list[Any]:
    """Bring what names renamed rows of ``listing`` to their new names; a new version of each row it alters.

    Returns the rows of ``listing`` itself that it altered, as they are now.
    """
    if not new_name:
        return []
    own: set[int] = set()
    for other, field in FOLLOWS.get(listing.name, ()):
        rows = other.model._default_manager.filter(plan=plan_row)
        found = rows if field == "hides" else rows.filter(**{f"{field}__in": list(new_name)})
        followed = [row for row in found if _follow(row, field, new_name, by)]
        other.model._default_manager.bulk_update(followed, [field, "version", "updated_by", "updated_at"])
        if other is listing:
            own.update(row.pk for row in followed)
    return list(listing.model._default_manager.filter(pk__in=own)) if own else []


def _follow(row: Any, field: str, new_name: Mapping[str, str], by: str) -> bool:
    """Lay the new names on a row; True where that alters it."""
    text = getattr(row, field)
    followed = [new_name.get(one, one) for one in text] if isinstance(text, list) else new_name.get(text, text)
    if followed == text:
        return False
    setattr(row, field, followed)
    row.version, row.updated_by, row.updated_at = row.version + 1, by, timezone.now()
    return True
