"""The site's settings for a worker under test: the real ones, and the tasks of tests."""

from shop.settings import *  # noqa: F403
from shop.settings import INSTALLED_APPS

INSTALLED_APPS = [*INSTALLED_APPS, "tests.servers.work"]
