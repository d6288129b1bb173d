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
