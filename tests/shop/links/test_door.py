"""Nothing opens by a link but the quote, the change and the papers of its own job, and only while it is open."""

from __future__ import annotations

import re
import string
from datetime import timedelta

import pytest
from django.conf import settings
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from estimating.quotes.services import send_revision
from shop.jobs.models import Job
from shop.links.models import CustomerLink, LinkTry
from shop.links.rules import TRIES_ALLOWED, WINDOW_S, LinkState, state_of
from shop.links.secret import hash_of, is_well_formed, new_secret
from shop.links.services import link_of, make_link, revoke_link
from tests.shop.links.conftest import DAY, job_for

LETTERS = string.ascii_letters + string.digits + "-_"
DOORS = {"links:open", "links:accept", "links:accept_change", "links:paper"}
OPEN_TO_ANYONE = {"people:log_in", "floor:worker", *DOORS}


def addresses(patterns, space=""):
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            yield from addresses(pattern.url_patterns, pattern.namespace or space)
        elif isinstance(pattern, URLPattern):
            yield f"{space}:{pattern.name}", pattern


def test_secrets_hold_256_bits_and_never_repeat():
    made = {new_secret() for _ in range(500)}
    assert len(made) == 500
    assert all(is_well_formed(secret) for secret in made)
    assert len({char for secret in made for char in secret}) == 64  # every letter of base 64 comes up


@given(st.text(max_size=60))
def test_what_is_no_secret_of_ours_is_not_even_looked_up(text):
    if not re.fullmatch(r"[A-Za-z0-9_-]{43}", text):
        assert link_of(text) is None


@pytest.mark.django_db
def test_a_secret_with_any_letter_changed_opens_nothing(customer, sent, new):
    settings_of_tries = TRIES_ALLOWED - 2
    for place in range(0, 43, 43 // settings_of_tries + 1):
        other = next(letter for letter in LETTERS if letter != new.secret[place])
        wrong = new.secret[:place] + other + new.secret[place + 1 :]
        assert customer.get(reverse("links:open", args=[wrong])).status_code == 404
    assert customer.get(reverse("links:open", args=[new.secret])).status_code == 200


@pytest.mark.django_db
def test_neither_the_hash_nor_the_key_of_a_link_opens_it(customer, sent, new):
    for guess in (
        hash_of(new.secret),
        hash_of(new.secret)[:43],
        str(new.link.pk),
        new.secret.swapcase(),
        f"{new.secret}=",
    ):
        assert customer.get(reverse("links:open", args=[guess])).status_code == 404


@pytest.mark.django_db
def test_every_wrong_address_gets_the_same_answer(customer, sent, new):
    answers = {
        re.sub(r"[A-Za-z0-9]{64}|value=\S+", "", customer.get(reverse("links:open", args=[guess])).content.decode())
        for guess in ("x", new_secret(), hash_of(new.secret)[:43])
    }
    assert len(answers) == 1


@pytest.mark.django_db
@pytest.mark.parametrize(("end", "words"), [("expired", "has run out: ask"), ("revoked", "has been withdrawn: ask")])
def test_link_that_is_over_says_so_in_one_sentence_and_opens_nothing(customer, sent, new, end, words):
    if end == "revoked":
        revoke_link(link_id=new.link.pk, by="Otto", at=timezone.now())
    else:
        CustomerLink.objects.filter(pk=new.link.pk).update(expires_at=timezone.now())
    for address in (
        reverse("links:open", args=[new.secret]),
        reverse("links:paper", args=[new.secret, "quote-1"]),
    ):
        answer = customer.get(address)
        assert answer.status_code == 410
        assert words in answer.content.decode()
    for act in ("links:accept", "links:accept_change"):
        assert customer.get(reverse(act, args=[new.secret, 1])).status_code == 405
        posted = Client().post(reverse(act, args=[new.secret, 1]), {"name": "Ada", "agrees": "on"})
        assert posted.status_code == 410
        assert words in posted.content.decode()
    sent.refresh_from_db()
    assert sent.state == "sent"


@given(st.integers(-5, 5), st.booleans())
def test_link_is_open_before_its_end_and_never_after(hours, is_revoked):
    now = timezone.now()
    state = state_of(now + timedelta(hours=hours), now if is_revoked else None, now)
    assert (state is LinkState.OPEN) is (hours > 0 and not is_revoked)


@pytest.mark.django_db
def test_links_papers_are_those_of_its_own_job(customer, sent, new):
    other = job_for("Somebody Else", "SE 1")
    send_revision(quote=other.quote, by="Otto", at=timezone.now())
    second = send_revision(quote=other.quote, by="Otto", at=timezone.now())
    assert second.number == 2
    assert customer.get(reverse("links:paper", args=[new.secret, "quote-1"]))["Content-Type"] == "application/pdf"
    for key in ("quote-2", "quote-3", "handover-sheet", "handover-card", "change-1", "money-I-2031-001", "quote", "x"):
        assert customer.get(reverse("links:paper", args=[new.secret, key])).status_code == 404
    text = customer.get(reverse("links:open", args=[new.secret])).content.decode()
    assert "Somebody Else" not in text
    assert other.quote.number not in text


@pytest.mark.django_db
def test_draft_is_not_shown_to_the_customer(customer, job, new):
    text = customer.get(reverse("links:open", args=[new.secret])).content.decode()
    assert "There is no quote to read yet." in text
    assert customer.get(reverse("links:paper", args=[new.secret, "quote-1"])).status_code == 404


@pytest.mark.django_db
def test_by_the_link_alone_no_other_address_of_the_site_opens(customer, sent, new, office):
    """Every address of the site, asked for by someone who has come in by the link and keeps its cookies."""
    assert customer.get(reverse("links:open", args=[new.secret])).status_code == 200
    job = Job.objects.get(pk=new.link.job_id)
    known = {
        "job_id": job.pk, "plan_id": job.plan_id, "quote_id": job.quote_id, "customer_id": job.customer_id,
        "vehicle_id": job.vehicle_id, "user_id": office.pk, "number": 1, "link_id": new.link.pk,
        "listing": "circuits", "file_format": "json", "kind": "sheet", "secret": new.secret, "key": "quote-1",
    }  # fmt: skip
    walked = 0
    for name, pattern in addresses(get_resolver().url_patterns):
        if name in OPEN_TO_ANYONE:
            continue
        address = reverse(name, kwargs={key: known.get(key, 1) for key in pattern.pattern.converters})
        for answer in (customer.get(address), Client().post(address)):
            walked += 1
            assert answer.status_code in (302, 404), (name, answer.status_code)
            if answer.status_code == 302:
                assert answer["Location"].startswith(reverse("people:log_in")), name
    assert walked > 100
    assert settings.SESSION_COOKIE_NAME not in customer.cookies


@pytest.mark.django_db
def test_the_page_points_to_nothing_but_its_own_papers_and_forms(customer, sent, new):
    page = customer.get(reverse("links:open", args=[new.secret])).content.decode()
    pointed = set(re.findall(r'(?:href|action|src)="([^"#]+)"', page))
    inside = f"/for-you/{new.secret}/"
    assert any(address.startswith(inside) for address in pointed)
    assert {one for one in pointed if not one.startswith((inside, "/static/"))} == set()


@pytest.mark.django_db
def test_no_answer_tells_the_address_to_others(customer, sent, new):
    for address in (
        reverse("links:open", args=[new.secret]),
        reverse("links:paper", args=[new.secret, "quote-1"]),
        reverse("links:paper", args=[new.secret, "none"]),
        reverse("links:open", args=["x"]),
    ):
        answer = customer.get(address)
        assert "noindex" in answer["X-Robots-Tag"]
        assert answer["Referrer-Policy"] == "same-origin"
        assert "no-store" in answer["Cache-Control"]
    assert 'name="robots" content="noindex"' in customer.get(reverse("links:open", args=[new.secret])).content.decode()


@pytest.mark.django_db
def test_too_many_wrong_addresses_shut_the_door_for_a_while(customer, sent, new, monkeypatch):
    door = reverse("links:open", args=[new.secret])
    for _ in range(TRIES_ALLOWED):
        assert customer.get(reverse("links:open", args=[new_secret()])).status_code == 404
    shut = customer.get(door)
    assert shut.status_code == 429
    assert 0 < int(shut["Retry-After"]) <= WINDOW_S
    assert Client(REMOTE_ADDR="198.51.100.7").get(door).status_code == 200  # others come in
    later = timezone.now() + timedelta(seconds=WINDOW_S)
    monkeypatch.setattr("shop.links.door.timezone.now", lambda: later)
    assert customer.get(door).status_code == 200


@pytest.mark.django_db
def test_the_right_address_is_no_try(customer, sent, new):
    for _ in range(TRIES_ALLOWED + 5):
        assert customer.get(reverse("links:open", args=[new.secret])).status_code == 200
    assert not LinkTry.objects.exists()


@pytest.mark.django_db
def test_tries_are_forgotten_and_name_nobody(customer, sent, monkeypatch):
    customer.get(reverse("links:open", args=["x"]))
    assert "127.0.0.1" not in str(LinkTry.objects.values_list().get())
    later = timezone.now() + timedelta(seconds=WINDOW_S)
    monkeypatch.setattr("shop.links.door.timezone.now", lambda: later)
    customer.get(reverse("links:open", args=["x"]))
    assert LinkTry.objects.get().count == 1


@pytest.mark.django_db
def test_behind_a_proxy_the_address_is_the_one_that_the_proxy_wrote(customer, sent, settings):
    settings.SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    for made_up in range(3):
        headers = {"X-Forwarded-For": f"203.0.113.{made_up}, 198.51.100.7"}
        customer.get(reverse("links:open", args=["x"]), headers=headers)
    assert LinkTry.objects.get().count == 3


@pytest.mark.django_db
@pytest.mark.parametrize("days", [0, -1, 181])
def test_link_lasts_a_day_to_half_a_year(job, days):
    from django.core.exceptions import ValidationError

    with pytest.raises(ValidationError):
        make_link(job=job, days=days, by="Otto", at=timezone.now())
    assert not CustomerLink.objects.exists()


@pytest.mark.django_db
def test_office_makes_an_address_shown_once_and_revokes_it(client, customer, sent, office):
    client.force_login(office)
    url = reverse("links:links", args=[Job.objects.get().pk])
    made = client.post(url, {"days": 3})
    address = re.search(r'value="http://testserver(/for-you/[^"]+)"', made.content.decode())
    assert address
    assert customer.get(address[1]).status_code == 200
    assert address[1] not in client.get(url).content.decode()
    link = CustomerLink.objects.get()
    assert link.made_by == "Otto Ledger"
    assert timedelta() < link.expires_at - timezone.now() <= 3 * DAY
    client.post(reverse("links:revoke", args=[link.job_id, link.pk]))
    assert customer.get(address[1]).status_code == 410
    link.refresh_from_db()
    assert link.revoked_by == "Otto Ledger"


@pytest.mark.django_db
def test_link_of_another_job_is_not_revoked_from_this_one(client, sent, new, office):
    client.force_login(office)
    other = job_for("Somebody Else", "SE 1")
    assert client.post(reverse("links:revoke", args=[other.pk, new.link.pk])).status_code == 404
    new.link.refresh_from_db()
    assert new.link.revoked_at is None
