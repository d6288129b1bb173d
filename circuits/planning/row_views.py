"""Where the grids send their changes: JSON in, JSON out."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, JsonResponse
from django.views.decorators.http import require_POST

from circuits.planning.access import person
from circuits.planning.answers import answer
from circuits.planning.changes import delete_rows, move_row, save_rows
from circuits.planning.edits import AT_TOP, Changed, ConflictError, EditFaultsError
from circuits.planning.grid import BadBodyError, conflicts_data, faults_data, read_edits
from circuits.planning.listing import LISTINGS, Listing
from circuits.planning.models import PlanRow

Change = Callable[[Listing, Any], Changed]


@require_POST
@permission_required("planning.edit_plan", raise_exception=True)
def save(request: HttpRequest, plan_id: int, listing: str) -> JsonResponse:
    """Store rows, all or none."""

    def change(rows_of: Listing, body: Any) -> Changed:
        return save_rows(plan_id=plan_id, listing=rows_of, edits=read_edits(rows_of, body), by=person(request))

    return _answered(request, listing, change)


@require_POST
@permission_required("planning.edit_plan", raise_exception=True)
def delete(request: HttpRequest, plan_id: int, listing: str) -> JsonResponse:
    """Take rows out, all or none."""

    def change(rows_of: Listing, body: Any) -> Changed:
        versions = {int(row["id"]): int(row["version"]) for row in body["rows"]}
        return delete_rows(plan_id=plan_id, listing=rows_of, versions=versions, by=person(request))

    return _answered(request, listing, change)


@require_POST
@permission_required("planning.edit_plan", raise_exception=True)
def move(request: HttpRequest, plan_id: int, listing: str) -> JsonResponse:
    """Put a row behind another."""

    def change(rows_of: Listing, body: Any) -> Changed:
        row_id, after = int(body["id"]), int(body.get("after") or AT_TOP)
        return move_row(plan_id=plan_id, listing=rows_of, row_id=row_id, after=after, by=person(request))

    return _answered(request, listing, change)


def _answered(request: HttpRequest, name: str, change: Change) -> JsonResponse:
    """Answer to a change: 200 done, 400 no grid of ours, 404 gone, 409 changed elsewhere, 422 unreadable cells."""
    listing = LISTINGS.get(name)
    if listing is None:
        return JsonResponse({"message": f"no list {name}"}, status=404)
    try:
        body = json.loads(request.body)
        changed = change(listing, body)
    except EditFaultsError as error:
        return JsonResponse({"faults": faults_data(listing, error.faults)}, status=422)
    except ConflictError as error:
        return JsonResponse({"conflicts": conflicts_data(listing, error.conflicts)}, status=409)
    except PlanRow.DoesNotExist:
        return JsonResponse({"message": "This plan is gone."}, status=404)
    except (BadBodyError, KeyError, TypeError, ValueError, OverflowError, RecursionError):
        return JsonResponse({"message": "The server could not read what the page sent."}, status=400)
    return JsonResponse(answer(listing, changed, body.get("known")))
