"""Bringing in a price list: all faults at once, a preview, nothing stored before it is confirmed."""

from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from estimating.quotes.models import PriceRow
from estimating.quotes.settings_services import save_price
from estimating.quotes.store import shop_rules

URL = "/settings/prices/import/"


@pytest.fixture
def row(db):
    return save_price(row=PriceRow(kind="clip", spec="6 mm", unit="piece", cost=Decimal("0.50"), pack=50))


def _upload(client, text, **more):
    content = text if isinstance(text, bytes) else text.encode()
    return client.post(URL, {"file": SimpleUploadedFile("prices.csv", content)} | more)


def _store(client, answer, **more):
    return client.post(URL, {"content": answer.context["list_form"].initial["content"]} | more)


LIST = "kind,spec,unit,cost\nclip,6 mm,piece,0.55\nwire,14 AWG*,m,0.60\n"


def test_preview_shows_what_would_change_and_stores_nothing(office, row):
    answer = _upload(office, LIST)
    page = answer.content.decode()
    assert "0.55" in page
    assert "was 0.5" in page
    assert "1 new row" in page
    assert PriceRow.objects.get().cost == Decimal("0.50")


def test_columns_that_the_list_does_not_name_stay_as_they_are(office, row):
    _store(office, _upload(office, LIST))
    row.refresh_from_db()
    assert (row.cost, row.pack) == (Decimal("0.55"), 50)


def test_first_list_says_that_it_alone_will_count(office, db):
    assert "the list alone counts" in _upload(office, LIST).content.decode()


def test_confirmed_list_changes_and_adds(office, row):
    _store(office, _upload(office, LIST))
    assert {(i.spec, i.cost) for i in shop_rules().book.items} == {
        ("6 mm", Decimal("0.55")),
        ("14 AWG*", Decimal("0.60")),
    }
    assert PriceRow.objects.get(spec="6 mm").pk == row.pk


def test_rows_that_the_list_does_not_name_stay_unless_asked(office, row):
    answer = _upload(office, "kind,spec,unit,cost\nwire,14 AWG*,m,0.60\n")
    assert "that the list does not name" in answer.content.decode()
    _store(office, answer)
    assert PriceRow.objects.count() == 2
    _store(office, answer, remove_absent="on")
    assert [row.spec for row in PriceRow.objects.all()] == ["14 AWG*"]


def test_every_fault_is_named_at_once_and_nothing_stored(office, row):
    answer = _upload(office, "kind,spec,unit,cost\nbiscuit,x,piece,1\nclip,6 mm,piece,cheap\n")
    page = answer.content.decode()
    assert answer.status_code == 400
    assert "2 cells cannot be read" in page
    assert "biscuit" in page
    assert "cheap" in page
    assert PriceRow.objects.get().cost == Decimal("0.50")


@pytest.mark.parametrize("content", [b"", b"\xff\xfe\x00", b"kind,spec\n", b"PK\x03\x04 not a list", b"\x00" * 100])
def test_files_that_are_no_list_are_refused_in_words(office, db, content):
    answer = _upload(office, content)
    assert answer.status_code == 400
    assert b"Traceback" not in answer.content


def test_file_that_is_too_large_is_refused(office, db):
    assert _upload(office, b"kind,spec,unit,cost\n" + b"clip,6 mm,piece,1\n" * 120_000).status_code == 400


def test_no_file_is_refused(office, db):
    assert office.post(URL, {}).status_code == 400


def test_altered_confirmation_is_read_again(office, row):
    assert office.post(URL, {"content": "kind,spec,unit,cost\nclip,6 mm,piece,cheap\n"}).status_code == 400
    assert PriceRow.objects.get().cost == Decimal("0.50")
