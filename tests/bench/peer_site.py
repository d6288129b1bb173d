"""The site with Django's own admin beside it, as the peer of the page bench. Used by no test and no shop."""

from __future__ import annotations

import os

from shop.settings import *  # noqa: F403
from shop.settings import INSTALLED_APPS

ROOT_URLCONF = "tests.bench.peer_urls"
INSTALLED_APPS = [*INSTALLED_APPS, "django.contrib.admin"]
SILENCED_SYSTEM_CHECKS = ["admin.E408", "admin.E409", "admin.E410"]
ALLOWED_HOSTS = ["127.0.0.1"]
assert os.environ["LOOMWRIGHT_VAR"], "the page bench names its own throwaway folder"
