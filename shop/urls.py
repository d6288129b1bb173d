"""Every address of the site. The site alone knows all apps."""

from __future__ import annotations

from django.urls import include, path

urlpatterns = [
    path("", include("shop.jobs.urls")),
    path("", include("shop.people.urls")),
    path("", include("shop.billing.urls")),
    path("", include("shop.help.urls")),
    path("", include("shop.floor.urls")),
    path("", include("shop.proof.urls")),
    path("", include("shop.faults.urls")),
    path("", include("shop.handover.urls")),
    path("", include("shop.links.urls")),
    path("", include("shop.history.urls")),
    path("", include("shop.materials.urls")),
    path("", include("estimating.purchasing.urls")),
    path("", include("estimating.stock.urls")),
    path("", include("estimating.quotes.urls")),
    path("", include("circuits.planning.urls")),
]
