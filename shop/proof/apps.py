"""Names the app to Django."""

from __future__ import annotations

from django.apps import AppConfig


class ProofConfig(AppConfig):
    """Checks and readings."""

    name = "shop.proof"
    label = "proof"
