"""The environment becomes settings; what cannot be read is refused with what is expected."""

from __future__ import annotations

import os
import stat
import subprocess
import sys

import pytest
from django.core.exceptions import ImproperlyConfigured

from shop.environment import data_folder, database_from_url, flag, number, secret_key, sqlite_database, words
from tests.house import ROOT


@pytest.mark.parametrize(("value", "is_on"), [("1", True), ("Yes", True), ("on", True), ("0", False), ("", False)])
def test_flags(monkeypatch, value, is_on):
    monkeypatch.setenv("LOOMWRIGHT_DEBUG", value)
    assert flag("LOOMWRIGHT_DEBUG") is is_on


def test_lists_are_split_at_commas_and_trimmed(monkeypatch):
    monkeypatch.setenv("LOOMWRIGHT_HOSTS", " shop.example , ,www.shop.example")
    assert words("LOOMWRIGHT_HOSTS") == ["shop.example", "www.shop.example"]


def test_a_number_is_read_and_nonsense_refused(monkeypatch):
    monkeypatch.setenv("LOOMWRIGHT_LEASE_S", "2.5")
    assert number("LOOMWRIGHT_LEASE_S", 30) == 2.5
    monkeypatch.setenv("LOOMWRIGHT_LEASE_S", "")
    assert number("LOOMWRIGHT_LEASE_S", 30) == 30
    for nonsense in ("soon", "0", "-1", "nan", "inf"):
        monkeypatch.setenv("LOOMWRIGHT_LEASE_S", nonsense)
        with pytest.raises(ImproperlyConfigured, match="LOOMWRIGHT_LEASE_S must be a number above 0"):
            number("LOOMWRIGHT_LEASE_S", 30)


def test_the_key_is_made_once_and_kept_private(monkeypatch, tmp_path):
    monkeypatch.delenv("LOOMWRIGHT_SECRET_KEY", raising=False)
    key = secret_key(tmp_path)
    assert len(key) >= 50
    assert secret_key(tmp_path) == key
    if os.name == "posix":
        assert stat.S_IMODE((tmp_path / "secret_key").stat().st_mode) == 0o600


def test_the_data_folder_is_made(monkeypatch, tmp_path):
    monkeypatch.setenv("LOOMWRIGHT_VAR", str(tmp_path / "a" / "b"))
    assert data_folder() == tmp_path / "a" / "b"
    assert data_folder().is_dir()


def test_postgresql_over_a_socket_with_options():
    database = database_from_url("postgresql://shop@/loom?host=/run/postgresql&sslmode=disable")
    assert (database["HOST"], database["NAME"], database["USER"]) == ("/run/postgresql", "loom", "shop")
    assert database["OPTIONS"] == {"sslmode": "disable"}


def test_an_sqlite_path_may_hold_any_sign(tmp_path):
    assert sqlite_database(tmp_path / "50 % off.sqlite3")["NAME"] == str(tmp_path / "50 % off.sqlite3")
    assert database_from_url("sqlite:////srv/my%20shop.sqlite3")["NAME"] == "/srv/my shop.sqlite3"


@pytest.mark.parametrize("url", ["mysql://shop@db/loom", "shop.sqlite3", "postgres"])
def test_another_database_is_refused_with_what_is_expected(url):
    with pytest.raises(ImproperlyConfigured, match="sqlite:/// or postgresql://"):
        database_from_url(url)


def test_production_without_https_is_not_called_fit(tmp_path):
    """The deploy check of the whole run has teeth: without HTTPS it fails."""
    done = subprocess.run(
        [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"],
        cwd=ROOT,
        env={**os.environ, "LOOMWRIGHT_VAR": str(tmp_path), "DJANGO_SETTINGS_MODULE": "shop.settings"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    assert "SECURE_SSL_REDIRECT" in done.stderr
