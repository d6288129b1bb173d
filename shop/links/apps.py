"""Names the app to Django."""

from __future__ import annotations

from django.apps import AppConfig


class LinksConfig(AppConfig):
    """The links app."""

    name = "shop.links"
    label = "links"
