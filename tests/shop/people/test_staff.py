"""Who may log in, and who may say so."""

from __future__ import annotations

import pytest
from django.urls import reverse

from shop.people.models import Role, User

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner():
    return User.objects.create_user(
        "ilse", password="Long-enough-7", role=Role.OWNER, first_name="Ilse", last_name="Ohm"
    )


def member(**changes):
    return {
        "username": "rudi",
        "first_name": "Rudi",
        "last_name": "Coil",
        "role": "technician",
        "is_active": "on",
    } | changes


def test_log_in_leads_to_the_jobs(client, owner):
    answer = client.post(reverse("people:log_in"), {"username": "ilse", "password": "Long-enough-7"})
    assert answer.status_code == 302
    assert answer.url == reverse("jobs:jobs")


def test_wrong_password_says_so_and_keeps_the_door_shut(client, owner):
    answer = client.post(reverse("people:log_in"), {"username": "ilse", "password": "wrong"})
    assert "No user has this name and password" in answer.content.decode()
    assert "_auth_user_id" not in client.session


@pytest.mark.parametrize("page", ["shop", "staff", "new_member", "logo"])
def test_technician_and_office_see_no_settings_of_the_shop(client, page):
    for role in (Role.TECHNICIAN, Role.OFFICE):
        client.force_login(User.objects.create_user(role, role=role))
        assert client.get(reverse(f"people:{page}")).status_code == 403


def test_owner_adds_a_member_who_can_log_in(client, owner):
    client.force_login(owner)
    answer = client.post(reverse("people:new_member"), member(password="Torque-wrench-9"))
    assert answer.status_code == 302
    assert client.login(username="rudi", password="Torque-wrench-9")


def test_new_member_without_password_is_refused(client, owner):
    client.force_login(owner)
    answer = client.post(reverse("people:new_member"), member())
    assert "needs a password" in answer.content.decode()
    assert not User.objects.filter(username="rudi").exists()


def test_empty_password_keeps_the_present_one(client, owner):
    client.force_login(owner)
    client.post(reverse("people:member", args=[owner.pk]), member(username="ilse", role="owner"))
    owner.refresh_from_db()
    assert owner.check_password("Long-enough-7")
    assert owner.first_name == "Rudi"


@pytest.mark.parametrize("change", [{"role": "office"}, {"is_active": ""}])
def test_last_owner_cannot_lose_the_key(client, owner, change):
    client.force_login(owner)
    form = member(username="ilse", role="owner") | change
    answer = client.post(reverse("people:member", args=[owner.pk]), {k: v for k, v in form.items() if v})
    assert "last owner" in answer.content.decode()
    owner.refresh_from_db()
    assert owner.role == Role.OWNER
    assert owner.is_active


def test_inactive_member_cannot_log_in(client):
    User.objects.create_user("gone", password="Torque-wrench-9", is_active=False)
    assert not client.login(username="gone", password="Torque-wrench-9")
