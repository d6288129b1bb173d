"""Addresses of the work."""

from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.urls import path

from shop.floor import views
from shop.floor.offline import worker

app_name = "floor"
urlpatterns = [
    path("jobs/floor-worker.js", login_not_required(worker), name="worker"),
    path("week/", views.the_week, name="week"),
    path("jobs/<int:job_id>/work/", views.work, name="work"),
    path("jobs/<int:job_id>/work/lay-out/", views.lay_out_again, name="lay_out"),
    path("jobs/<int:job_id>/work/order/", views.order, name="order"),
    path("jobs/<int:job_id>/work/hours/", views.hours, name="add_hours"),
    path("jobs/<int:job_id>/work/hours/<int:entry_id>/", views.hours, name="hours"),
    path("jobs/<int:job_id>/work/faults/<int:fault_id>/tap/", views.fault_tap, name="fault_tap"),
    path("jobs/<int:job_id>/work/<int:package_id>/", views.package, name="package"),
    path("jobs/<int:job_id>/work/<int:package_id>/tap/", views.tap, name="tap"),
    path("jobs/<int:job_id>/work/<int:package_id>/hold/", views.holds, name="hold"),
    path("jobs/<int:job_id>/work/<int:package_id>/person/", views.person, name="person"),
]
