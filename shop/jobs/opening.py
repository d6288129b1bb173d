"""Opening a job from its page: four forms that stand or fall together."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.http import HttpRequest

from circuits.planning.new_plan import NewPlanForm
from circuits.planning.services import new_plan
from estimating.quotes.views.acts import all_valid
from shop.jobs.forms import CustomerForm, JobForm, VehicleForm
from shop.jobs.models import Customer, Job, Vehicle
from shop.jobs.services import Opening, open_job

MOST_FOUND = 8


@dataclass(frozen=True, slots=True)
class OpeningForms:
    """The forms of the page. A known customer or vehicle replaces its form.

    ``found`` are known vehicles that match what was looked for.
    """

    job: JobForm
    plan: NewPlanForm
    customer: CustomerForm
    vehicle: VehicleForm
    known_customer: Customer | None
    known_vehicle: Vehicle | None
    looked_for: str
    found: tuple[Vehicle | Customer, ...]

    @classmethod
    def of(cls, request: HttpRequest) -> OpeningForms:
        """The forms as the request fills them."""
        data, files = request.POST or None, request.FILES or None
        known_vehicle = _known(Vehicle.objects.select_related("customer"), request.GET.get("vehicle"))
        known_customer = (
            known_vehicle.customer if known_vehicle else _known(Customer.objects.all(), request.GET.get("customer"))
        )
        looked_for = request.GET.get("q", "").strip()
        found: tuple[Vehicle | Customer, ...] = ()
        if looked_for:
            vehicles = Vehicle.objects.select_related("customer").matching(looked_for)[:MOST_FOUND]
            found = (*vehicles, *Customer.objects.matching(looked_for)[:MOST_FOUND])
        return cls(
            job=JobForm(data, prefix="job"),
            plan=NewPlanForm(data, files, prefix="plan"),
            customer=CustomerForm(data, prefix="customer"),
            vehicle=VehicleForm(data, prefix="vehicle"),
            known_customer=known_customer,
            known_vehicle=known_vehicle,
            looked_for=looked_for,
            found=found,
        )

    def are_valid(self) -> bool:
        """True where every form that counts is filled rightly; all are judged, so all errors show at once."""
        needed = [self.job, self.plan]
        if self.known_customer is None:
            needed.append(self.customer)
        if self.known_vehicle is None:
            needed.append(self.vehicle)
        return all_valid(*needed)


def _known(rows: QuerySet[Any], key: str | None) -> Any:
    """The row of that key, or None where the address names none."""
    return rows.filter(pk=key).first() if key and key.isdecimal() else None


@transaction.atomic
def open_from_forms(forms: OpeningForms, *, by: str, at: datetime) -> Job:
    """Store what the forms hold as one job with its plan and quote."""
    customer = forms.known_customer or forms.customer.save(commit=False)
    vehicle = forms.known_vehicle or forms.vehicle.save(commit=False)
    opening = Opening(**forms.job.cleaned_data)
    plan = new_plan(title=opening.title, source=forms.plan.plan_source, by=by)
    return open_job(customer=customer, vehicle=vehicle, plan=plan, opening=opening, by=by, at=at)
