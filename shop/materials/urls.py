"""Addresses of the materials section that know jobs."""

from __future__ import annotations

from django.urls import path

from shop.materials import views

app_name = "materials"
urlpatterns = [
    path("materials/", views.materials, name="materials"),
    path("materials/plan/", views.start, name="start"),
    path("jobs/<int:job_id>/kit/", views.kit, name="kit"),
    path("jobs/<int:job_id>/kit/give-out/", views.give, name="give_out"),
    path("jobs/<int:job_id>/kit/let-go/", views.let_go, name="let_go"),
    path("jobs/<int:job_id>/kit/settle/", views.settle_job, name="settle"),
    path("jobs/<int:job_id>/kit/cut-list.pdf", views.cut_list, {"file_format": "pdf"}, name="cut_list"),
    path("jobs/<int:job_id>/kit/cut-list.csv", views.cut_list, {"file_format": "csv"}, name="cut_list_csv"),
    path("jobs/<int:job_id>/kit/labels.pdf", views.labels, {"file_format": "pdf"}, name="labels"),
    path("jobs/<int:job_id>/kit/labels.csv", views.labels, {"file_format": "csv"}, name="labels_csv"),
]
