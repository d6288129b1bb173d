"""Names the app to Django."""

from django.apps import AppConfig


class QuotesConfig(AppConfig):
    """The quotes app."""

    name = "estimating.quotes"
    label = "quotes"
