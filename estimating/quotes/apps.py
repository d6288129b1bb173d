"""Names the app to Django."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class QuotesConfig(AppConfig):
    """The quotes app."""

    name = "estimating.quotes"
    label = "quotes"

    def ready(self) -> None:
        """Has the database guard put in place after each migration."""
        from estimating.quotes.guards import install_after_migrate

        post_migrate.connect(install_after_migrate, sender=self)
