"""``manage.py add_owner NAME``: the first person who can log in, and add the others."""

from __future__ import annotations

import sys
from argparse import ArgumentParser
from getpass import getpass
from typing import Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError

from shop.people.models import Role, User


class Command(BaseCommand):
    """Add an owner, or give a member of staff the role and a new password."""

    help = "Add an owner who can log in, or make one of a member of staff; asks for the password."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("username", metavar="NAME", help="what they log in with")
        parser.add_argument("--password-stdin", action="store_true", help="read the password from standard input")

    def handle(self, *args: Any, username: str, password_stdin: bool, **options: Any) -> None:
        user = User.objects.filter(username=username).first() or User(username=username)
        user.role, user.is_active = Role.OWNER, True
        password = sys.stdin.readline().rstrip("\n") if password_stdin else _ask()
        try:
            user.full_clean(exclude=["password"])
            validate_password(password, user)
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from None
        user.set_password(password)
        user.save()
        self.stdout.write(f"{username} can log in as owner.")


def _ask() -> str:
    password = getpass("Password: ")
    if getpass("Again: ") != password:
        raise CommandError("The two passwords differ; nothing was stored.")
    return password
