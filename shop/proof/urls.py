"""Addresses of proof."""

from __future__ import annotations

from django.urls import path

from shop.proof import views

app_name = "proof"
urlpatterns = [
    path("jobs/<int:job_id>/proof/", views.proof, name="proof"),
    path("jobs/<int:job_id>/proof/make/", views.make, name="make"),
    path("jobs/<int:job_id>/proof/battery/", views.battery, name="battery"),
    path("jobs/<int:job_id>/proof/<int:check_id>/", views.check, name="check"),
    path("jobs/<int:job_id>/proof/<int:check_id>/read/", views.read, name="read"),
    path("settings/limits/", views.limits, name="limits"),
]
