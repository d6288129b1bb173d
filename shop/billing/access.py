"""Fetching for the views: the row or 404, and who asks, by name."""

from __future__ import annotations

from django.http import HttpRequest
from django.shortcuts import get_object_or_404

from circuits.paper.title_block import TitleBlock
from shop.billing.models import Change, Document
from shop.jobs.models import Job


def job_or_404(job_id: int) -> Job:
    """The job with its parties, plan and quote.

    Raises
    ------
    django.http.Http404
    """
    return get_object_or_404(Job.objects.with_parties().select_related("plan", "quote"), pk=job_id)


def document_or_404(job_id: int, document_id: int) -> Document:
    """A document of the job.

    Raises
    ------
    django.http.Http404
    """
    rows = Document.objects.select_related("job__customer", "job__vehicle", "credits")
    return get_object_or_404(rows, pk=document_id, job=job_id)


def change_or_404(job_id: int, number: int) -> Change:
    """A change of the job.

    Raises
    ------
    django.http.Http404
    """
    rows = Change.objects.select_related("job__customer", "job__vehicle")
    found: Change = get_object_or_404(rows, job=job_id, number=number)
    return found


def person(request: HttpRequest) -> str:
    """Name of whoever is logged in."""
    return str(request.user)[:160]


def block(title: str, job: Job, number: str = "") -> TitleBlock:
    """Title block of a sheet about a job's money."""
    return TitleBlock(title, f"{job.number} {job.vehicle}", number)
