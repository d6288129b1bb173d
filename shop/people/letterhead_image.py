"""The shop's logo: judged by its content, re-encoded, so that nothing of the upload but its picture is kept."""

from __future__ import annotations

import io
from typing import IO

from PIL import Image, UnidentifiedImageError

from circuits.errors import CellFault, UnreadableError

MAX_BYTES = 2 * 1024 * 1024
MAX_PIXELS = 24_000_000
PRINTED_PX = (1200, 480)
FORMATS = ("PNG", "JPEG", "GIF", "WEBP")


def clean_logo(upload: IO[bytes], name: str) -> bytes:
    """The picture in ``upload`` as a PNG no larger than a letterhead prints.

    Parameters
    ----------
    upload : file of bytes
        PNG, JPEG, GIF or WebP of at most 2 MB and 24 megapixels; metadata is dropped.
    name : str
        File name, for the message.

    Returns
    -------
    bytes
        A PNG.

    Raises
    ------
    UnreadableError
        For anything else.
    """

    def refuse(found: str) -> UnreadableError:
        return UnreadableError(
            [CellFault("letterhead", 0, "logo", found, "a PNG, JPEG, GIF or WebP picture up to 2 MB")]
        )

    data = upload.read(MAX_BYTES + 1)
    if len(data) > MAX_BYTES:
        raise refuse(f"{name}, over 2 MB")
    try:
        with Image.open(io.BytesIO(data), formats=FORMATS) as picture:
            if picture.width * picture.height > MAX_PIXELS:
                raise refuse(f"{name}, {picture.width} by {picture.height} pixels")
            picture.thumbnail(PRINTED_PX)
            out = io.BytesIO()
            picture.convert("RGBA").save(out, "PNG")
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
        if isinstance(error, UnreadableError):
            raise
        raise refuse(name) from error
    return out.getvalue()
