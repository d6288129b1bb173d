"""Names the app to Django."""

from django.apps import AppConfig


class MaterialsConfig(AppConfig):
    """The materials app. It has no rows of its own."""

    name = "shop.materials"
    label = "materials"
