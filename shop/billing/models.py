"""Rows of money: changes, invoices and credit notes, payments and refunds; what of each invoice is open.

Documents, payments and papers are written once and never again: the querysets and ``save`` refuse, and so does the
database itself (``guards.py``). ``Account`` and ``Balance`` follow from them (``replay`` gives the same figures) and
are kept so that lists can be sorted and summed.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q

from shop.jobs.models import Job


def amount_field(**options: Any) -> models.DecimalField[Any, Any]:
    """Money in the currency's decimals; 4 places hold every currency there is."""
    return models.DecimalField(max_digits=16, decimal_places=4, **options)


class FrozenError(ValidationError):
    """A write to something that has been issued."""


class FrozenQuerySet(models.QuerySet[Any]):
    """Rows that are written once."""

    def update(self, **values: Any) -> int:
        """Refuses to change what the model freezes."""
        if not self.model.may_change(values):
            raise FrozenError(self.model.NO_CHANGE)
        return super().update(**values)

    def delete(self) -> tuple[int, dict[str, int]]:
        """Refuses."""
        raise FrozenError(self.model.NO_DELETE)


class Frozen(models.Model):
    """A row that is written once."""

    NO_CHANGE = "What has been issued or booked cannot be changed."
    NO_DELETE = "What has been issued or booked cannot be deleted."

    objects = FrozenQuerySet.as_manager()

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Stores a new row; refuses to write over one."""
        if not self._state.adding or type(self).objects.filter(pk=self.pk).exists():
            raise FrozenError(self.NO_CHANGE)
        kwargs["force_insert"] = True
        super().save(*args, **kwargs)

    def delete(self, *_: Any, **__: Any) -> tuple[int, dict[str, int]]:
        """Refuses."""
        raise FrozenError(self.NO_DELETE)

    @classmethod
    def may_change(cls, values: Collection[str]) -> bool:
        """True where a bulk write to these fields touches nothing that is frozen."""
        return False


class ChangeState(models.TextChoices):
    """Where a change stands."""

    SENT = "sent", "with the customer"
    ACCEPTED = "accepted", "accepted"
    DECLINED = "declined", "declined"
    SUPERSEDED = "superseded", "replaced by a later change"


CHANGE_FROZEN = ("id", "job_id", "number", "content", "note", "net", "total", "sent_at", "sent_by")
"""Columns that never change; those of the answer are written once, with it."""


class ChangeQuerySet(FrozenQuerySet):
    """Reads of changes."""

    def without_content(self) -> ChangeQuerySet:
        """Leaves the heavy column behind, for lists."""
        return self.defer("content")


class Change(Frozen):
    """A numbered change to what the customer accepted, as it was sent to them; the answer is written once, with it."""

    NO_CHANGE = "A change that has been sent cannot be altered: send a new one."
    NO_DELETE = "A change that has been sent cannot be deleted."

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="changes")
    number = models.PositiveSmallIntegerField()
    state = models.CharField(max_length=10, choices=ChangeState.choices, default=ChangeState.SENT)
    content = models.TextField(help_text="JSON as ``change_record.py`` writes it, to the letter")
    note = models.TextField(max_length=2000, blank=True)
    net = amount_field()
    total = amount_field()
    sent_at = models.DateTimeField()
    sent_by = models.CharField(max_length=160)
    answered_name = models.CharField(max_length=160, blank=True, help_text="Customer who accepted or declined")
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_by = models.CharField(max_length=160, blank=True, help_text="Member of staff who took it down")
    answer_note = models.CharField(max_length=300, blank=True)

    objects = ChangeQuerySet.as_manager()  # type: ignore[misc]

    class Meta:
        ordering = ["job", "number"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="billing_change_number"),
            models.UniqueConstraint(fields=["job"], condition=Q(state="sent"), name="billing_one_change_sent"),
            models.CheckConstraint(
                condition=Q(state__in=["accepted", "declined"], answered_at__isnull=False, answered_name__gt="")
                | Q(state__in=["sent", "superseded"], answered_at__isnull=True, answered_name=""),
                name="billing_change_answered",
            ),
            models.CheckConstraint(condition=Q(content__gt="", sent_by__gt=""), name="billing_change_whole"),
        ]

    def __str__(self) -> str:
        return f"Change {self.number}"

    @classmethod
    def may_change(cls, values: Collection[str]) -> bool:
        """An answer touches nothing that was sent."""
        return not set(values) & {*CHANGE_FROZEN, "job"}


class ChangePaper(Frozen):
    """The PDF of a change, made once."""

    change = models.OneToOneField(Change, on_delete=models.PROTECT, related_name="paper")
    pdf = models.BinaryField()
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"Paper of change {self.change_id}"


class Kind(models.TextChoices):
    """Kinds of document."""

    DEPOSIT = "deposit", "Deposit invoice"
    PROGRESS = "progress", "Progress invoice"
    FINAL = "final", "Final invoice"
    CREDIT = "credit", "Credit note"


class Basis(models.TextChoices):
    """What a document charges by."""

    AGREED = "agreed", "agreed price"
    WORKED = "worked", "hours and parts"


class Document(Frozen):
    """An invoice or credit note as issued. Written once, with its number, in one transaction."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="documents")
    kind = models.CharField(max_length=10, choices=Kind.choices, db_index=True)
    basis = models.CharField(max_length=10, choices=Basis.choices)
    series = models.CharField(max_length=12, help_text="Letter and year, e.g. I-2031")
    sequence = models.PositiveIntegerField()
    number = models.CharField(max_length=24, unique=True)
    credits = models.ForeignKey("self", null=True, blank=True, on_delete=models.PROTECT, related_name="credit_notes")
    step = models.PositiveIntegerField(help_text="Place in the job's account")
    customer_name = models.CharField(max_length=120, db_index=True)
    currency = models.CharField(max_length=3)
    net = amount_field()
    tax = amount_field()
    total = amount_field()
    payable = amount_field(
        db_index=True, help_text="Total and rounding: what is claimed, or given back by a credit note"
    )
    issued_on = models.DateField(db_index=True)
    due_on = models.DateField(db_index=True)
    issued_at = models.DateTimeField()
    issued_by = models.CharField(max_length=160)
    key = models.UUIDField(unique=True, help_text="Of the form that was sent in: sent twice, issued once")
    content = models.TextField(help_text="JSON as ``document_record.py`` writes it, to the letter")

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(fields=["series", "sequence"], name="billing_document_number"),
            models.UniqueConstraint(fields=["job", "step"], name="billing_document_step"),
            models.CheckConstraint(condition=Q(sequence__gte=1, content__gt=""), name="billing_document_whole"),
            models.CheckConstraint(condition=Q(due_on__gte=F("issued_on")), name="billing_due_after_issue"),
            models.CheckConstraint(
                condition=Q(kind="credit", credits__isnull=False) | (~Q(kind="credit") & Q(credits__isnull=True)),
                name="billing_credit_names_invoice",
            ),
        ]

    def __str__(self) -> str:
        return self.number


class DocumentPaper(Frozen):
    """The PDF of a document, made once."""

    document = models.OneToOneField(Document, on_delete=models.PROTECT, related_name="paper")
    pdf = models.BinaryField()
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"Paper of {self.document_id}"


class Means(models.TextChoices):
    """How money moved."""

    BANK = "bank", "bank transfer"
    CARD = "card", "card"
    CASH = "cash", "cash"
    CHEQUE = "cheque", "cheque"


class Direction(models.TextChoices):
    """Which way money moved."""

    RECEIVED = "received", "received"
    PAID_BACK = "paid_back", "paid back"


class Payment(Frozen):
    """Money received from the customer, or paid back. Written once; a slip is put right by its opposite."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="payments")
    direction = models.CharField(max_length=10, choices=Direction.choices)
    invoice = models.ForeignKey(Document, null=True, blank=True, on_delete=models.PROTECT, related_name="payments")
    step = models.PositiveIntegerField(help_text="Place in the job's account")
    currency = models.CharField(max_length=3)
    amount = amount_field()
    means = models.CharField(max_length=10, choices=Means.choices)
    moved_on = models.DateField(db_index=True)
    reference = models.CharField(max_length=120, blank=True)
    booked_at = models.DateTimeField()
    booked_by = models.CharField(max_length=160)
    key = models.UUIDField(unique=True, help_text="Of the form that was sent in: sent twice, booked once")

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(fields=["job", "step"], name="billing_payment_step"),
            models.CheckConstraint(condition=Q(amount__gt=0), name="billing_payment_above_0"),
        ]

    def __str__(self) -> str:
        return f"{self.amount} {self.currency} {self.direction}"


class Account(models.Model):
    """The job's account, held by whoever writes to it. ``held`` is the customer's money that no invoice asks for."""

    job = models.OneToOneField(Job, on_delete=models.PROTECT, related_name="account")
    steps = models.PositiveIntegerField(default=0)
    held = amount_field(default=0)
    currency = models.CharField(max_length=3, blank=True)

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(held__gte=0), name="billing_held_not_negative")]

    def __str__(self) -> str:
        return f"Account of job {self.job_id}"


class Balance(models.Model):
    """What of an invoice is still to be paid."""

    document = models.OneToOneField(Document, on_delete=models.PROTECT, related_name="balance")
    open = amount_field(db_index=True)

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(open__gte=0), name="billing_open_not_negative")]

    def __str__(self) -> str:
        return f"{self.open} open of {self.document_id}"
