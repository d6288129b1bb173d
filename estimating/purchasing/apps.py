"""Names the app to Django."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class PurchasingConfig(AppConfig):
    """The purchasing app."""

    name = "estimating.purchasing"
    label = "purchasing"

    def ready(self) -> None:
        """Has the database guards put in place after each migration."""
        from estimating.purchasing.guards import install_after_migrate

        post_migrate.connect(install_after_migrate, sender=self)
