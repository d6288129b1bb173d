"""Names the app to Django."""

from django.apps import AppConfig


class OutboxConfig(AppConfig):
    """The outbox app."""

    name = "circuits.outbox"
    label = "outbox"
