"""The page of a job's history."""

from __future__ import annotations

from urllib.parse import urlencode

from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from circuits.paper.title_block import TitleBlock
from shop.history.lines import PlaceError, read_place
from shop.history.logs import KINDS
from shop.history.reading import history
from shop.jobs.models import Job

may_see = permission_required("jobs.view_job", raise_exception=True)


@require_safe
@may_see
def job(request: HttpRequest, job_id: int) -> HttpResponse:
    """Who changed what and when, newest first."""
    row = get_object_or_404(Job.objects.with_parties(), pk=job_id)
    kind, about = request.GET.get("kind", ""), request.GET.get("about", "").replace("\x00", "").strip()[:100]
    kind = kind if kind in KINDS else ""
    try:
        after = read_place(request.GET["after"]) if "after" in request.GET else None
    except PlaceError:
        after = None
    allowed = request.user.get_all_permissions()
    page = history(row, allowed=allowed, kind=kind, about=about, after=after)
    asked = {"kind": kind, "about": about}
    context = {
        "sheet": TitleBlock("History", str(row.vehicle), row.number),
        "job": row,
        "lines": page.lines,
        "older": urlencode(asked | {"after": str(page.older)}) if page.older else "",
        "is_first": after is None,
        "kinds": KINDS.items(),
        "kind": kind,
        "about": about,
    }
    return render(request, "shop/history/job.html", context)
