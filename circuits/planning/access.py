"""Fetching for the views: the row or 404."""

from __future__ import annotations

from django.http import Http404, HttpRequest

from circuits.planning.models import MAX_NAME, PlanRow
from circuits.planning.store import LoadedPlan, load

MAX_BY = 150


def loaded_or_404(plan_id: int) -> LoadedPlan:
    """The plan, loaded.

    Raises
    ------
    Http404
    """
    try:
        return load(plan_id)
    except PlanRow.DoesNotExist:
        raise Http404(f"no plan {plan_id}") from None


def person(request: HttpRequest) -> str:
    """Name of whoever is logged in, as text: this floor knows no staff."""
    return str(request.user)[: min(MAX_NAME, MAX_BY)]
