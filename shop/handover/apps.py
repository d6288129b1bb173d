"""Names the app to Django."""

from __future__ import annotations

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class HandoverConfig(AppConfig):
    """The handover app."""

    name = "shop.handover"
    label = "handover"

    def ready(self) -> None:
        """Has the database guards put in place after each migration."""
        from shop.handover.guards import install_after_migrate

        post_migrate.connect(install_after_migrate, sender=self)
