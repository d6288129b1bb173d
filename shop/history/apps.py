"""Names the app to Django."""

from __future__ import annotations

from django.apps import AppConfig


class HistoryConfig(AppConfig):
    """The history app: it has no rows of its own."""

    name = "shop.history"
    label = "history"
