"""Names the app to Django."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class BillingConfig(AppConfig):
    """The billing app."""

    name = "shop.billing"
    label = "billing"

    def ready(self) -> None:
        """Has the database guards put in place after each migration."""
        from shop.billing.guards import install_after_migrate

        post_migrate.connect(install_after_migrate, sender=self)
