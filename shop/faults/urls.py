"""Addresses of the punch list."""

from __future__ import annotations

from django.urls import path

from shop.faults import find_views, views

app_name = "faults"
urlpatterns = [
    path("faults/", views.faults, name="faults"),
    path("jobs/<int:job_id>/faults/", views.job_faults, name="job_faults"),
    path("jobs/<int:job_id>/faults/new/", views.new, name="new"),
    path("jobs/<int:job_id>/faults/<int:fault_id>/", views.fault, name="fault"),
    path("jobs/<int:job_id>/faults/<int:fault_id>/test/", views.test, name="test"),
    path("jobs/<int:job_id>/faults/<int:fault_id>/find/", find_views.find, name="find"),
    path("jobs/<int:job_id>/faults/<int:fault_id>/find/answer/", find_views.answer, name="answer"),
    path(
        "jobs/<int:job_id>/faults/<int:fault_id>/find/<int:step_id>/back/", find_views.take_step_back, name="take_back"
    ),
    path("jobs/<int:job_id>/faults/<int:fault_id>/close/", views.close, name="close"),
    path("jobs/<int:job_id>/faults/<int:fault_id>/reopen/", views.reopen, name="reopen"),
    path("jobs/<int:job_id>/faults/<int:fault_id>/photos/", views.add_photo, name="add_photo"),
    path("jobs/<int:job_id>/faults/<int:fault_id>/photos/<int:photo_id>.jpg", views.photo, name="photo"),
]
