"""Rows of the costing floor: price book, minutes, terms; quotes, their numbered revisions, the papers of those."""

from __future__ import annotations

from enum import StrEnum
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import MaxLengthValidator, MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

from circuits.planning.models import PlanRow, new_stamp
from estimating.pricing.quote import LabourBasis
from estimating.quotes.states import State as State
from estimating.takeoff.parts import PartKind, Unit

NOT_NEGATIVE = MinValueValidator(0)
PERCENT = [NOT_NEGATIVE, MaxValueValidator(100)]


def text_of(most: int, help_text: str = "", *, blank: bool = True) -> models.TextField[str, str]:
    """A text of several lines that ``full_clean`` holds to its length (a plain ``TextField`` does not)."""
    return models.TextField(blank=blank, max_length=most, help_text=help_text, validators=[MaxLengthValidator(most)])


def choices_of(words: type[StrEnum]) -> list[tuple[str, str]]:
    """Choices of a field from the members of a ``StrEnum``."""
    return [(word.value, word.value) for word in words]


class PriceQuerySet(models.QuerySet["PriceRow"]):
    """Reads of the price book."""

    def matching(self, words: str) -> PriceQuerySet:
        """Rows in which every word occurs, in kind, spec or supplier."""
        found = self
        for word in words.split():
            found = found.filter(Q(kind__icontains=word) | Q(spec__icontains=word) | Q(supplier__icontains=word))
        return found


class PriceRow(models.Model):
    """One row of the price book. ``spec`` may end in ``*`` for "anything that begins so"."""

    kind = models.CharField(max_length=40, choices=choices_of(PartKind))
    spec = models.CharField(max_length=120)
    unit = models.CharField(max_length=10, choices=choices_of(Unit))
    cost = models.DecimalField(max_digits=12, decimal_places=4, validators=[NOT_NEGATIVE])
    markup_percent = models.DecimalField(
        max_digits=7, decimal_places=2, null=True, blank=True, validators=[NOT_NEGATIVE], help_text="Blank: the shop's"
    )
    price = models.DecimalField(
        max_digits=12, decimal_places=4, null=True, blank=True, validators=[NOT_NEGATIVE], help_text="Blank: none"
    )
    pack = models.DecimalField(max_digits=10, decimal_places=3, default=1)
    supplier = models.CharField(max_length=80, blank=True)

    objects = PriceQuerySet.as_manager()

    class Meta:
        ordering = ["kind", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["kind", "spec"], name="quotes_one_price_per_part"),
            models.CheckConstraint(
                condition=Q(cost__gte=0)
                & (Q(price__isnull=True) | Q(price__gte=0))
                & (Q(markup_percent__isnull=True) | Q(markup_percent__gte=0)),
                name="quotes_price_not_negative",
            ),
            models.CheckConstraint(condition=Q(pack__gt=0), name="quotes_pack_above_0"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.spec}"


class MinutesRow(models.Model):
    """Three-point minutes of one work element."""

    element = models.CharField(max_length=60, unique=True)
    optimistic_min = models.FloatField(validators=[NOT_NEGATIVE])
    likely_min = models.FloatField(validators=[NOT_NEGATIVE])
    pessimistic_min = models.FloatField(validators=[NOT_NEGATIVE])

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(optimistic_min__gte=0)
                & Q(likely_min__gte=F("optimistic_min"))
                & Q(pessimistic_min__gte=F("likely_min")),
                name="quotes_minutes_rise",
            )
        ]

    def __str__(self) -> str:
        return self.element


class TermsRow(models.Model):
    """What the shop charges, allows and promises. There is one row."""

    currency = models.CharField(max_length=3, default="EUR")
    locale = models.CharField(max_length=20, default="en")
    rate_per_h = models.DecimalField(max_digits=10, decimal_places=2, validators=[NOT_NEGATIVE])
    labour_basis = models.CharField(max_length=3, choices=choices_of(LabourBasis), default=LabourBasis.P80)
    condition_cv = models.FloatField(validators=[NOT_NEGATIVE, MaxValueValidator(1)])
    markup_percent = models.DecimalField(max_digits=7, decimal_places=2, validators=[NOT_NEGATIVE])
    sundries_percent = models.DecimalField(max_digits=5, decimal_places=2, validators=PERCENT)
    carriage = models.DecimalField(max_digits=10, decimal_places=2, validators=[NOT_NEGATIVE])
    tax_parts_percent = models.DecimalField(max_digits=5, decimal_places=2, null=True, blank=True, validators=PERCENT)
    tax_labour_percent = models.DecimalField(max_digits=5, decimal_places=2, null=True, blank=True, validators=PERCENT)
    tax_sundries_percent = models.DecimalField(
        max_digits=5, decimal_places=2, null=True, blank=True, validators=PERCENT
    )
    tax_carriage_percent = models.DecimalField(
        max_digits=5, decimal_places=2, null=True, blank=True, validators=PERCENT
    )
    deposit_percent = models.DecimalField(max_digits=5, decimal_places=2, validators=PERCENT)
    validity_days = models.PositiveSmallIntegerField(validators=[MinValueValidator(1), MaxValueValidator(365)])
    exclusions = text_of(4000, "One a line")
    cautions = text_of(4000, "One a line")
    takeoff = models.JSONField(default=dict, blank=True, help_text="Take-off allowances, by name")

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(pk=1), name="quotes_one_terms")]

    def __str__(self) -> str:
        return f"Terms in {self.currency}"


class CostingStamp(models.Model):
    """Names the present state of prices, minutes and terms; renewed with each change. There is one row."""

    stamp = models.CharField(max_length=16, default=new_stamp)

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(pk=1), name="quotes_one_stamp")]

    def __str__(self) -> str:
        return self.stamp


class NumberSeries(models.Model):
    """Last number given out in a series. Locked while a number is taken, so that none is skipped or doubled."""

    name = models.CharField(max_length=20, unique=True)
    last = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.name}-{self.last:03d}"


class QuoteRow(models.Model):
    """A quote for one plan. What is sent to the customer are its revisions."""

    plan = models.ForeignKey(PlanRow, on_delete=models.PROTECT, related_name="quotes")
    number = models.CharField(max_length=20, unique=True)
    addressee = text_of(600, "Name and address as the paper prints them", blank=False)
    vehicle = text_of(400, "Vehicle as the paper names it")
    created_at = models.DateTimeField()
    created_by = models.CharField(max_length=160)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return self.number


FROZEN = ("quote_id", "number", "content", "note", "labour_basis", "valid_until", "sent_at", "sent_by")
"""Columns that never change once a revision has left draft (held in the database as well: ``guards.py``)."""

SIGNED = ("accepted_name", "accepted_at", "accepted_by")
"""Columns that never change once a revision has been accepted."""


class FrozenError(ValidationError):
    """A write to a revision that has been sent."""


class RevisionQuerySet(models.QuerySet["QuoteRevision"]):
    """Reads of revisions; refuses the bulk writes that would go round ``QuoteRevision.save``."""

    def without_content(self) -> RevisionQuerySet:
        """Leaves the heavy column behind, for lists."""
        return self.defer("content")

    def update(self, **values: Any) -> int:
        """Refuses to touch frozen columns of sent revisions."""
        if set(values) & {*FROZEN, "quote"} and self.exclude(state=State.DRAFT).exists():
            raise FrozenError("A revision that has been sent cannot be changed: send a new one.")
        return super().update(**values)

    def delete(self) -> tuple[int, dict[str, int]]:
        """Refuses where any revision has been sent."""
        if self.exclude(state=State.DRAFT).exists():
            raise FrozenError("A revision that has been sent cannot be deleted.")
        return super().delete()


class QuoteRevision(models.Model):
    """One numbered revision. Once it is sent, ``content`` holds all that was promised and on what basis."""

    quote = models.ForeignKey(QuoteRow, on_delete=models.PROTECT, related_name="revisions")
    number = models.PositiveSmallIntegerField()
    state = models.CharField(
        max_length=10, choices=[(state.value, state.words) for state in State], default=State.DRAFT
    )
    note = text_of(2000, "A few words to the customer, printed on the quote")
    labour_basis = models.CharField(
        max_length=3, blank=True, choices=choices_of(LabourBasis), help_text="Blank: as the shop's terms say"
    )
    content = models.TextField(blank=True, help_text="JSON as ``record.py`` writes it, to the letter")
    valid_until = models.DateField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    sent_by = models.CharField(max_length=160, blank=True)
    accepted_name = models.CharField(max_length=160, blank=True)
    accepted_at = models.DateTimeField(null=True, blank=True)
    accepted_by = models.CharField(max_length=160, blank=True, help_text="Member of staff who took it down")
    declined_at = models.DateTimeField(null=True, blank=True)
    declined_reason = models.CharField(max_length=300, blank=True)

    objects = RevisionQuerySet.as_manager()

    class Meta:
        ordering = ["quote", "number"]
        constraints = [
            models.UniqueConstraint(fields=["quote", "number"], name="quotes_revision_number"),
            models.UniqueConstraint(fields=["quote"], condition=Q(state="draft"), name="quotes_one_draft"),
            models.UniqueConstraint(fields=["quote"], condition=Q(state="sent"), name="quotes_one_sent"),
            models.UniqueConstraint(fields=["quote"], condition=Q(state="accepted"), name="quotes_one_accepted"),
            models.CheckConstraint(condition=Q(number__gte=1), name="quotes_revision_from_1"),
            models.CheckConstraint(
                condition=Q(state__in=[state.value for state in State]), name="quotes_revision_state"
            ),
            models.CheckConstraint(
                condition=Q(state="draft")
                | Q(content__gt="", valid_until__isnull=False, sent_at__isnull=False, sent_by__gt=""),
                name="quotes_sent_is_whole",
            ),
            models.CheckConstraint(
                condition=Q(state="accepted", accepted_at__isnull=False, accepted_name__gt="")
                | (~Q(state="accepted") & Q(accepted_at__isnull=True, accepted_name="")),
                name="quotes_accepted_is_signed",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quote_id} revision {self.number}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Stores a draft; refuses a revision that has been sent (services move it on by ``moves.py``)."""
        if type(self).objects.filter(pk=self.pk).exclude(state=State.DRAFT).exists():
            raise FrozenError(f"Revision {self.number} has been sent and cannot be changed: send a new one.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Deletes a draft; refuses a revision that has been sent."""
        if type(self).objects.filter(pk=self.pk).exclude(state=State.DRAFT).exists():
            raise FrozenError(f"Revision {self.number} has been sent and cannot be deleted.")
        return super().delete(*args, **kwargs)


class QuotePaper(models.Model):
    """The PDF of a sent revision, made once."""

    revision = models.OneToOneField(QuoteRevision, on_delete=models.PROTECT, related_name="paper")
    pdf = models.BinaryField()
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"Paper of {self.revision_id}"
