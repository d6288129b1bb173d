"""Pages of the materials section that know jobs: what is needed, and the kit of a job."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from circuits.paper.title_block import TitleBlock
from estimating.purchasing.cut_csv import cut_csv, label_csv, label_texts
from estimating.purchasing.forms import StartRunForm
from estimating.purchasing.kits import give_out, release, settle, unsettle
from estimating.purchasing.papers import cut_list_pdf, labels_pdf
from estimating.purchasing.running import start_run
from estimating.quotes.downloads import csv_download, pdf_download
from estimating.quotes.rules import RefusedError
from shop.jobs.models import Job
from shop.materials.pages import kit_page, labels_each, needs_page, words_of_shop
from shop.materials.work import jobs_ahead

may_see = permission_required("purchasing.view_kits", raise_exception=True)
may_order = permission_required("purchasing.edit_orders", raise_exception=True)
may_move = permission_required("stock.move_stock", raise_exception=True)


@require_safe
@may_see
def materials(request: HttpRequest) -> HttpResponse:
    """What the jobs ahead still need, and how far their kits are."""
    page = needs_page(timezone.localdate(), with_likely="likely" in request.GET)
    context = {"sheet": TitleBlock("Materials", date=timezone.localdate()), "page": page, "form": StartRunForm()}
    return render(request, "shop/materials/materials.html", context)


@require_POST
@may_order
def start(request: HttpRequest) -> HttpResponse:
    """Starts planning what to buy for the jobs ahead."""
    form = StartRunForm(request.POST)
    form.is_valid()
    wanted = form.cleaned_data
    today = timezone.localdate()
    days = needs_page(today, with_likely=False).horizon_days
    jobs = jobs_ahead(today=today, horizon_days=days, with_likely=wanted["with_likely"])
    moves = wanted["lets_dates_move"]
    try:
        run = start_run(jobs=jobs, today=today, by=str(request.user), at=timezone.now(), lets_dates_move=moves)
    except RefusedError as refused:
        messages.error(request, str(refused))
        return redirect("materials:materials")
    return redirect("purchasing:run", run_id=run.pk)


def _job_or_404(job_id: int) -> Job:
    return get_object_or_404(Job.objects.select_related("vehicle"), pk=job_id)


def _block(job: Job, title: str) -> TitleBlock:
    return TitleBlock(title, str(job.vehicle), job.number, date=job.starts_on)


@require_safe
@may_see
def kit(request: HttpRequest, job_id: int) -> HttpResponse:
    """The kit of a job: whether it is ready, what to fetch, what to cut."""
    job = _job_or_404(job_id)
    context = {"sheet": _block(job, "Kit"), "job": job, "page": kit_page(job)}
    return render(request, "shop/materials/kit.html", context)


@require_POST
@may_move
def give(request: HttpRequest, job_id: int) -> HttpResponse:
    """Gives what lies ready to the job."""
    job = _job_or_404(job_id)
    try:
        lines = give_out(job=job.number, by=str(request.user), at=timezone.now())
    except RefusedError as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, f"Given out: {lines} line{'' if lines == 1 else 's'}.")
    return redirect("materials:kit", job_id=job.pk)


@require_POST
@may_order
def let_go(request: HttpRequest, job_id: int) -> HttpResponse:
    """Lets go of what is reserved for the job."""
    job = _job_or_404(job_id)
    messages.success(request, f"Let go: {release(job=job.number)} lines. Others may have them.")
    return redirect("materials:kit", job_id=job.pk)


@require_POST
@may_order
def settle_job(request: HttpRequest, job_id: int) -> HttpResponse:
    """Says that the job needs no more material, or with ``again`` that it does after all."""
    job = _job_or_404(job_id)
    if "again" in request.POST:
        unsettle(job=job.number)
    else:
        settle(job=job.number, by=str(request.user), at=timezone.now())
    return redirect("materials:kit", job_id=job.pk)


@require_safe
@may_see
def cut_list(request: HttpRequest, job_id: int, file_format: str) -> HttpResponse:
    """The cut list as PDF or CSV."""
    job = _job_or_404(job_id)
    page = kit_page(job)
    if file_format == "csv":
        return csv_download(cut_csv(page.cuts), f"cut list {job.number}")
    paper = cut_list_pdf(_block(job, "Cut list"), page.cuts, page.kit, words_of_shop())
    return pdf_download(paper, f"cut list {job.number}")


@require_safe
@may_see
def labels(request: HttpRequest, job_id: int, file_format: str) -> HttpResponse:
    """The wire labels as a sheet to print, or as CSV for a label printer."""
    job = _job_or_404(job_id)
    page, each = kit_page(job), labels_each()
    if file_format == "csv":
        return csv_download(label_csv(page.cuts, job.number, each), f"labels {job.number}")
    paper = labels_pdf(_block(job, "Wire labels"), label_texts(page.cuts, each), words_of_shop())
    return pdf_download(paper, f"labels {job.number}")
