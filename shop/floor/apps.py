"""Names the app to Django."""

from __future__ import annotations

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class FloorConfig(AppConfig):
    """Work packages and hours."""

    name = "shop.floor"
    label = "floor"

    def ready(self) -> None:
        """Listen to what quotes do; have the guards of kept rows put in place after each migration."""
        from shop.faults.guards import install_after_migrate
        from shop.floor import receivers  # noqa: F401

        post_migrate.connect(install_after_migrate, sender=self)
