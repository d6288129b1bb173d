"""Names the app to Django."""

from django.apps import AppConfig


class JobsConfig(AppConfig):
    """The jobs app."""

    name = "shop.jobs"
    label = "jobs"

    def ready(self) -> None:
        """Listen to what quotes do."""
        from shop.jobs import receivers  # noqa: F401
