"""The only door between the plan's rows and its values: reads in a fixed number of queries, writes in one go."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import models, transaction

from circuits.electrical.sizing import size_plan
from circuits.errors import LoomwrightError, PlanError
from circuits.plan import Plan
from circuits.planning import values
from circuits.planning.listing import CIRCUITS, LISTINGS, Listing
from circuits.planning.models import (
    MAX_NAME,
    MAX_TITLE,
    CircuitRow,
    PlanChange,
    PlanRow,
    new_stamp,
)
from circuits.planning.rules import build_rules, rules_stamp, stored_rules
from circuits.planning.sized_cache import SIZED
from circuits.sized import SizedPlan

__all__ = [
    "LoadedPlan",
    "StalePlanError",
    "build_rules",
    "create_plan",
    "load",
    "load_plan",
    "locked_plan",
    "log_change",
    "replace_plan",
    "size_loaded",
    "sized_plan",
    "touch",
]


class StalePlanError(LoomwrightError):
    """Somebody else changed the plan since it was read."""


@dataclass(frozen=True, slots=True)
class LoadedPlan:
    """A plan as stored at one moment: its row, the rows of its lists in order, and its value."""

    row: PlanRow
    lists: Mapping[str, tuple[Any, ...]]
    plan: Plan

    def rows_of(self, listing: str) -> tuple[Any, ...]:
        """Rows of the list of that name: ``zones``, ``circuits``, ``cavities`` and so on."""
        return self.lists[listing]

    @property
    def circuit_rows(self) -> tuple[CircuitRow, ...]:
        """Rows of its circuits."""
        return self.lists[CIRCUITS.name]


def load(plan_id: int) -> LoadedPlan:
    """The plan with its rows, all of one moment. A query a list and two more; again where somebody writes meanwhile.

    Raises
    ------
    PlanRow.DoesNotExist
    """
    row = PlanRow.objects.get(pk=plan_id)
    while True:
        loaded = _read(row)
        again = PlanRow.objects.get(pk=plan_id)
        if again.stamp == row.stamp:
            return loaded
        row = again


def load_plan(plan_id: int) -> Plan:
    """The value of the plan with that id.

    Raises
    ------
    PlanRow.DoesNotExist
    """
    return load(plan_id).plan


def _read(row: PlanRow) -> LoadedPlan:
    lists = {name: tuple(listing.model._default_manager.filter(plan=row)) for name, listing in LISTINGS.items()}
    parts = {name: tuple(map(LISTINGS[name].value_of, rows)) for name, rows in lists.items()}
    return LoadedPlan(row, lists, Plan(values.vehicle_of(row), **parts))


def sized_plan(plan_row: PlanRow) -> SizedPlan:
    """The plan of that row, sized by the shop's build rules.

    Kept per process under the stamps of plan and rules: a change made by any process renews a stamp, so a kept
    result is never of another content. A row read before somebody's change gives the result as it stood then if
    that is still kept, else the present one.
    """
    stamp = rules_stamp()
    kept = SIZED.get(plan_row.stamp, stamp)
    return kept if kept is not None else size_loaded(load(plan_row.pk))


def size_loaded(loaded: LoadedPlan) -> SizedPlan:
    """The loaded plan, sized; kept as ``sized_plan`` says."""
    rules, stamp = stored_rules()
    kept = SIZED.get(loaded.row.stamp, stamp)
    if kept is None:
        kept = size_plan(loaded.plan, rules)
        SIZED.put(loaded.row.stamp, stamp, kept)
    return kept


@transaction.atomic
def create_plan(*, title: str, plan: Plan, by: str) -> PlanRow:
    """Store a new plan.

    Raises
    ------
    PlanError
        A name longer than a row can hold.
    """
    _check_names(plan)
    row = PlanRow.objects.create(title=title[:MAX_TITLE], updated_by=by, **values.vehicle_fields(plan.vehicle))
    _create_lists(row, plan, by)
    log_change(row, by=by, what="plan created")
    return row


@transaction.atomic
def replace_plan(*, plan_id: int, plan: Plan, expected_version: int, by: str) -> PlanRow:
    """Put another plan in place of the stored one. Circuits that keep their name keep their row.

    Raises
    ------
    PlanRow.DoesNotExist
    StalePlanError
        The stored plan is not of ``expected_version``.
    PlanError
        A name longer than a row can hold.
    """
    _check_names(plan)
    row = locked_plan(plan_id)
    if row.version != expected_version:
        raise StalePlanError(f"plan {row.title} was changed by {row.updated_by or 'somebody'} meanwhile")
    before = _read(row)
    for name, value in values.vehicle_fields(plan.vehicle).items():
        setattr(row, name, value)
    touch(row, by)
    for name, listing in LISTINGS.items():
        _replace_list(row, listing, getattr(plan, name), by)
    log_change(row, by=by, what="plan replaced", before=_as_json(before.plan), after=_as_json(plan))
    return row


def locked_plan(plan_id: int) -> PlanRow:
    """The plan's row, held against other writers until the transaction ends (SQLite: it holds the file already).

    Raises
    ------
    PlanRow.DoesNotExist
    """
    return PlanRow.objects.select_for_update().get(pk=plan_id)


def touch(row: PlanRow, by: str) -> None:
    """Give the plan its next version."""
    row.version += 1
    row.stamp = new_stamp()
    row.updated_by = by
    row.save()


def log_change(
    row: PlanRow, *, by: str, what: str, subject: str = "", before: Any = None, after: Any = None
) -> PlanChange:
    """Note a change of the plan."""
    return PlanChange.objects.create(
        plan=row, plan_version=row.version, by=by, what=what, subject=subject, before=before, after=after
    )


def _as_json(plan: Plan) -> dict[str, Any]:
    lists = {name: [listing.fields_of(one) for one in getattr(plan, name)] for name, listing in LISTINGS.items()}
    return {"vehicle": values.vehicle_fields(plan.vehicle), **lists}


def _create_lists(row: PlanRow, plan: Plan, by: str) -> None:
    for name, listing in LISTINGS.items():
        listing.model._default_manager.bulk_create(
            listing.model(plan=row, updated_by=by, **{"position": i, **listing.fields_of(one)})
            for i, one in enumerate(getattr(plan, name))
        )


def _replace_list(row: PlanRow, listing: Listing, wanted: Sequence[Any], by: str) -> None:
    """Make the stored list equal to ``wanted``; rows whose key stays are altered, not replaced.

    A list without a key is laid over the stored one row by row.
    """
    model: Any = listing.model
    objects: models.Manager[Any] = model._default_manager
    by_key = {_key(listing, i, part): part for i, part in enumerate(objects.filter(plan=row))}
    altered, new = [], []
    for position, one in enumerate(wanted):
        fields = listing.fields_of(one)
        part = by_key.pop(_key(listing, position, one), None)
        if part is None:
            new.append(model(**{"plan": row, "position": position, "updated_by": by, **fields}))
        elif part.position != position or any(getattr(part, field) != value for field, value in fields.items()):
            _alter(part, {"position": position, **fields}, by)
            altered.append(part)
    objects.filter(pk__in=[part.pk for part in by_key.values()]).delete()
    if altered:
        names = [f.name for f in model._meta.concrete_fields if f.name not in ("id", "plan")]
        objects.bulk_create(altered, update_conflicts=True, unique_fields=["id"], update_fields=names)
    objects.bulk_create(new)


def _key(listing: Listing, index: int, part: Any) -> tuple[str, ...]:
    return listing.key_of(part) if listing.key else (str(index),)


def _alter(part: Any, fields: dict[str, Any], by: str) -> None:
    for field, value in fields.items():
        setattr(part, field, value)
    part.version += 1
    part.updated_by = by


def _check_names(plan: Plan) -> None:
    for name, listing in LISTINGS.items():
        for one in getattr(plan, name):
            texts = [text for field, text in listing.fields_of(one).items() if field != "notes"]
            if any(isinstance(text, str) and len(text) > MAX_NAME for text in texts):
                raise PlanError(
                    f"{listing.one} {listing.called(one)[:60]}: names may have at most {MAX_NAME} characters"
                )
