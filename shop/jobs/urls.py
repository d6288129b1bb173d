"""Addresses of jobs, customers and vehicles."""

from __future__ import annotations

from django.urls import path

from shop.jobs import views

app_name = "jobs"
urlpatterns = [
    path("", views.jobs, name="jobs"),
    path("jobs/find/", views.find, name="find"),
    path("jobs/new/", views.new, name="new"),
    path("jobs/<int:job_id>/", views.job, name="job"),
    path("jobs/<int:job_id>/edit/", views.edit, name="edit"),
    path("customers/", views.customers, name="customers"),
    path("customers/<int:customer_id>/", views.customer, name="customer"),
    path("vehicles/", views.vehicles, name="vehicles"),
    path("vehicles/<int:vehicle_id>/", views.vehicle, name="vehicle"),
]
