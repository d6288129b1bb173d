"""Addresses of customer links."""

from __future__ import annotations

from django.urls import path

from shop.links import customer_views, views

app_name = "links"
urlpatterns = [
    path("jobs/<int:job_id>/links/", views.links, name="links"),
    path("jobs/<int:job_id>/links/<int:link_id>/revoke/", views.revoke, name="revoke"),
    path("for-you/<str:secret>/", customer_views.open_link, name="open"),
    path("for-you/<str:secret>/accept/<int:number>/", customer_views.accept, name="accept"),
    path("for-you/<str:secret>/accept-change/<int:number>/", customer_views.accept_change, name="accept_change"),
    path("for-you/<str:secret>/<slug:key>.pdf", customer_views.paper, name="paper"),
]
