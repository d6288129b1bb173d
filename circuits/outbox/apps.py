"""Names the app to Django."""

from django.apps import AppConfig
from django.utils.module_loading import autodiscover_modules


class OutboxConfig(AppConfig):
    """The outbox app."""

    name = "circuits.outbox"
    label = "outbox"

    def ready(self) -> None:
        """Import every app's ``tasks`` module, so that each registers its functions."""
        autodiscover_modules("tasks")
