"""``manage.py sweep_outbox``: deliver queued work that is due, once or for ever."""

from __future__ import annotations

from argparse import ArgumentParser
from threading import Event
from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from circuits.outbox.beside import wait_for_all
from circuits.outbox.models import OutboxRow
from circuits.outbox.sweeping import keep_sweeping, sweep


class Command(BaseCommand):
    """Deliver queued work that is due."""

    help = "Deliver queued work that is due: to the broker, or run here where none is configured."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--every", type=float, metavar="SECONDS", help="sweep again and again, until stopped")
        parser.add_argument("--again", action="store_true", help="first give another try to work that was given up")

    def handle(self, *args: Any, every: float | None, again: bool, **options: Any) -> None:
        if again:
            given_up = OutboxRow.objects.exclude(failed_at=None)
            count = given_up.update(failed_at=None, attempts=0, due_at=timezone.now())
            self.stdout.write(f"Given another try: {count}")
        if every:
            keep_sweeping(every, Event())
        else:
            self.stdout.write(f"Delivered: {sweep()}")
            wait_for_all()
