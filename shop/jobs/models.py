"""Customers, their vehicles, and the jobs done on them."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q, Value
from django.db.models.functions import Replace
from django.utils import timezone

from circuits.planning.models import PlanRow
from estimating.quotes.models import QuoteRow


def every_word(words: str, *fields: str) -> Q:
    """Rows in which every one of the words occurs in one of the fields, whatever its capitals."""
    found = Q()
    for word in words.split():
        found &= Q(*((f"{field}__icontains", word) for field in fields), _connector=Q.OR)
    return found


SPACERS = " -./()"
"""What people put between the letters and digits of a plate or a phone number, or leave out."""

LEAST_BARE = 4
"""Fewer letters or digits would be found in too many numbers."""


def bare(field: str) -> Replace | F:
    """A field without spacers, as SQL."""
    found: Replace | F = F(field)
    for spacer in SPACERS:
        found = Replace(found, Value(spacer), Value(""))
    return found


class CustomerQuerySet(models.QuerySet["Customer"]):
    """Reads of customers."""

    def matching(self, words: str) -> CustomerQuerySet:
        """Those in whom every word of ``words`` occurs, in name, phone or e-mail."""
        return self.filter(every_word(words, "name", "phone", "email"))


class Customer(models.Model):
    """Who pays for the job."""

    name = models.CharField(max_length=120, db_index=True)
    address = models.TextField(max_length=500, blank=True)
    phone = models.CharField(max_length=60, blank=True, db_index=True)
    email = models.EmailField(blank=True)
    notes = models.TextField(max_length=4000, blank=True)
    created_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = CustomerQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    @property
    def addressee(self) -> str:
        """Name and address as a paper prints them."""
        return "\n".join(filter(None, [self.name, self.address.strip()]))


class VehicleQuerySet(models.QuerySet["Vehicle"]):
    """Reads of vehicles."""

    def matching(self, words: str) -> VehicleQuerySet:
        """Those in which every word occurs, in description, plate, chassis number or customer."""
        return self.filter(every_word(words, "description", "plate", "chassis_number", "customer__name"))


class Vehicle(models.Model):
    """What is rewired."""

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="vehicles")
    description = models.CharField(
        max_length=160, db_index=True, help_text="Make, model and body as the customer says it"
    )
    year = models.PositiveSmallIntegerField(null=True, blank=True, db_index=True)
    plate = models.CharField(max_length=20, blank=True, db_index=True)
    chassis_number = models.CharField(max_length=40, blank=True, db_index=True)

    objects = VehicleQuerySet.as_manager()

    class Meta:
        ordering = ["description", "pk"]

    def __str__(self) -> str:
        return " ".join(filter(None, [str(self.year or ""), self.description, f"({self.plate})" if self.plate else ""]))


class Stage(models.TextChoices):
    """Where a job stands, in the words of the trade."""

    SURVEY = "survey", "Survey and plan"
    QUOTED = "quoted", "Quote with the customer"
    BOOKED = "booked", "Booked"
    RELEASED = "released", "Released"
    TURNED_DOWN = "turned_down", "Turned down"


class JobQuerySet(models.QuerySet["Job"]):
    """Reads of jobs."""

    def matching(self, words: str) -> JobQuerySet:
        """Those in which every word occurs, in number, title, plate, chassis number, customer or phone.

        A plate, chassis number or phone number is found however it is spaced.
        """
        vehicle = ("vehicle__description", "vehicle__plate", "vehicle__chassis_number")
        found = every_word(words, "number", "title", "customer__name", "customer__phone", *vehicle)
        typed = words.translate(dict.fromkeys(map(ord, SPACERS)))
        if len(typed) < LEAST_BARE or not any(sign.isdigit() for sign in typed):
            return self.filter(found)
        spaced = self.alias(bare_plate=bare("vehicle__plate"), bare_phone=bare("customer__phone"))
        numbers = {"bare_plate": typed, "bare_phone": typed, "vehicle__chassis_number": typed}
        return spaced.filter(
            found | Q(*((f"{name}__icontains", value) for name, value in numbers.items()), _connector=Q.OR)
        )

    def with_parties(self) -> JobQuerySet:
        """With customer and vehicle read in the same query."""
        return self.select_related("customer", "vehicle")


class Job(models.Model):
    """One vehicle job. It points at its plan and its quote; neither knows of it."""

    number = models.CharField(max_length=20, unique=True)
    title = models.CharField(max_length=120, db_index=True)
    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="jobs")
    vehicle = models.ForeignKey(Vehicle, on_delete=models.PROTECT, related_name="jobs")
    stage = models.CharField(max_length=12, choices=Stage.choices, default=Stage.SURVEY, db_index=True)
    what_happened = models.TextField(max_length=4000, blank=True)
    starts_on = models.DateField(null=True, blank=True, db_index=True)
    plan = models.OneToOneField(PlanRow, on_delete=models.PROTECT, related_name="+")
    quote = models.OneToOneField(QuoteRow, on_delete=models.PROTECT, related_name="+")
    created_at = models.DateTimeField(default=timezone.now, editable=False, db_index=True)
    created_by = models.CharField(max_length=150, blank=True)
    booked_at = models.DateTimeField(null=True, blank=True)

    objects = JobQuerySet.as_manager()

    class Meta:
        ordering = ["-created_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.number} {self.title}"
