"""Names the app to Django."""

from django.apps import AppConfig


class MaterialsConfig(AppConfig):
    """The materials app. It has no rows of its own."""

    name = "shop.materials"
    label = "materials"

    def ready(self) -> None:
        """Answers what customers have agreed to."""
        from estimating.purchasing import agreed
        from shop.materials.agreed import works_agreed

        agreed.answer_by(works_agreed)
