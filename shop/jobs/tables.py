"""Lists of jobs, customers and vehicles as declared columns. Selectors load; tables only show."""

from __future__ import annotations

from datetime import date

from shop.jobs.models import Customer, Job, Vehicle
from shop.jobs.sheet_table import Cell, SheetTable


def day(value: date | None) -> str:
    """A day as the pages say it.

    Examples
    --------
    >>> day(date(2031, 5, 2)), day(None)
    ('2 May 2031', '')
    """
    return f"{value.day} {value:%b %Y}" if value else ""


class JobTable(SheetTable):
    """Every job, newest first."""

    caption = "Jobs"
    number = Cell(lambda job: job.number, opens="jobs:job", verbose_name="Job")
    title = Cell(lambda job: job.title, verbose_name="What")
    customer = Cell(lambda job: job.customer.name, accessor="customer__name", verbose_name="Customer")
    vehicle = Cell(lambda job: job.vehicle.description, accessor="vehicle__description", verbose_name="Vehicle")
    plate = Cell(lambda job: job.vehicle.plate, accessor="vehicle__plate", verbose_name="Plate")
    stage = Cell(lambda job: job.get_stage_display(), verbose_name="State")
    starts_on = Cell(lambda job: day(job.starts_on), verbose_name="Starts")

    class Meta:
        model = Job
        fields = ("number", "title", "customer", "vehicle", "plate", "stage", "starts_on")
        order_by = ("-number",)
        empty_text = "No job here yet. Start with New job."


class CustomerTable(SheetTable):
    """Every customer."""

    caption = "Customers"
    name = Cell(lambda customer: customer.name, opens="jobs:customer", verbose_name="Customer")
    phone = Cell(lambda customer: customer.phone, verbose_name="Phone")
    email = Cell(lambda customer: customer.email, verbose_name="E-mail")
    jobs_count = Cell(lambda customer: customer.jobs_count, figure=True, verbose_name="Jobs")

    class Meta:
        model = Customer
        fields = ("name", "phone", "email", "jobs_count")
        order_by = ("name",)
        empty_text = "No customer found. A new job makes one."


class VehicleTable(SheetTable):
    """Every vehicle."""

    caption = "Vehicles"
    description = Cell(lambda vehicle: vehicle.description, opens="jobs:vehicle", verbose_name="Vehicle")
    year = Cell(lambda vehicle: vehicle.year, figure=True, verbose_name="Year")
    plate = Cell(lambda vehicle: vehicle.plate, verbose_name="Plate")
    chassis_number = Cell(lambda vehicle: vehicle.chassis_number, verbose_name="Chassis number")
    customer = Cell(lambda vehicle: vehicle.customer.name, accessor="customer__name", verbose_name="Customer")

    class Meta:
        model = Vehicle
        fields = ("description", "year", "plate", "chassis_number", "customer")
        order_by = ("description",)
        empty_text = "No vehicle found. A new job makes one."
