"""Photographs of the vehicle: judged by content, re-encoded, so that nothing of the upload but its picture is kept.

A phone writes the place and its owner's name into each picture; the re-encoded one carries neither.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import IO

from PIL import Image, ImageOps, UnidentifiedImageError

from circuits.errors import CellFault, UnreadableError

MAX_BYTES = 16 * 1024 * 1024
MAX_PIXELS = 60_000_000
KEPT_PX = 1600
QUALITY = 82
FORMATS = ("JPEG", "PNG", "WEBP")


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture as kept."""

    jpeg: bytes
    width: int
    height: int


def clean_photo(upload: IO[bytes], name: str) -> Photo:
    """The picture in ``upload``, upright, at most 1600 pixels long, without metadata.

    Parameters
    ----------
    upload : file of bytes
        JPEG, PNG or WebP of at most 16 MB and 60 megapixels.
    name : str
        File name, for the message.

    Returns
    -------
    Photo

    Raises
    ------
    UnreadableError
        For anything else.

    Examples
    --------
    >>> clean_photo(io.BytesIO(b"<svg/>"), "x.svg")
    Traceback (most recent call last):
    ...
    circuits.errors.UnreadableError: photo: found 'x.svg', expected a JPEG, PNG or WebP picture up to 16 MB
    """
    data = upload.read(MAX_BYTES + 1)
    if len(data) > MAX_BYTES:
        raise _refused(f"{name}, over 16 MB")
    try:
        with Image.open(io.BytesIO(data), formats=FORMATS) as picture:
            if picture.width * picture.height > MAX_PIXELS:
                raise _refused(f"{name}, {picture.width} by {picture.height} pixels")
            picture.draft("RGB", (KEPT_PX * 2, KEPT_PX * 2))
            upright = ImageOps.exif_transpose(picture)
            upright.thumbnail((KEPT_PX, KEPT_PX))
            # A fresh picture: nothing that the file said beside its pixels comes along.
            kept = Image.new("RGB", upright.size, "white")
            kept.paste(upright.convert("RGB"))
    except UnreadableError:
        raise
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
        raise _refused(name) from error
    out = io.BytesIO()
    kept.save(out, "JPEG", quality=QUALITY, optimize=True)
    return Photo(out.getvalue(), kept.width, kept.height)


def _refused(found: str) -> UnreadableError:
    return UnreadableError([CellFault("photo", 0, "", found, "a JPEG, PNG or WebP picture up to 16 MB")])
