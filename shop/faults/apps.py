"""Names the app to Django."""

from __future__ import annotations

from django.apps import AppConfig


class FaultsConfig(AppConfig):
    """The punch list."""

    name = "shop.faults"
    label = "faults"
