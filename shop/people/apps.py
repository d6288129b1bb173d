"""Names the app to Django."""

from django.apps import AppConfig


class PeopleConfig(AppConfig):
    """The people app."""

    name = "shop.people"
    label = "people"
