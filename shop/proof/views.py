"""Pages of proof: the check sheet with its readings, the battery's lock, the shop's limits."""

from __future__ import annotations

from itertools import groupby

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from circuits.errors import LoomwrightError
from circuits.paper.title_block import TitleBlock
from shop.floor.queued import done, new_key, refused, sent
from shop.floor.views import job_or_404, staff
from shop.proof import services
from shop.proof.forms import LimitsForm
from shop.proof.judging import Verdict
from shop.proof.models import CheckRow
from shop.proof.selectors import CHANGED, proof_state, release_reasons, shop_limits

view_proof = permission_required("proof.view_proof", raise_exception=True)
take_readings = permission_required("proof.take_readings", raise_exception=True)
METER = "meter"
"""Name under which the session keeps the meter in use."""


@view_proof
def proof(request: HttpRequest, job_id: int) -> HttpResponse:
    """The check sheet of a vehicle and the battery's lock."""
    job = job_or_404(job_id)
    state = proof_state(job)
    context = {
        "job": job,
        "state": state,
        "groups": [(name, list(rows)) for name, rows in groupby(state.checks, key=lambda check: check.group)],
        "next_check": next((check.pk for check in state.checks if check.verdict is not Verdict.PASSED), ""),
        "is_changed": CHANGED in state.missing,
        "reasons": release_reasons(job),
        "meter": request.session.get(METER, ""),
        "key": new_key(),
        "sheet": TitleBlock("Proof", str(job.vehicle), job.number),
    }
    return render(request, "shop/proof/proof.html", context)


@take_readings
@require_POST
def make(request: HttpRequest, job_id: int) -> HttpResponse:
    """Make the check sheet from today's plan, or make it anew."""
    job = job_or_404(job_id)
    try:
        services.make_sheet(job=job, by=staff(request), at=timezone.now())
    except LoomwrightError as error:
        messages.error(request, str(error))
    return redirect("proof:proof", job_id=job.pk)


@view_proof
def check(request: HttpRequest, job_id: int, check_id: int) -> HttpResponse:
    """One check with every reading ever taken, and what it is judged by."""
    job = job_or_404(job_id)
    row = get_object_or_404(CheckRow.objects.select_related("latest"), pk=check_id, job=job)
    readings = row.readings.select_related("by", "fault").order_by("-at", "-pk")
    sheet = TitleBlock(row.what, str(job.vehicle), job.number)
    context = {"job": job, "check": row, "readings": readings, "meter": request.session.get(METER, "")}
    return render(request, "shop/proof/check.html", context | {"key": new_key(), "sheet": sheet})


@take_readings
@require_POST
def read(request: HttpRequest, job_id: int, check_id: int) -> HttpResponse:
    """Take a reading, at once or late."""
    row = get_object_or_404(CheckRow, pk=check_id, job_id=job_id)
    to = reverse("proof:proof", args=[job_id]) + f"#check-{row.pk}"
    meter = request.POST.get(METER, "").strip()[:80]
    passed = {"yes": True, "no": False}.get(request.POST.get("passed", ""))
    told = services.Told(request.POST.get("typed", "")[:60], passed, meter, request.POST.get("remark", "")[:300])
    if meter:
        request.session[METER] = meter
    try:
        made = sent(request)
        reading = services.record_reading(check=row, told=told, by=staff(request), at=made.at, key=made.key)
    except LoomwrightError as error:
        return refused(request, f"{row.what}: {error}", to)
    except ValidationError as error:
        return refused(request, f"{row.what}: {'; '.join(error.messages)}", to)
    words = f"{row.what}: {reading}, {'passed' if reading.passed else 'failed'}."
    fault = f" Fault {reading.fault.number} is open for it." if reading.fault and not reading.passed else ""
    return done(request, words + fault, to)


@take_readings
@require_POST
def battery(request: HttpRequest, job_id: int) -> HttpResponse:
    """Connect the battery, or note that it is off. An override asks for an owner and a reason."""
    job = job_or_404(job_id)
    by, now = staff(request), timezone.now()
    if request.POST.get("act") == "off":
        services.take_battery_off(job=job, by=by, at=now)
        return redirect("proof:proof", job_id=job.pk)
    try:
        reason = request.POST.get("reason", "")[:500]
        services.connect_battery(job=job, by=by, at=now, override_reason=reason)
    except services.LockedError as error:
        messages.error(request, "The battery stays off: " + " ".join(error.reasons[:3]))
    return redirect("proof:proof", job_id=job.pk)


@permission_required("proof.edit_limits", raise_exception=True)
def limits(request: HttpRequest) -> HttpResponse:
    """The limits readings are judged against, with their source."""
    form = LimitsForm(request.POST or None, limits=shop_limits())
    if request.method == "POST" and form.is_valid():
        services.store_limits(limits=form.cleaned_data["limits"])
        messages.success(request, "Limits stored. A check sheet made from now on carries them.")
        return redirect("proof:limits")
    return render(request, "shop/proof/limits.html", {"form": form, "sheet": TitleBlock("Limits of proof")})
