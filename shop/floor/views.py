"""Pages of the work: the job's packages, one package at the vehicle, the week, one's own hours."""

from __future__ import annotations

from datetime import date, timedelta

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from circuits.errors import LoomwrightError
from circuits.paper.title_block import TitleBlock
from shop.faults.models import Fault
from shop.floor.corrections import add_by_hand, correct
from shop.floor.fault_time import package_for
from shop.floor.forms import HoldForm, HoursForm, OrderForm, PersonForm, this_monday
from shop.floor.layout import add_own_order, drop_own_order, is_behind, lay_out_work
from shop.floor.models import Hold, HoursEntry, OwnOrder, Package, Tap
from shop.floor.queued import SentError, done, new_key, refused, sent
from shop.floor.selectors import running_entry, week, work_state
from shop.floor.services import PressError, assign, hold, lift, press
from shop.jobs.models import Job
from shop.people.models import User

view_work = permission_required("floor.view_work", raise_exception=True)
book_hours = permission_required("floor.book_hours", raise_exception=True)
lay_out = permission_required("floor.lay_out", raise_exception=True)


FIRST_YEAR, LAST_YEAR = 2000, 2200
"""Weeks that can be asked for."""


def staff(request: HttpRequest) -> User:
    """The member of staff who asks; log-in has been asked for before."""
    assert isinstance(request.user, User)
    return request.user


def job_or_404(job_id: int) -> Job:
    """The job with what its pages name."""
    return get_object_or_404(Job.objects.with_parties().select_related("plan", "quote"), pk=job_id)


def package_or_404(job_id: int, package_id: int) -> Package:
    """The package of that job."""
    return get_object_or_404(Package.objects.select_related("job"), pk=package_id, job_id=job_id)


@view_work
def work(request: HttpRequest, job_id: int) -> HttpResponse:
    """The job's packages in a lawful order, the hours against the estimate, what to do next."""
    job = job_or_404(job_id)
    state = work_state(job, timezone.now())
    context = {
        "job": job,
        "state": state,
        "is_behind": state.layout is not None and is_behind(job, state.layout),
        "running": running_entry(staff(request)),
        "own_orders": job.own_orders.all(),
        "order_form": OrderForm(job=job),
        "key": new_key(),
        "sheet": TitleBlock("Work", str(job.vehicle), job.number),
    }
    return render(request, "shop/floor/work.html", context)


@lay_out
@require_POST
def lay_out_again(request: HttpRequest, job_id: int) -> HttpResponse:
    """Make the packages, or make them anew."""
    job = job_or_404(job_id)
    lay_out_work(job=job, at=timezone.now())
    messages.success(request, "Work laid out.")
    return redirect("floor:work", job_id=job.pk)


@lay_out
@require_POST
def order(request: HttpRequest, job_id: int) -> HttpResponse:
    """Add an order of work for this vehicle, or take one out."""
    job = job_or_404(job_id)
    if drop := request.POST.get("drop"):
        drop_own_order(order=get_object_or_404(OwnOrder, pk=drop, job=job), at=timezone.now())
        return redirect("floor:work", job_id=job.pk)
    form = OrderForm(request.POST, job=job)
    if form.is_valid():
        for found in add_own_order(job=job, **form.cleaned_data, by=staff(request), at=timezone.now()):
            messages.warning(request, found)
    else:
        messages.error(request, "Name both packages, and why.")
    return redirect("floor:work", job_id=job.pk)


@view_work
def package(request: HttpRequest, job_id: int, package_id: int) -> HttpResponse:
    """One package at the vehicle: start, stop, tick."""
    row = package_or_404(job_id, package_id)
    job, now = job_or_404(job_id), timezone.now()
    state = work_state(job, now)
    mine = next((one for one in (*state.packages, *state.aside) if one.package.pk == row.pk), None)
    ticks = {tick.circuit: tick for tick in row.ticks.filter(undone_at__isnull=True).select_related("by")}
    context = {
        "job": job,
        "package": row,
        "state": mine,
        "lines": [(name, ticks.get(name)) for name in row.to_tick],
        "running": running_entry(staff(request)),
        "entries": row.hours.select_related("person", "fault").prefetch_related("corrections__by"),
        "holds": row.holds.filter(lifted_at__isnull=True),
        "hold_form": HoldForm(),
        "person_form": PersonForm(initial={"person": row.person_id}),
        "key": new_key(),
        "sheet": TitleBlock(str(row), str(job.vehicle), job.number),
    }
    return render(request, "shop/floor/package.html", context)


@book_hours
@require_POST
def tap(request: HttpRequest, job_id: int, package_id: int) -> HttpResponse:
    """Start, stop or tick: one tap, at once or late."""
    row = package_or_404(job_id, package_id)
    back = request.POST.get("back", "")
    to = reverse("floor:work", args=[job_id]) if back == "work" else reverse("floor:package", args=[job_id, package_id])
    try:
        act, made = Tap.Act(request.POST.get("act", "")), sent(request)
        press(
            act=act, person=staff(request), at=made.at, key=made.key, came_at=timezone.now(),
            package=row, circuit=request.POST.get("circuit", ""),
        )  # fmt: skip
    except (PressError, SentError) as error:
        return refused(request, str(error), to)
    except ValueError:
        return refused(request, NO_ACT, to)
    return done(request, SAID[act].format(package=row), to)


@book_hours
@require_POST
def fault_tap(request: HttpRequest, job_id: int, fault_id: int) -> HttpResponse:
    """Start or stop hours on a fault."""
    fault = get_object_or_404(Fault, pk=fault_id, job=job_id)
    to = reverse("faults:fault", args=[job_id, fault_id])
    act = {"start": Tap.Act.START, "stop": Tap.Act.STOP}.get(request.POST.get("act", ""))
    row = package_for(fault)
    if act is None or row is None:
        return refused(request, NO_WORK if act else NO_ACT, to)
    try:
        made = sent(request)
        press(
            act=act, person=staff(request), at=made.at, key=made.key, came_at=timezone.now(), package=row, fault=fault
        )
    except (PressError, SentError) as error:
        return refused(request, str(error), to)
    return done(request, "Started on the fault." if act is Tap.Act.START else "Stopped.", to)


NO_ACT = "That is no act of this page: load it again."
NO_WORK = "No work is laid out on this vehicle yet: hours have nowhere to go."
SAID = {
    Tap.Act.START: "Started on {package}.",
    Tap.Act.STOP: "Stopped.",
    Tap.Act.TICK: "Ticked.",
    Tap.Act.UNTICK: "Tick taken back.",
}


@book_hours
@require_POST
def holds(request: HttpRequest, job_id: int, package_id: int) -> HttpResponse:
    """Note what a package waits for, or that it waits no longer."""
    row = package_or_404(job_id, package_id)
    form = HoldForm(request.POST)
    if lifted := request.POST.get("lift"):
        lift(hold=get_object_or_404(Hold, pk=lifted, package=row), by=staff(request), at=timezone.now())
    elif form.is_valid():
        hold(package=row, **form.cleaned_data, by=staff(request), at=timezone.now())
    else:
        messages.error(request, "; ".join(f"{name}: {error[0]}" for name, error in form.errors.items()))
    return redirect("floor:package", job_id=job_id, package_id=package_id)


@lay_out
@require_POST
def person(request: HttpRequest, job_id: int, package_id: int) -> HttpResponse:
    """Say who does a package."""
    row = package_or_404(job_id, package_id)
    form = PersonForm(request.POST)
    if form.is_valid():
        assign(package=row, person=form.cleaned_data["person"])
    else:
        messages.error(request, "That person is not of the staff any more.")
    return redirect("floor:package", job_id=job_id, package_id=package_id)


@book_hours
def hours(request: HttpRequest, job_id: int, entry_id: int | None = None) -> HttpResponse:
    """Set an entry right, or add one that nobody started; always with a reason."""
    job = job_or_404(job_id)
    entry = (
        get_object_or_404(HoursEntry.objects.select_related("person"), pk=entry_id, package__job=job)
        if entry_id
        else None
    )
    form = HoursForm(request.POST or None, job=job, entry=entry, by=staff(request))
    if request.method == "POST" and form.is_valid():
        by, reason, now = staff(request), form.cleaned_data["reason"], timezone.now()
        try:
            if entry is not None:
                correct(entry=entry, worked=form.worked(), reason=reason, by=by, at=now)
            else:
                add_by_hand(person=form.person, worked=form.worked(), reason=reason, by=by, at=now)
        except LoomwrightError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, "Hours stored.")
            return redirect("floor:work", job_id=job.pk)
    history = entry.corrections.select_related("by") if entry else ()
    sheet = TitleBlock("Hours set right" if entry else "Hours added by hand", str(job.vehicle), job.number)
    context = {"form": form, "job": job, "entry": entry, "history": history, "sheet": sheet}
    return render(request, "shop/floor/hours.html", context)


def monday_of(text: str) -> date:
    """Monday of the week that a date lies in; of the present one for anything else."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return this_monday()
    return day - timedelta(days=day.weekday()) if FIRST_YEAR <= day.year <= LAST_YEAR else this_monday()


@view_work
def the_week(request: HttpRequest) -> HttpResponse:
    """All jobs of a week: who, what, blocked by what."""
    monday = monday_of(request.GET.get("from", ""))
    context = {
        "week": week(monday, timezone.now()),
        "before": monday - timedelta(days=7),
        "after": monday + timedelta(days=7),
        "running": running_entry(staff(request)),
        "key": new_key(),
        "sheet": TitleBlock(f"Week from {monday.day} {monday:%B %Y}"),
    }
    return render(request, "shop/floor/week.html", context)
