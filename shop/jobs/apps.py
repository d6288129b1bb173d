"""Names the app to Django."""

from django.apps import AppConfig


class JobsConfig(AppConfig):
    """The jobs app."""

    name = "shop.jobs"
    label = "jobs"
