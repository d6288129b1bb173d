"""What the site has to say on sheets of the lower floors, which do not know of jobs or of what a customer accepted."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils.functional import SimpleLazyObject

from shop.billing.agreement import unaccepted_of
from shop.jobs.models import Job, Stage

OF_THE_PLAN = ("planning",)
"""Apps whose sheets change or follow the plan."""


def notice(request: HttpRequest) -> dict[str, Any]:
    """Context ``notice``: worked out when the frame is drawn, so that a fragment costs nothing."""
    return {"notice": SimpleLazyObject(lambda: unaccepted_work(request))}


def unaccepted_work(request: HttpRequest) -> str:
    """On sheets of a booked job's plan: which circuits' work the customer has not accepted; empty elsewhere."""
    here = request.resolver_match
    if here is None or here.app_name not in OF_THE_PLAN or "plan_id" not in here.kwargs:
        return ""
    user = getattr(request, "user", None)
    if user is None or not user.has_perm("planning.view_plan"):
        return ""
    job = Job.objects.filter(plan=here.kwargs["plan_id"], stage=Stage.BOOKED).first()
    names = unaccepted_of([job]).get(job.pk, ()) if job else ()
    return (
        render_to_string("shop/billing/_unaccepted.html", {"unaccepted": names, "job": job}, request) if names else ""
    )
