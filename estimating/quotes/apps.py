"""Names the app to Django."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class QuotesConfig(AppConfig):
    """The quotes app."""

    name = "estimating.quotes"
    label = "quotes"

    def ready(self) -> None:
        """Has the database guard put in place after each migration, and pages of the plan told prices."""
        from circuits.planning import added_prices
        from circuits.planning.wire_prices import answer_by
        from estimating.quotes.added_cost import added_at_shop_prices
        from estimating.quotes.guards import install_after_migrate
        from estimating.quotes.wire_saving import at_shop_prices

        answer_by(at_shop_prices)
        added_prices.answer_by(added_at_shop_prices)
        post_migrate.connect(install_after_migrate, sender=self)
