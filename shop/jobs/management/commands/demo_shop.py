"""``manage.py demo_shop``: an invented shop to try things on. A second call changes nothing."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from shop.jobs.demo import LOG_INS, PASSWORD, open_demo_shop


class Command(BaseCommand):
    """Put the demo shop into an empty database."""

    help = "Put an invented shop with three jobs into the database, unless a shop is there already."

    def handle(self, *args: Any, **options: Any) -> None:
        made = open_demo_shop(at=timezone.now())
        if made is False:
            self.stdout.write("A shop is here already; nothing was changed.")
        self.stdout.write(f"Log in with the password {PASSWORD} as:")
        for log_in in LOG_INS:
            self.stdout.write(
                f"  {log_in.username:<8} {log_in.role.label.lower()}, {log_in.first_name} {log_in.last_name}"
            )
