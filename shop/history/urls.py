"""Addresses of the history."""

from __future__ import annotations

from django.urls import path

from shop.history import views

app_name = "history"
urlpatterns = [path("jobs/<int:job_id>/history/", views.job, name="job")]
