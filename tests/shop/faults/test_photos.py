"""Photographs: judged by content, re-encoded without metadata, bounded, served as attachments to those who may."""

from __future__ import annotations

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image
from PIL.TiffImagePlugin import IFDRational

from circuits.errors import UnreadableError
from shop.faults.models import Fault
from shop.faults.photos import KEPT_PX, MAX_BYTES, clean_photo
from tests.shop.floor.cast import sent


def picture(kind: str = "JPEG", size: tuple[int, int] = (40, 30), **more) -> bytes:
    out = io.BytesIO()
    image = Image.new("RGB", size, "red")
    image.putpixel((0, 0), (0, 0, 255))
    image.save(out, kind, **more)
    return out.getvalue()


def with_place() -> bytes:
    """As a phone writes it: where it was, whose phone, and lying on its side."""
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x013B] = "Tessa Crimp"
    exif.get_ifd(0x8825).update({1: "N", 2: (IFDRational(52), IFDRational(31), IFDRational(12)), 3: "E"})
    return picture(exif=exif, comment=b"secret place")


def test_the_kept_picture_carries_no_place_and_no_name():
    assert Image.open(io.BytesIO(with_place())).getexif().get_ifd(0x8825)
    kept = clean_photo(io.BytesIO(with_place()), "x.jpg")
    again = Image.open(io.BytesIO(kept.jpeg))
    assert not again.getexif()
    assert b"Tessa" not in kept.jpeg
    assert b"secret" not in kept.jpeg
    assert set(again.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_a_picture_on_its_side_is_put_upright():
    kept = clean_photo(io.BytesIO(with_place()), "x.jpg")
    assert (kept.width, kept.height) == (30, 40)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_what_phones_send_is_taken_and_bounded(kind):
    kept = clean_photo(io.BytesIO(picture(kind, (2400, 1200))), "x")
    assert (kept.width, kept.height) == (KEPT_PX, KEPT_PX // 2)
    assert kept.jpeg[:2] == b"\xff\xd8"


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        b"GIF89a" + b"\0" * 30,
        b"\xff\xd8\xff\xe0" + b"<?php system('id') ?>",
        picture()[:200],
        b"MZ" + b"\0" * 200,
        b"\0" * (MAX_BYTES + 1),
    ],
    ids=["empty", "svg", "gif", "script in a jpeg's head", "cut off", "program", "too large"],
)
def test_a_hostile_file_is_refused_with_one_clear_message(data):
    with pytest.raises(UnreadableError, match="expected a JPEG, PNG or WebP picture up to 16 MB"):
        clean_photo(io.BytesIO(data), "x.jpg")


def test_a_bomb_of_pixels_is_refused_unopened():
    bomb = picture("PNG", (9000, 7000))
    with pytest.raises(UnreadableError, match="9000 by 7000 pixels"):
        clean_photo(io.BytesIO(bomb), "bomb.png")


def test_what_hides_behind_the_picture_is_dropped():
    kept = clean_photo(io.BytesIO(picture() + b"<script>alert(1)</script>"), "x.jpg")
    assert b"script" not in kept.jpeg


def raise_with(client, job, upload):
    return client.post(reverse("faults:new", args=[job.pk]), sent(does="lamp is dim", weight="comfort", photo=upload))


def test_the_photo_is_an_attachment_that_no_browser_runs(client, job, tessa):
    client.force_login(tessa)
    raise_with(client, job, SimpleUploadedFile("p.html", with_place(), "text/html"))
    fault = Fault.objects.get()
    answer = client.get(reverse("faults:photo", args=[job.pk, fault.pk, fault.photos.get().pk]))
    assert answer["Content-Type"] == "image/jpeg"
    assert answer["Content-Disposition"].startswith("attachment")
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert "sandbox" in answer["Content-Security-Policy"]


def test_the_photo_is_for_staff_alone_and_only_with_its_own_fault(client, job, tessa):
    client.force_login(tessa)
    raise_with(client, job, SimpleUploadedFile("p.jpg", picture(), "image/jpeg"))
    fault = Fault.objects.get()
    photo = fault.photos.get()
    assert client.get(reverse("faults:photo", args=[job.pk, fault.pk + 1, photo.pk])).status_code == 404
    assert client.get(reverse("faults:photo", args=[job.pk + 1, fault.pk, photo.pk])).status_code == 404
    client.logout()
    assert client.get(reverse("faults:photo", args=[job.pk, fault.pk, photo.pk])).status_code == 302


def test_a_refused_photo_loses_nothing_that_was_typed(client, job, tessa):
    client.force_login(tessa)
    answer = raise_with(client, job, SimpleUploadedFile("p.jpg", b"no picture", "image/jpeg"))
    assert not Fault.objects.exists()
    assert b"expected a JPEG, PNG or WebP picture" in answer.content
    assert b'value="lamp is dim"' in answer.content
