"""Addresses of release and handover."""

from __future__ import annotations

from django.urls import path, register_converter

from shop.handover import views
from shop.handover.models import PaperKind


class KindConverter:
    """A kind of paper in an address."""

    regex = "|".join(PaperKind.values)

    def to_python(self, value: str) -> str:
        """As it stands."""
        return value

    def to_url(self, value: str) -> str:
        """As it stands."""
        return value


register_converter(KindConverter, "handover_paper")

app_name = "handover"
urlpatterns = [
    path("jobs/<int:job_id>/handover/", views.handover, name="handover"),
    path("jobs/<int:job_id>/handover/release/", views.release, name="release"),
    path("jobs/<int:job_id>/handover/draft/<handover_paper:kind>.pdf", views.draft_paper, name="draft_paper"),
    path("jobs/<int:job_id>/handover/<int:number>/<handover_paper:kind>.pdf", views.paper, name="paper"),
]
