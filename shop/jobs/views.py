"""Pages of jobs, customers and vehicles."""

from __future__ import annotations

from urllib.parse import urlencode

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from circuits.paper.title_block import TitleBlock
from shop.jobs.forms import CustomerForm, JobForm, VehicleForm
from shop.jobs.listing import listing
from shop.jobs.models import Customer, Job, Stage, Vehicle
from shop.jobs.opening import OpeningForms, open_from_forms
from shop.jobs.selectors import customers_with_counts, job_summary
from shop.jobs.tables import CustomerTable, JobTable, VehicleTable

view_job = permission_required("jobs.view_job", raise_exception=True)
edit_job = permission_required("jobs.edit_job", raise_exception=True)


@view_job
def jobs(request: HttpRequest) -> HttpResponse:
    """Every job: searched, filtered by state, sorted, taken away as CSV."""
    words, stage = request.GET.get("q", ""), request.GET.get("stage", "")
    rows = Job.objects.with_parties().matching(words)
    if stage in Stage.values:
        rows = rows.filter(stage=stage)
    return listing(
        request,
        JobTable,
        rows,
        title="Jobs",
        template="shop/jobs/jobs.html",
        q=words,
        stage=stage,
        stages=Stage.choices,
    )


@require_safe
@view_job
def find(request: HttpRequest) -> HttpResponse:
    """The box on every sheet: opens the one job that is meant, or lists those that may be."""
    words = " ".join(request.GET.get("q", "").replace("\x00", "").split())[:100]
    found = Job.objects.matching(words).values_list("pk", flat=True)[:2]
    if words and len(found) == 1:
        return redirect("jobs:job", job_id=found[0])
    return redirect(f"{reverse('jobs:jobs')}?{urlencode({'q': words})}")


@view_job
def job(request: HttpRequest, job_id: int) -> HttpResponse:
    """One job: what stands, what comes next, its figures."""
    row = get_object_or_404(Job.objects.with_parties().select_related("plan", "quote"), pk=job_id)
    summary = job_summary(row, timezone.localdate())
    sheet = TitleBlock(row.title, str(row.vehicle), row.number, date=row.created_at.date(), by=row.created_by)
    context = {"job": row, "summary": summary, "sheet": sheet, "next_url": page_of(row, summary.next_step.page)}
    return render(request, "shop/jobs/job.html", context)


def page_of(job: Job, page: str) -> str:
    """Address of a sheet of the job by its URL name; a quote is found by its own key, the rest by plan or job."""
    keys = {"jobs:edit": job.pk, "floor:work": job.pk, "handover:handover": job.pk, "quotes:quote": job.quote_id}
    return reverse(page, args=[keys.get(page, job.plan_id)]) if page else ""


@edit_job
def new(request: HttpRequest) -> HttpResponse:
    """Open a job: customer, vehicle, what happened, and what the plan starts from, in one go."""
    forms = OpeningForms.of(request)
    if request.method == "POST" and forms.are_valid():
        job = open_from_forms(forms, by=str(request.user), at=timezone.now())
        messages.success(request, f"Job {job.number} opened.")
        return redirect("planning:plan", plan_id=job.plan_id)
    return render(request, "shop/jobs/new.html", {"forms": forms, "sheet": TitleBlock("New job")})


@edit_job
def edit(request: HttpRequest, job_id: int) -> HttpResponse:
    """Title, story and planned start of a job."""
    row = get_object_or_404(Job.objects.with_parties(), pk=job_id)
    form = JobForm(request.POST or None, instance=row)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, f"Job {row.number} stored.")
        return redirect("jobs:job", job_id=row.pk)
    sheet = TitleBlock(f"Job {row.number}", str(row.vehicle), row.number)
    return render(request, "shop/jobs/edit.html", {"form": form, "sheet": sheet, "back": row})


@view_job
def customers(request: HttpRequest) -> HttpResponse:
    """Every customer."""
    words = request.GET.get("q", "")
    rows = customers_with_counts().matching(words)
    return listing(request, CustomerTable, rows, title="Customers", template="shop/jobs/customers.html", q=words)


@view_job
def customer(request: HttpRequest, customer_id: int) -> HttpResponse:
    """One customer with vehicles and jobs; edited in place."""
    row = get_object_or_404(Customer, pk=customer_id)
    may_edit = request.user.has_perm("jobs.edit_job")
    form = CustomerForm(request.POST or None, instance=row) if may_edit else None
    if request.method == "POST" and form is not None and form.is_valid():
        form.save()
        messages.success(request, f"{row.name} stored.")
        return redirect("jobs:customer", customer_id=row.pk)
    context = {"form": form, "customer": row, "vehicles": row.vehicles.all(), "jobs": row.jobs.with_parties()}
    return render(request, "shop/jobs/customer.html", context | {"sheet": TitleBlock(row.name)})


@view_job
def vehicles(request: HttpRequest) -> HttpResponse:
    """Every vehicle."""
    words = request.GET.get("q", "")
    rows = Vehicle.objects.select_related("customer").matching(words)
    return listing(request, VehicleTable, rows, title="Vehicles", template="shop/jobs/vehicles.html", q=words)


@view_job
def vehicle(request: HttpRequest, vehicle_id: int) -> HttpResponse:
    """One vehicle with its jobs; edited in place."""
    row = get_object_or_404(Vehicle.objects.select_related("customer"), pk=vehicle_id)
    may_edit = request.user.has_perm("jobs.edit_job")
    form = VehicleForm(request.POST or None, instance=row) if may_edit else None
    if request.method == "POST" and form is not None and form.is_valid():
        form.save()
        messages.success(request, f"{row} stored.")
        return redirect("jobs:vehicle", vehicle_id=row.pk)
    context = {"form": form, "vehicle": row, "jobs": row.jobs.with_parties(), "sheet": TitleBlock(str(row))}
    return render(request, "shop/jobs/vehicle.html", context)
