"""Names the site itself to Django."""

from django.apps import AppConfig


class SiteConfig(AppConfig):
    """The site: whatever process sets Django up sends its work through the site's broker."""

    name = "shop"
    label = "site"

    def ready(self) -> None:
        """Make the site's Celery app the current one; keep customers' addresses out of the logs of web servers."""
        import shop.celery  # noqa: F401
        from shop.log_secrets import hide_in_web_servers

        hide_in_web_servers()
