"""Staff and the shop itself."""

from __future__ import annotations

from django.contrib.auth.models import AbstractUser
from django.db import models


class Role(models.TextChoices):
    """What a member of staff may do; ``shop.people.roles`` says what that is."""

    OWNER = "owner", "Owner"
    OFFICE = "office", "Office"
    TECHNICIAN = "technician", "Technician"


class User(AbstractUser):
    """A member of staff."""

    role = models.CharField(max_length=12, choices=Role.choices, default=Role.TECHNICIAN)

    def __str__(self) -> str:
        return self.get_full_name() or self.username


class ShopRow(models.Model):
    """The shop as its papers name it. There is one row; ``shop.people.letterhead`` reads it."""

    name = models.CharField(max_length=120)
    address = models.TextField(blank=True, max_length=500)
    phone = models.CharField(max_length=60, blank=True)
    email = models.EmailField(blank=True)
    web = models.CharField(max_length=120, blank=True)
    tax_number = models.CharField(max_length=60, blank=True)
    logo_png = models.BinaryField(null=True, blank=True, editable=False)

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="people_one_shop")]

    def __str__(self) -> str:
        return self.name
