"""Changes of a plan's lists, row by row: one lock, one transaction, all or nothing, never over another's edit."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import replace
from itertools import count
from typing import Any

from django.db import transaction
from django.db.models import F, Value
from django.db.models.fields import CharField
from django.db.models.functions import Cast, Concat
from django.utils import timezone

from circuits.plan import BUSES
from circuits.planning.edits import (
    AT_END,
    AT_TOP,
    FIRST_VERSION,
    Changed,
    Conflict,
    ConflictError,
    Edit,
    EditFault,
    EditFaultsError,
)
from circuits.planning.following import follow_renames, new_names
from circuits.planning.listing import CIRCUITS, Listing
from circuits.planning.models import MAX_KEY, MAX_NAME, PlanChange, PlanPart, PlanRow, new_stamp
from circuits.planning.store import locked_plan, touch


@transaction.atomic
def save_rows(*, plan_id: int, listing: Listing, edits: Sequence[Edit], by: str) -> Changed:
    """Store edits of one list, all or none. A circuit that gets a new name keeps the circuits it feeds.

    Fittings follow the names of circuits, connectors and parts too.

    Raises
    ------
    PlanRow.DoesNotExist
    ConflictError
        A row was changed or taken out by somebody else.
    EditFaultsError
        A name that another row has, or that is too long.
    """
    plan_row = locked_plan(plan_id)
    present = _rows(listing, plan_row)
    by_id = {row.pk: row for row in present}
    edits = _known_again(edits, present)
    _refuse_conflicts(edits, by_id)
    if listing is CIRCUITS:
        edits = _with_bus_names(edits, present)
    _refuse_names(listing, edits, present)
    log: list[PlanChange] = []
    stamp_before = plan_row.stamp
    touch(plan_row, by)
    altered, renamed = _alter(listing, edits, by_id, plan_row, by, log)
    if listing is CIRCUITS and renamed:
        altered = _follow_renames(present, altered, renamed, by)
    _write(listing, altered, list(renamed))
    for row in follow_renames(plan_row, listing, new_names(present, renamed), by):
        altered[row.pk] = by_id[row.pk] = row
    new = _insert(listing, edits, present, plan_row, by, log)
    PlanChange.objects.bulk_create(log)
    rows = {edit.key: by_id[edit.row_id] for edit in edits if edit.row_id is not None} | new
    edited = {row.pk for row in rows.values()}
    others = tuple(row for row in altered.values() if row.pk not in edited)
    return Changed(plan_row, stamp_before, rows, others)


@transaction.atomic
def delete_rows(*, plan_id: int, listing: Listing, versions: dict[int, int], by: str) -> Changed:
    """Take rows out (id: version they were seen at), all or none. Rows already gone are passed over.

    Raises
    ------
    PlanRow.DoesNotExist
    ConflictError
        A row was changed by somebody else since it was seen.
    """
    plan_row = locked_plan(plan_id)
    stamp_before = plan_row.stamp
    doomed = [row for row in _rows(listing, plan_row) if row.pk in versions]
    conflicts = [Conflict(str(row.pk), row.pk, row) for row in doomed if row.version != versions[row.pk]]
    if conflicts:
        raise ConflictError(conflicts)
    if doomed:
        touch(plan_row, by)
        listing.model._default_manager.filter(pk__in=[row.pk for row in doomed]).delete()
        PlanChange.objects.bulk_create(
            _log(listing, plan_row, by, "taken out", row, before=listing.fields_of(listing.value_of(row)))
            for row in doomed
        )
    return Changed(plan_row, stamp_before, {})


@transaction.atomic
def move_row(*, plan_id: int, listing: Listing, row_id: int, after: int, by: str) -> Changed:
    """Put a row behind another one (id, or ``AT_TOP``).

    Raises
    ------
    PlanRow.DoesNotExist
    ConflictError
        The row is gone.
    """
    plan_row = locked_plan(plan_id)
    order = _rows(listing, plan_row)
    moved = next((row for row in order if row.pk == row_id), None)
    if moved is None:
        raise ConflictError([Conflict(str(row_id), row_id, None)])
    order.remove(moved)
    order.insert(_place(order, after), moved)
    stamp_before = plan_row.stamp
    touch(plan_row, by)
    _renumber(listing, order)
    _log(listing, plan_row, by, "moved", moved).save()
    return Changed(plan_row, stamp_before, {str(row_id): moved})


def _rows(listing: Listing, plan_row: PlanRow) -> list[Any]:
    return list(listing.model._default_manager.filter(plan=plan_row).order_by("position", "id"))


def _known_again(edits: Sequence[Edit], present: Sequence[Any]) -> list[Edit]:
    """New rows that were stored before, but whose answer was lost, as edits of what they became."""
    made = {row.made_as: row for row in present if row.made_as}
    return [
        replace(edit, row_id=made[edit.key].pk, version=FIRST_VERSION)
        if edit.row_id is None and edit.key in made
        else edit
        for edit in edits
    ]


def _refuse_conflicts(edits: Sequence[Edit], by_id: dict[int, Any]) -> None:
    conflicts = []
    for edit in edits:
        if edit.row_id is None:
            continue
        row = by_id.get(edit.row_id)
        if row is None or row.version != edit.version:
            conflicts.append(Conflict(edit.key, edit.row_id, row))
    if conflicts:
        raise ConflictError(conflicts)


def _refuse_names(listing: Listing, edits: Sequence[Edit], present: Sequence[Any]) -> None:
    faults = []
    for edit in edits:
        for field, text in listing.fields_of(edit.value).items():
            if isinstance(text, str) and field != "notes" and len(text) > MAX_NAME:
                expected = f"at most {MAX_NAME} characters"
                faults.append(EditFault(edit.key, listing.column_of(field), text[:40] + "…", expected))
    if listing.key:
        edited = {edit.row_id for edit in edits}
        taken = {listing.key_of(row) for row in present if row.pk not in edited}
        for edit in edits:
            key = listing.key_of(edit.value)
            if key in taken:
                within = f" within {' '.join(key[:-1])}" if len(key) > 1 else ""
                expected = f"a name that no other {listing.one} of this plan has{within}"
                faults.append(EditFault(edit.key, listing.column_of(listing.key[-1]), key[-1], expected))
            taken.add(key)
    if faults:
        raise EditFaultsError(faults)


def _with_bus_names(edits: Sequence[Edit], present: Sequence[Any]) -> list[Edit]:
    """Feeds that name a bus in other letters (``Battery``) brought to its name, unless a circuit is called so."""
    names = {row.name for row in present} | {edit.value.name for edit in edits}
    tidy = []
    for edit in edits:
        bus = edit.value.feed.strip().casefold()
        is_bus = bus in BUSES and edit.value.feed not in names
        tidy.append(replace(edit, value=replace(edit.value, feed=bus)) if is_bus else edit)
    return tidy


def _alter(
    listing: Listing, edits: Sequence[Edit], by_id: dict[int, Any], plan_row: PlanRow, by: str, log: list[PlanChange]
) -> tuple[dict[int, Any], dict[int, tuple[str, str]]]:
    """Lay the edits of stored rows on them; returns the rows that differ by id, and (old, new) names by id."""
    altered: dict[int, Any] = {}
    renamed: dict[int, tuple[str, str]] = {}
    for edit in edits:
        if edit.row_id is None:
            continue
        row = by_id[edit.row_id]
        before = listing.fields_of(listing.value_of(row))
        after = listing.fields_of(edit.value)
        if before == after:
            continue
        old, new = listing.key_of(row), listing.key_of(edit.value)
        if old != new:
            renamed[row.pk] = (old[-1], new[-1])
        _set(row, after, by)
        altered[row.pk] = row
        log.append(_log(listing, plan_row, by, "changed", row, before=before, after=after))
    return altered, renamed


def _set(row: PlanPart, fields: dict[str, Any], by: str) -> None:
    for field, value in fields.items():
        setattr(row, field, value)
    row.version += 1
    row.updated_by = by
    row.updated_at = timezone.now()


def _follow_renames(
    present: Sequence[Any], altered: dict[int, Any], renamed: dict[int, tuple[str, str]], by: str
) -> dict[int, Any]:
    """Circuits fed by a renamed one follow it, unless its old name now belongs to another."""
    new_name = new_names(present, renamed)
    followed = dict(altered)
    for row in present:
        if row.feed in new_name:
            if row.pk in altered:
                row.feed = new_name[row.feed]
            else:
                _set(row, {"feed": new_name[row.feed]}, by)
                followed[row.pk] = row
    return followed


def _write(listing: Listing, altered: dict[int, Any], renamed: list[int]) -> None:
    rows = list(altered.values())
    objects = listing.model._default_manager
    if len(renamed) > 1:  # two rows may have swapped names: no name may be there twice even for a moment
        aside = Concat(Value(f"{new_stamp()} "), Cast(F("pk"), CharField()))
        objects.filter(pk__in=renamed).update(**{listing.key[-1]: aside})
    if len(rows) == 1:
        rows[0].save()
    elif rows:
        fields = [field.name for field in listing.model._meta.concrete_fields if field.name not in ("id", "plan")]
        objects.bulk_create(rows, update_conflicts=True, unique_fields=["id"], update_fields=fields)


def _insert(
    listing: Listing,
    edits: Sequence[Edit],
    present: Sequence[Any],
    plan_row: PlanRow,
    by: str,
    log: list[PlanChange],
) -> dict[str, Any]:
    order = list(present)
    new: dict[str, Any] = {}
    for edit in edits:
        if edit.row_id is not None:
            continue
        fields = listing.fields_of(edit.value)
        made_as = edit.key[:MAX_KEY]
        row = listing.model(**{"plan": plan_row, "position": 0, "made_as": made_as, "updated_by": by, **fields})
        behind = new.get(edit.after) if isinstance(edit.after, str) else edit.after
        order.insert(_place(order, AT_END if behind is None else behind), row)
        new[edit.key] = row
        log.append(_log(listing, plan_row, by, "added", row, after=fields))
    if new:
        _renumber(listing, order)
        listing.model._default_manager.bulk_create(new.values())
    return new


def _place(order: Sequence[Any], after: int | Any) -> int:
    """Index behind the row ``after`` (an id or a row); at the end where there is no such row."""
    if after == AT_TOP:
        return 0
    for index, row in enumerate(order):
        if row is after or (isinstance(after, int) and row.pk == after):
            return index + 1
    return len(order)


def _renumber(listing: Listing, order: Sequence[Any]) -> None:
    """Give rows their place; those not stored yet only in memory."""
    shifted = []
    for position, row in enumerate(order):
        if row.position != position:
            row.position = position
            if row.pk is not None:
                shifted.append(row)
    if shifted:
        listing.model._default_manager.bulk_update(shifted, ["position"])


def _log(
    listing: Listing, plan_row: PlanRow, by: str, what: str, row: Any, *, before: Any = None, after: Any = None
) -> PlanChange:
    return PlanChange(
        plan=plan_row,
        plan_version=plan_row.version,
        by=by,
        what=f"{listing.one} {what}",
        subject=listing.subject_of(row)[:MAX_NAME],
        before=before,
        after=after,
    )


@transaction.atomic
def duplicate_circuit(*, plan_id: int, row_id: int, by: str) -> Any:
    """Store a circuit once more, behind itself, under a name of its own.

    Raises
    ------
    PlanRow.DoesNotExist
    ConflictError
        The circuit is gone.
    """
    names: dict[str, int] = {}
    original = None
    for row in _rows(CIRCUITS, locked_plan(plan_id)):
        names[row.name] = row.pk
        original = row if row.pk == row_id else original
    if original is None:
        raise ConflictError([Conflict(str(row_id), row_id, None)])
    value = replace(CIRCUITS.value_of(original), name=free_name(names, original.name))
    edit = Edit(new_stamp(), None, 0, value, after=row_id)
    changed = save_rows(plan_id=plan_id, listing=CIRCUITS, edits=[edit], by=by)
    return changed.rows[edit.key]


def free_name(taken: Container[str], name: str) -> str:
    """A name like ``name`` that is not taken.

    Examples
    --------
    >>> free_name({"fog lamp", "fog lamp 2"}, "fog lamp")
    'fog lamp 3'
    """
    head, _, tail = name.rpartition(" ")
    stem = (head if head and tail.isdecimal() else name)[: MAX_NAME - 8]
    return next(wanted for n in count(2) if (wanted := f"{stem} {n}") not in taken)
