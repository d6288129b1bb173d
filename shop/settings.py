"""Settings of the site. Everything a shop may change comes from the environment; README lists it."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from shop.environment import data_folder, database_from_url, flag, number, secret_key, sqlite_database, words

BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = data_folder()

DEBUG = flag("LOOMWRIGHT_DEBUG")
SECRET_KEY = secret_key(VAR_DIR)
ALLOWED_HOSTS = words("LOOMWRIGHT_HOSTS", "localhost,127.0.0.1,[::1]")
CSRF_TRUSTED_ORIGINS = words("LOOMWRIGHT_ORIGINS")

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django_htmx",
    "django_tables2",
    "shop.apps.SiteConfig",
    "circuits.outbox",
    "circuits.planning",
    "estimating.quotes",
    "estimating.stock",
    "estimating.purchasing",
    "shop.people",
    "shop.jobs",
    "shop.faults",
    "shop.floor",
    "shop.proof",
    "shop.billing",
    "shop.materials",
    "shop.handover",
    "shop.links",
    "shop.history",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]

ROOT_URLCONF = "shop.urls"
WSGI_APPLICATION = "shop.wsgi.application"

TEMPLATES: list[dict[str, Any]] = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "shop.navigation.frame",
                "shop.notices.notice",
            ],
        },
    },
]

DATABASE_URL = os.environ.get("DATABASE_URL", "")
"""Database; empty = an SQLite file beside the other data."""

DATABASES = {"default": database_from_url(DATABASE_URL) if DATABASE_URL else sqlite_database(VAR_DIR / "shop.sqlite3")}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "people.User"
AUTHENTICATION_BACKENDS = ["shop.people.roles.RoleBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "people:log_in"
LOGIN_REDIRECT_URL = "jobs:jobs"
LOGOUT_REDIRECT_URL = "people:log_in"

LANGUAGE_CODE = "en"
TIME_ZONE = os.environ.get("LOOMWRIGHT_TIME_ZONE", "UTC")
USE_I18N = True
USE_TZ = True

STATIC_URL = "static/"
STATIC_ROOT = VAR_DIR / "static"
STATICFILES_DIRS = [BASE_DIR / "circuits" / "static"]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}
WHITENOISE_USE_FINDERS = True
MEDIA_ROOT = VAR_DIR / "media"

DJANGO_TABLES2_TEMPLATE = "shop/table.html"

REDIS_URL = os.environ.get("REDIS_URL", "")
"""Broker; empty = tasks run in this process, right after the transaction that queued them."""

LONG_WORK_APART = True
"""Whether a search has a process of its own, and long tasks a thread of their own where no broker is: else here."""

OUTBOX_LEASE_S = number("LOOMWRIGHT_LEASE_S", 30)
"""A task whose worker has not been heard of for so long is started anew elsewhere [s]."""

SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SECURE_CONTENT_TYPE_NOSNIFF = True
X_FRAME_OPTIONS = "DENY"
if flag("LOOMWRIGHT_HTTPS"):
    SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT = True
    SECURE_HSTS_SECONDS = 31_536_000
    SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = True
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")

DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
FILE_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024

LOGGING: dict[str, Any] = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "filters": {"hide_secrets": {"()": "shop.log_secrets.HideSecrets"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line", "filters": ["hide_secrets"]}},
    "root": {"handlers": ["console"], "level": os.environ.get("LOOMWRIGHT_LOG_LEVEL", "WARNING")},
    # A page not found or refused is the visitor's news; a failed one is ours.
    "loggers": {"django.request": {"level": "ERROR"}},
}

LOOMWRIGHT_LETTERHEAD = "shop.people.letterhead.letterhead"
"""What the papers of lower floors ask for the shop's name and logo."""

LOOMWRIGHT_BOOKED_HOURS = "shop.floor.booked.booked_hours"
"""What billing asks for the hours booked to a job."""
