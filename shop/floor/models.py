"""Work packages of a job, their ticks, the hours booked to them, and what holds them up."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from circuits.harness.order import STAGES, PackageKey, WorkStage
from shop.faults.models import Fault, Kept
from shop.jobs.models import Job

PERSON = settings.AUTH_USER_MODEL


class WorkLayout(models.Model):
    """How the work of a job was laid out, and from what: an agreement with the customer, or the plan of a day."""

    job = models.OneToOneField(Job, on_delete=models.PROTECT, related_name="work_layout")
    words = models.CharField(max_length=200, help_text="What it was laid out from")
    change_id = models.BigIntegerField(null=True, blank=True, help_text="Last change that the customer had accepted")
    is_agreed = models.BooleanField(default=True)
    condition_cv = models.FloatField()
    findings = models.JSONField(default=list, blank=True)
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"Work of {self.job_id}"


class Package(models.Model):
    """One package of work: a stage in one section. ``after`` names the packages that come before it."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="packages")
    stage = models.CharField(max_length=10, choices=[(stage.value, stage.value) for stage in STAGES])
    section = models.CharField(max_length=500)
    position = models.PositiveIntegerField()
    circuits = models.JSONField(default=list, blank=True)
    notes = models.JSONField(default=list, blank=True)
    after = models.JSONField(default=list, blank=True)
    minutes = models.JSONField(
        default=dict, blank=True, help_text="Estimated minutes by circuit; empty name = the rest"
    )
    variance_min2 = models.FloatField(default=0)
    is_current = models.BooleanField(default=True)
    done = models.PositiveIntegerField(default=0, help_text="Circuits ticked; 1 where the whole package is one tick")
    of = models.PositiveIntegerField(default=1, help_text="How many there are to tick")
    person = models.ForeignKey(PERSON, null=True, blank=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["job", "position"]
        constraints = [
            models.UniqueConstraint(fields=["job", "stage", "section"], name="floor_one_package_per_stage_and_section")
        ]

    def __str__(self) -> str:
        return f"{self.stage}: {self.section}"

    @property
    def key(self) -> PackageKey:
        """Its name as the order of work knows it."""
        return PackageKey(WorkStage(self.stage), self.section)

    @property
    def to_tick(self) -> list[str]:
        """What is ticked: its circuits, or the empty name where it is done as a whole."""
        return self.circuits or [""]

    @property
    def is_done(self) -> bool:
        """True where every circuit is ticked."""
        return self.done >= self.of

    @property
    def estimate_min(self) -> float:
        """Estimated minutes of the whole package."""
        return float(sum(self.minutes.values()))


class Tick(models.Model):
    """A circuit done in a package. Taken back it stays, with who took it back."""

    package = models.ForeignKey(Package, on_delete=models.PROTECT, related_name="ticks")
    circuit = models.CharField(max_length=500, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    undone_at = models.DateTimeField(null=True, blank=True)
    undone_by = models.ForeignKey(PERSON, null=True, blank=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["package", "circuit"], condition=Q(undone_at__isnull=True), name="floor_ticked_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.circuit or 'all'} done"


class Tap(Kept):
    """A press on start, stop or a tick, with the time it was made at the vehicle. Kept as it came, also when late."""

    class Act(models.TextChoices):
        """What was pressed."""

        START = "start", "Start"
        STOP = "stop", "Stop"
        TICK = "tick", "Tick"
        UNTICK = "untick", "Untick"

    key = models.CharField(max_length=40, unique=True)
    act = models.CharField(max_length=8, choices=Act.choices)
    package = models.ForeignKey(Package, null=True, blank=True, on_delete=models.PROTECT, related_name="taps")
    circuit = models.CharField(max_length=500, blank=True)
    fault = models.ForeignKey(Fault, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    person = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="taps")
    at = models.DateTimeField()
    came_at = models.DateTimeField()

    class Meta:
        ordering = ["at", "pk"]
        indexes = [models.Index(fields=["person", "at"], name="floor_taps_of_person")]

    def __str__(self) -> str:
        return f"{self.act} {self.at:%Y-%m-%d %H:%M}"


class HoursQuerySet(models.QuerySet["HoursEntry"]):
    """Reads of hours."""

    def running(self) -> HoursQuerySet:
        """Entries not stopped yet."""
        return self.filter(stopped_at__isnull=True)


class HoursEntry(models.Model):
    """A stretch of time that one person worked on one package, and on which of its faults, if on one."""

    package = models.ForeignKey(Package, on_delete=models.PROTECT, related_name="hours")
    fault = models.ForeignKey(Fault, null=True, blank=True, on_delete=models.PROTECT, related_name="hours")
    person = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="hours")
    started_at = models.DateTimeField()
    stopped_at = models.DateTimeField(null=True, blank=True)
    tap = models.OneToOneField(Tap, null=True, blank=True, on_delete=models.PROTECT, related_name="entry")
    is_corrected = models.BooleanField(default=False)
    is_struck = models.BooleanField(default=False, help_text="Taken out by a correction: counts no time")

    objects = HoursQuerySet.as_manager()

    class Meta:
        ordering = ["-started_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["person"], condition=Q(stopped_at__isnull=True), name="floor_one_running_entry"
            ),
            models.CheckConstraint(
                condition=Q(stopped_at__isnull=True) | Q(stopped_at__gte=F("started_at")),
                name="floor_stops_after_start",
            ),
            models.CheckConstraint(
                condition=Q(is_struck=False) | Q(stopped_at__isnull=False), name="floor_struck_is_stopped"
            ),
        ]
        indexes = [models.Index(fields=["person", "-started_at"], name="floor_hours_of_person")]

    def __str__(self) -> str:
        return f"{self.person} {self.started_at:%Y-%m-%d %H:%M}"


class HoursCorrection(Kept):
    """What an entry said before somebody corrected it, and why."""

    entry = models.ForeignKey(HoursEntry, on_delete=models.PROTECT, related_name="corrections")
    reason = models.CharField(max_length=300)
    was = models.JSONField(default=dict, blank=True, help_text="Empty: the entry was added by hand")
    at = models.DateTimeField()
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["at", "pk"]
        constraints = [models.CheckConstraint(condition=~Q(reason=""), name="floor_correction_says_why")]

    def __str__(self) -> str:
        return self.reason


class Hold(models.Model):
    """What keeps a package waiting that the plan cannot know: parts, or the customer's word."""

    class Cause(models.TextChoices):
        """What is waited for."""

        PARTS = "parts", "waiting for parts"
        APPROVAL = "approval", "waiting for approval"
        OTHER = "other", "held up"

    package = models.ForeignKey(Package, on_delete=models.PROTECT, related_name="holds")
    cause = models.CharField(max_length=8, choices=Cause.choices)
    words = models.CharField(max_length=200, blank=True)
    since = models.DateTimeField()
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    lifted_at = models.DateTimeField(null=True, blank=True)
    lifted_by = models.ForeignKey(PERSON, null=True, blank=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["since", "pk"]

    def __str__(self) -> str:
        return ": ".join(filter(None, [self.get_cause_display(), self.words]))


class OwnOrder(models.Model):
    """An order of work that the shop adds for one vehicle: this package before that one, and why."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="own_orders")
    first_stage = models.CharField(max_length=10)
    first_section = models.CharField(max_length=500)
    then_stage = models.CharField(max_length=10)
    then_section = models.CharField(max_length=500)
    why = models.CharField(max_length=200)
    at = models.DateTimeField()
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.first_stage}: {self.first_section} before {self.then_stage}: {self.then_section}"
