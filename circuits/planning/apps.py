"""Names the app to Django."""

from django.apps import AppConfig


class PlanningConfig(AppConfig):
    """The planning app."""

    name = "circuits.planning"
    label = "planning"
