"""Pages of release and handover."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from circuits.paper.title_block import TitleBlock
from estimating.quotes.downloads import pdf_download
from shop.handover.draft import Draft, draft_of
from shop.handover.forms import ReleaseForm
from shop.handover.models import Handover, PaperKind
from shop.handover.rules import RefusedError
from shop.handover.services import MAY_RELEASE, paper_of, pdf_of, release_job
from shop.jobs.models import Job
from shop.people.models import User

may_see = permission_required("handover.view_handover", raise_exception=True)
may_release = permission_required(MAY_RELEASE, raise_exception=True)


def _draft(request: HttpRequest, job_id: int) -> tuple[Job, Draft]:
    job = get_object_or_404(Job.objects.with_parties().select_related("plan"), pk=job_id)
    url = request.build_absolute_uri(reverse("jobs:job", args=[job.pk]))
    return job, draft_of(job, at=timezone.now(), job_url=url)


@require_safe
@may_see
def handover(request: HttpRequest, job_id: int) -> HttpResponse:
    """May the vehicle leave, what would be handed over, what has been."""
    job, draft = _draft(request, job_id)
    return _render(request, job, draft, ReleaseForm(initial={"expected": draft.number}))


@require_POST
@may_release
def release(request: HttpRequest, job_id: int) -> HttpResponse:
    """The vehicle leaves."""
    form = ReleaseForm(request.POST)
    if not form.is_valid():
        job, draft = _draft(request, job_id)
        return _render(request, job, draft, form, status=400)
    get_object_or_404(Job, pk=job_id)
    url = request.build_absolute_uri(reverse("jobs:job", args=[job_id]))
    assert isinstance(request.user, User)
    try:
        made = release_job(
            job_id=job_id, by=request.user, at=timezone.now(), job_url=url, expected=form.cleaned_data["expected"]
        )
        messages.success(request, f"Released. Handover sheet revision {made.number} is ready to sign.")
    except RefusedError as refused:
        for reason in refused.reasons:
            messages.error(request, reason)
    return redirect("handover:handover", job_id)


@require_safe
@may_see
def paper(request: HttpRequest, job_id: int, number: int, kind: str) -> HttpResponse:
    """A paper as it was released."""
    row = get_object_or_404(Handover.objects.select_related("job"), job=job_id, number=number)
    made = paper_of(row, PaperKind(kind), at=timezone.now())
    return pdf_download(bytes(made.pdf), f"{row.job.number} {PaperKind(kind).label} {number}")


@require_safe
@may_see
def draft_paper(request: HttpRequest, job_id: int, kind: str) -> HttpResponse:
    """A paper as it would be now."""
    job, draft = _draft(request, job_id)
    return pdf_download(pdf_of(draft.record, PaperKind(kind)), f"{job.number} {PaperKind(kind).label} draft")


def _render(request: HttpRequest, job: Job, draft: Draft, form: ReleaseForm, **options: Any) -> HttpResponse:
    handovers = tuple(job.handovers.defer("content"))
    content = draft.record.content
    sheet = TitleBlock(
        title="Handover",
        subject=str(job.vehicle),
        number=job.number,
        revision=f"{draft.number} draft",
        date=timezone.localdate(content.chart.made_at),
    )
    context = {"sheet": sheet, "job": job, "draft": draft, "content": content, "handovers": handovers, "form": form}
    return render(request, "shop/handover/handover.html", context, **options)
