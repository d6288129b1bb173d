"""Pages of the punch list."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from circuits.errors import LoomwrightError
from circuits.paper.title_block import TitleBlock
from shop.faults import services
from shop.faults.forms import CloseForm, DescribeForm, PhotoForm, RaiseForm, TriedForm
from shop.faults.models import Fault, FaultPhoto, Weight
from shop.faults.selectors import circuit_names, fault_story, switch_words
from shop.faults.tables import FaultTable
from shop.floor.models import Package
from shop.floor.queued import SentError, done, is_queued, new_key, refused, sent
from shop.floor.views import job_or_404, staff
from shop.jobs.listing import listing

view_faults = permission_required("faults.view_faults", raise_exception=True)
edit_faults = permission_required("faults.edit_faults", raise_exception=True)


def fault_or_404(job_id: int, fault_id: int) -> Fault:
    """The fault of that job."""
    return get_object_or_404(Fault.objects.select_related("job__vehicle", "raised_by"), pk=fault_id, job_id=job_id)


def told(form: BaseForm) -> str:
    """Everything that is wrong with a form, in one line."""
    return " ".join(f"{form.fields[name].label or name}: {error}" if name in form.fields else str(error)
                    for name, found in form.errors.items() for error in found)  # fmt: skip


@view_faults
def faults(request: HttpRequest) -> HttpResponse:
    """Faults of all jobs, what blocks a delivery first."""
    words, weight, closed = (request.GET.get(name, "") for name in ("q", "weight", "closed"))
    rows = Fault.objects.select_related("job__vehicle").matching(words).by_delivery()
    if weight in Weight.values:
        rows = rows.filter(weight=weight)
    if not closed:
        rows = rows.open()
    more = {"q": words, "weight": weight, "weights": Weight.choices, "closed": closed}
    return listing(request, FaultTable, rows, title="Faults", template="shop/faults/faults.html", **more)


@view_faults
def job_faults(request: HttpRequest, job_id: int) -> HttpResponse:
    """The punch list of one job."""
    job = job_or_404(job_id)
    rows = Fault.objects.filter(job=job).by_delivery()
    sheet = TitleBlock("Faults", str(job.vehicle), job.number)
    return render(request, "shop/faults/job_faults.html", {"job": job, "faults": rows, "sheet": sheet})


@edit_faults
def new(request: HttpRequest, job_id: int) -> HttpResponse:
    """Raise a fault at the vehicle."""
    job = job_or_404(job_id)
    package = request.GET.get("package", "")
    likely: list[str] = []
    if package.isdecimal():
        likely = Package.objects.filter(pk=package, job=job).values_list("circuits", flat=True).first() or []
    form = RaiseForm(request.POST or None, request.FILES or None, circuits=circuit_names(job))
    if request.method == "POST":
        to = reverse("faults:job_faults", args=[job.pk])
        if form.is_valid():
            photo = form.cleaned_data["photo"]
            try:
                made = sent(request)
                fault = services.raise_fault(
                    job=job, symptom=form.symptom(), by=staff(request), at=made.at, key=made.key,
                    photos=[photo] if photo else (),
                )  # fmt: skip
            except SentError as error:
                return refused(request, str(error), to)
            return done(request, f"Fault {fault.number} raised.", reverse("faults:fault", args=[job.pk, fault.pk]))
        if is_queued(request):
            return refused(request, told(form), to)
    context = {
        "job": job,
        "form": form,
        "likely": likely,
        "switches": switch_words(job),
        "key": request.POST.get("key") or new_key(),
        "sheet": TitleBlock("Raise a fault", str(job.vehicle), job.number),
    }
    return render(request, "shop/faults/new.html", context)


@view_faults
def fault(request: HttpRequest, job_id: int, fault_id: int) -> HttpResponse:
    """One fault with everything that happened to it; described anew in place."""
    row = fault_or_404(job_id, fault_id)
    may_edit = request.user.has_perm("faults.edit_faults")
    posted = request.POST if request.method == "POST" and may_edit else None
    form = DescribeForm(posted, instance=Fault.objects.get(pk=row.pk)) if may_edit else None
    if form is not None and posted is not None and form.is_valid():
        try:
            services.describe(fault=row, changes=form.cleaned_data, by=staff(request), at=timezone.now())
        except LoomwrightError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"Fault {row.number} stored.")
            return redirect("faults:fault", job_id=job_id, fault_id=row.pk)
    context = {
        "job": row.job,
        "fault": row,
        "story": fault_story(row),
        "form": form,
        "photo_form": PhotoForm(auto_id="more_%s"),
        "tried_form": TriedForm(auto_id="tried_%s"),
        "close_form": CloseForm(auto_id="close_%s", initial={"cause": row.cause, "remedy": row.remedy}),
        "key": new_key(),
        "sheet": TitleBlock(f"Fault {row.number}", str(row.job.vehicle), row.job.number, by=str(row.raised_by)),
    }
    return render(request, "shop/faults/fault.html", context)


@edit_faults
@require_POST
def test(request: HttpRequest, job_id: int, fault_id: int) -> HttpResponse:
    """Note a test, or the re-test."""
    row = fault_or_404(job_id, fault_id)
    to = reverse("faults:fault", args=[job_id, fault_id])
    form = TriedForm(request.POST, request.FILES)
    if not form.is_valid():
        return refused(request, told(form), to)
    try:
        made = sent(request)
        services.add_test(fault=row, tried=form.tried(), by=staff(request), at=made.at, key=made.key)
    except LoomwrightError as error:
        return refused(request, str(error), to)
    return done(request, "Test noted.", to)


@edit_faults
@require_POST
def add_photo(request: HttpRequest, job_id: int, fault_id: int) -> HttpResponse:
    """Put one more photograph to a fault."""
    row, to = fault_or_404(job_id, fault_id), reverse("faults:fault", args=[job_id, fault_id])
    form = PhotoForm(request.POST, request.FILES)
    if not form.is_valid():
        return refused(request, told(form), to)
    services.add_photo(fault=row, photo=form.cleaned_data["photo"], by=staff(request), at=timezone.now())
    return done(request, "Photo stored.", to)


@edit_faults
@require_POST
def close(request: HttpRequest, job_id: int, fault_id: int) -> HttpResponse:
    """Close a fault: cause, remedy, a re-test that passed."""
    row = fault_or_404(job_id, fault_id)
    form = CloseForm(request.POST)
    try:
        cause, remedy = request.POST.get("cause", ""), request.POST.get("remedy", "")
        if form.errors.get("cause") and cause:  # too long: say so; an empty one the service tells of
            raise services.FaultError(told(form))
        kind = "" if form.errors.get("cause_kind") else request.POST.get("cause_kind", "")
        services.close(fault=row, cause=cause, remedy=remedy, by=staff(request), at=timezone.now(), cause_kind=kind)
    except (LoomwrightError, ValidationError) as error:
        words = "; ".join(error.messages) if isinstance(error, ValidationError) else str(error)
        return refused(request, words, reverse("faults:fault", args=[job_id, fault_id]))
    return done(request, f"Fault {row.number} closed.", reverse("faults:fault", args=[job_id, fault_id]))


@edit_faults
@require_POST
def reopen(request: HttpRequest, job_id: int, fault_id: int) -> HttpResponse:
    """Open a closed fault again."""
    row, to = fault_or_404(job_id, fault_id), reverse("faults:fault", args=[job_id, fault_id])
    try:
        services.reopen(fault=row, why=request.POST.get("why", "")[:1000], by=staff(request), at=timezone.now())
    except LoomwrightError as error:
        return refused(request, str(error), to)
    return done(request, f"Fault {row.number} is open again.", to)


@view_faults
def photo(request: HttpRequest, job_id: int, fault_id: int, photo_id: int) -> HttpResponse:
    """A photograph, as an attachment: no browser ever takes it for a page."""
    row = get_object_or_404(FaultPhoto, pk=photo_id, fault_id=fault_id, fault__job_id=job_id)
    answer = HttpResponse(bytes(row.jpeg), content_type="image/jpeg")
    answer["Content-Disposition"] = f'attachment; filename="fault-{fault_id}-{photo_id}.jpg"'
    answer["Content-Security-Policy"] = "default-src 'none'; sandbox"
    answer["Cache-Control"] = "private, max-age=86400, immutable"
    return answer
