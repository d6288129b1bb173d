"""Names the app to Django."""

from __future__ import annotations

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class ProofConfig(AppConfig):
    """Checks and readings."""

    name = "shop.proof"
    label = "proof"

    def ready(self) -> None:
        """Has the guards of kept rows put in place after each migration."""
        from shop.faults.guards import install_after_migrate

        post_migrate.connect(install_after_migrate, sender=self)
