"""Faults, what was tried on them, and their photographs."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MaxLengthValidator
from django.db import models
from django.db.models import Case, F, Q, Value, When

from circuits.diagnosis.tables import kinds
from shop.jobs.models import Job, every_word

MAX_TEXT = 2000


def text(*, blank: bool = True, most: int = MAX_TEXT, **options: Any) -> models.TextField[str, str]:
    """A text of several lines that ``full_clean`` holds to its length."""
    return models.TextField(blank=blank, max_length=most, validators=[MaxLengthValidator(most)], **options)


class Weight(models.TextChoices):
    """How much a fault weighs: the first may not leave the shop, the second cannot, the third may with advice."""

    DANGER = "danger", "Endangers people"
    STOPS = "stops", "Stops the vehicle"
    COMFORT = "comfort", "Comfort"


WEIGHTS = tuple(Weight)

OTHER_CAUSE = "other"
CAUSES = [*((cause.value, kind.words) for cause, kind in kinds().items()), (OTHER_CAUSE, "something else")]
"""What a fault can turn out to be; closed faults are counted by it, and the finder learns from the counts."""


class FaultQuerySet(models.QuerySet["Fault"]):
    """Reads of faults."""

    def open(self) -> FaultQuerySet:
        """Those not closed."""
        return self.filter(closed_at__isnull=True)

    def matching(self, words: str) -> FaultQuerySet:
        """Those in which every word occurs, in symptom, circuits, job or vehicle."""
        found = every_word(words, "does", "should", "switches", "job__number", "job__vehicle__plate", "job__title")
        return self.filter(found)

    def by_delivery(self) -> FaultQuerySet:
        """What blocks a delivery first: open before closed, by weight, then the job that starts first, then age."""
        rank = Case(*(When(weight=weight, then=Value(place)) for place, weight in enumerate(WEIGHTS)))
        is_closed = Case(When(closed_at__isnull=True, then=Value(0)), default=Value(1))
        return self.annotate(rank=rank, is_closed_rank=is_closed).order_by(
            "is_closed_rank", "rank", F("job__starts_on").asc(nulls_last=True), "raised_at", "pk"
        )


class Fault(models.Model):
    """One fault of one vehicle. What happened to it stands in its tests and events, which are never changed."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="faults")
    number = models.PositiveIntegerField()
    switches = models.CharField(
        max_length=200, blank=True, help_text="Position of every switch that matters: headlamp low, ignition on"
    )
    does = models.CharField(max_length=300)
    should = models.CharField(max_length=300, blank=True)
    circuits = models.JSONField(default=list, blank=True)
    weight = models.CharField(max_length=8, choices=Weight.choices)
    suspects = text()
    cause = text()
    cause_kind = models.CharField(max_length=24, blank=True, choices=CAUSES, db_index=True)
    remedy = text()
    advice = text(help_text="What the owner must know while it is open")
    origin = models.CharField(max_length=120, blank=True, help_text="Key of the check that opened it; empty = a person")
    key = models.CharField(max_length=40, unique=True)
    raised_at = models.DateTimeField()
    raised_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    closed_at = models.DateTimeField(null=True, blank=True)

    objects = FaultQuerySet.as_manager()

    class Meta:
        ordering = ["job", "number"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="faults_number_in_job"),
            models.UniqueConstraint(fields=["job", "origin"], condition=~Q(origin=""), name="faults_one_per_check"),
            models.CheckConstraint(condition=Q(weight__in=Weight.values), name="faults_weight"),
            models.CheckConstraint(
                condition=Q(closed_at__isnull=True) | (~Q(cause="") & ~Q(remedy="")), name="faults_closed_is_told"
            ),
        ]
        indexes = [models.Index(fields=["closed_at", "weight"], name="faults_open_by_weight")]

    def __str__(self) -> str:
        return f"Fault {self.number}: {self.does}"

    @property
    def is_open(self) -> bool:
        """True until a passed re-test closes it."""
        return self.closed_at is None

    @property
    def keeps_vehicle(self) -> bool:
        """True where the vehicle may not leave with it."""
        return self.is_open and self.weight == Weight.DANGER


class KeptQuerySet(models.QuerySet[Any]):
    """Rows that are added and never changed."""

    def update(self, **values: Any) -> int:
        """Refuses."""
        raise ValidationError("What was noted is kept as it was: add a new line.")

    def delete(self) -> tuple[int, dict[str, int]]:
        """Refuses."""
        raise ValidationError("What was noted is kept: add a new line.")


class Kept(models.Model):
    """A row that is added and never changed."""

    objects = KeptQuerySet.as_manager()

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Adds; refuses to change."""
        if not self._state.adding:
            raise ValidationError("What was noted is kept as it was: add a new line.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Refuses."""
        raise ValidationError("What was noted is kept: add a new line.")


class FaultPhoto(Kept):
    """A photograph, re-encoded."""

    fault = models.ForeignKey(Fault, on_delete=models.PROTECT, related_name="photos")
    jpeg = models.BinaryField()
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    taken_at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"Photo {self.pk} of fault {self.fault_id}"


class FaultTest(Kept):
    """One test: what was done, what the meter said, how long it took. A re-test says passed or not."""

    fault = models.ForeignKey(Fault, on_delete=models.PROTECT, related_name="tests")
    what = models.CharField(max_length=300)
    reading = models.CharField(max_length=60, blank=True, help_text="With its unit, as typed")
    value = models.FloatField(null=True, blank=True)
    unit = models.CharField(max_length=8, blank=True)
    is_retest = models.BooleanField(default=False)
    passed = models.BooleanField(null=True, blank=True)
    minutes = models.PositiveSmallIntegerField(default=0)
    photo = models.ForeignKey(FaultPhoto, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    key = models.CharField(max_length=40, unique=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(is_retest=True, passed__isnull=False) | Q(is_retest=False, passed__isnull=True),
                name="faults_retest_is_judged",
            )
        ]

    def __str__(self) -> str:
        return self.what


class FaultEvent(Kept):
    """What happened to a fault: raised, described anew, closed, opened again."""

    class What(models.TextChoices):
        """Kinds of event."""

        RAISED = "raised", "Raised"
        DESCRIBED = "described", "Described anew"
        CLOSED = "closed", "Closed"
        REOPENED = "reopened", "Opened again"

    fault = models.ForeignKey(Fault, on_delete=models.PROTECT, related_name="events")
    what = models.CharField(max_length=10, choices=What.choices)
    words = models.TextField(blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return f"{self.get_what_display()} {self.at:%Y-%m-%d}"


class FinderStep(Kept):
    """One step of a search: what was asked, what came out, what had been proposed, and where it left the search."""

    fault = models.ForeignKey(Fault, on_delete=models.PROTECT, related_name="steps")
    words = models.CharField(max_length=400)
    answer = models.CharField(max_length=60)
    entry = models.JSONField(help_text="The question with its answer, as the finder reads it")
    proposed = models.JSONField(null=True, blank=True, help_text="What had been proposed first")
    standing = models.JSONField(default=list, blank=True, help_text="Groups of suspects with their shares after it")
    plan_stamp = models.CharField(max_length=40, blank=True, help_text="Of the plan it was computed from")
    takes_back = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="taken_back"
    )
    key = models.CharField(max_length=40, unique=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.words} {self.answer}"
