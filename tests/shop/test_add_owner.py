"""The first owner of a shop is added on the command line."""

from __future__ import annotations

import io

import pytest
from django.core.management import CommandError, call_command

from shop.people.models import Role, User

pytestmark = pytest.mark.django_db


def add(monkeypatch, name: str, password: str) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(password + "\n"))
    call_command("add_owner", name, password_stdin=True)


def test_an_owner_is_added_and_may_add_staff(monkeypatch, client):
    add(monkeypatch, "ada", "Bulkhead-and-grommet")
    assert client.login(username="ada", password="Bulkhead-and-grommet")
    assert User.objects.get().has_perm("people.edit_staff")


def test_a_member_of_staff_becomes_owner_and_gets_a_new_password(monkeypatch, client):
    User.objects.create_user("ada", password="forgotten", role=Role.TECHNICIAN, is_active=False)
    add(monkeypatch, "ada", "Bulkhead-and-grommet")
    assert client.login(username="ada", password="Bulkhead-and-grommet")
    assert User.objects.get().role == Role.OWNER


@pytest.mark.parametrize("password", ["", "short", "password", "ada-lumen-12"])
def test_a_weak_password_is_refused_and_nothing_stored(monkeypatch, password):
    with pytest.raises(CommandError):
        add(monkeypatch, "ada-lumen-1", password)
    assert not User.objects.exists()


def test_differing_passwords_are_refused(monkeypatch):
    answers = iter(["Bulkhead-and-grommet", "Bulkhead-and-gromet"])
    monkeypatch.setattr("shop.management.commands.add_owner.getpass", lambda prompt: next(answers))
    with pytest.raises(CommandError, match="differ"):
        call_command("add_owner", "ada")
    assert not User.objects.exists()
