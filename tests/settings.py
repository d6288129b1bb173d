"""The site's settings for tests: a throwaway data folder, quick log-ins, tasks in the process."""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

_var = Path(tempfile.mkdtemp(prefix="loomwright-test-"))
atexit.register(shutil.rmtree, _var, ignore_errors=True)
(_var / "static").mkdir()

for _name in ("DATABASE_URL", "REDIS_URL", "LOOMWRIGHT_HTTPS", "LOOMWRIGHT_DEBUG", "LOOMWRIGHT_HOSTS"):
    os.environ.pop(_name, None)
os.environ["LOOMWRIGHT_VAR"] = str(_var)
if _url := os.environ.get("LOOMWRIGHT_TEST_DATABASE_URL"):
    os.environ["DATABASE_URL"] = _url
# The browser's driver runs an event loop in the test's own thread.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

from shop.settings import *  # noqa: E402, F403
from shop.settings import DATABASES, INSTALLED_APPS, STORAGES  # noqa: E402

INSTALLED_APPS.append("tests.emptying")

# A file, not memory: the live server's threads each have a connection of their own, as in a shop.
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    DATABASES["default"]["TEST"] = {"NAME": str(_var / "test.sqlite3")}

LONG_WORK_APART = False
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES["staticfiles"] = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
