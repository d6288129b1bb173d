"""Lists of jobs, customers and vehicles as declared columns. Selectors load; tables only show."""

from __future__ import annotations

from typing import Any

import django_tables2 as tables

from shop.jobs.models import Customer, Job, Vehicle


class JobTable(tables.Table):
    """Every job, newest first."""

    caption = "Jobs"

    number = tables.Column(linkify=("jobs:job", {"job_id": tables.A("pk")}), verbose_name="Job")
    title = tables.Column(verbose_name="What")
    customer = tables.Column(accessor="customer__name", verbose_name="Customer")
    vehicle = tables.Column(accessor="vehicle__description", verbose_name="Vehicle")
    plate = tables.Column(accessor="vehicle__plate", verbose_name="Plate")
    stage = tables.Column(verbose_name="State")
    starts_on = tables.DateColumn(format="j M Y", verbose_name="Starts")

    class Meta:
        model = Job
        fields = ("number", "title", "customer", "vehicle", "plate", "stage", "starts_on")
        order_by = ("-number",)
        empty_text = "No job here yet. Start with New job."


class CustomerTable(tables.Table):
    """Every customer."""

    caption = "Customers"

    name = tables.Column(linkify=("jobs:customer", {"customer_id": tables.A("pk")}), verbose_name="Customer")
    jobs_count = tables.Column(verbose_name="Jobs", attrs={"td": {"class": "figure"}, "th": {"class": "figure"}})

    class Meta:
        model = Customer
        fields = ("name", "phone", "email", "jobs_count")
        order_by = ("name",)
        empty_text = "No customer found. A new job makes one."


class VehicleTable(tables.Table):
    """Every vehicle."""

    caption = "Vehicles"

    description = tables.Column(linkify=("jobs:vehicle", {"vehicle_id": tables.A("pk")}), verbose_name="Vehicle")
    customer = tables.Column(accessor="customer__name", verbose_name="Customer")
    chassis_number = tables.Column(verbose_name="Chassis number")
    year = tables.Column(attrs={"td": {"class": "figure"}, "th": {"class": "figure"}})

    class Meta:
        model = Vehicle
        fields = ("description", "year", "plate", "chassis_number", "customer")
        order_by = ("description",)
        empty_text = "No vehicle found. A new job makes one."

    def render_year(self, value: Any) -> str:
        """A year bears no thousands mark."""
        return str(value)
