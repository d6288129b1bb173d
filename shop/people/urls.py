"""Addresses of log-in, staff and letterhead."""

from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.urls import path

from shop.people import views

app_name = "people"
urlpatterns = [
    path("log-in/", login_not_required(views.LogIn.as_view()), name="log_in"),
    path("log-out/", views.LogOut.as_view(), name="log_out"),
    path("password/", views.ChangePassword.as_view(), name="password"),
    path("settings/shop/", views.shop, name="shop"),
    path("settings/shop/logo.png", views.logo, name="logo"),
    path("settings/staff/", views.staff, name="staff"),
    path("settings/staff/new/", views.member, name="new_member"),
    path("settings/staff/<int:user_id>/", views.member, name="member"),
]
