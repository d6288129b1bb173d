"""Names the app to Django."""

from __future__ import annotations

from django.apps import AppConfig


class FloorConfig(AppConfig):
    """Work packages and hours."""

    name = "shop.floor"
    label = "floor"

    def ready(self) -> None:
        """Listen to what quotes do."""
        from shop.floor import receivers  # noqa: F401
