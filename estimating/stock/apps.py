"""Names the app to Django."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class StockConfig(AppConfig):
    """The stock app."""

    name = "estimating.stock"
    label = "stock"

    def ready(self) -> None:
        """Has the database guards put in place after each migration."""
        from estimating.stock.guards import install_after_migrate

        post_migrate.connect(install_after_migrate, sender=self)
