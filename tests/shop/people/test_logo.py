"""The logo is judged by content and re-encoded."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from circuits.errors import UnreadableError
from shop.people.letterhead_image import MAX_BYTES, PRINTED_PX, clean_logo


def picture(size: tuple[int, int], kind: str, **how: object) -> io.BytesIO:
    out = io.BytesIO()
    Image.new("RGB", size, "navy").save(out, kind, **how)
    out.seek(0)
    return out


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "GIF", "WEBP"])
def test_picture_becomes_a_png_no_larger_than_printed(kind):
    clean = Image.open(io.BytesIO(clean_logo(picture((3000, 3000), kind), "logo")))
    assert clean.format == "PNG"
    assert clean.width <= PRINTED_PX[0]
    assert clean.height <= PRINTED_PX[1]


def test_position_in_the_metadata_is_dropped():
    exif = Image.Exif()
    exif[0x010E] = "workshop at 12 Hidden Lane"
    assert b"Hidden Lane" in picture((40, 40), "JPEG", exif=exif).getvalue()
    assert b"Hidden Lane" not in clean_logo(picture((40, 40), "JPEG", exif=exif), "logo.jpg")


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        b"%PDF-1.4",
        b"MZ\x90",
        b"\x89PNG\r\n\x1a\n",
    ],
    ids=["empty", "svg", "pdf", "program", "cut-off png"],
)
def test_what_is_no_picture_is_refused_by_name(data):
    with pytest.raises(UnreadableError, match=r"found 'logo\.png', expected a PNG"):
        clean_logo(io.BytesIO(data), "logo.png")


def test_too_many_bytes_are_refused_before_decoding():
    with pytest.raises(UnreadableError, match="over 2 MB"):
        clean_logo(io.BytesIO(b"\x00" * (MAX_BYTES + 1)), "logo.png")


def test_too_many_pixels_are_refused():
    with pytest.raises(UnreadableError, match="6000 by 6000 pixels"):
        clean_logo(picture((6000, 6000), "PNG"), "logo.png")
