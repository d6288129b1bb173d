"""Zips opened with care: sizes, ratios, names and counts are held to limits before and while unpacking."""

from __future__ import annotations

import io
import zipfile
import zlib

from circuits.sheets.limits import (
    MAX_PACKING_RATIO,
    MAX_UNPACKED_BYTES,
    MAX_ZIP_PARTS,
    MIN_RATIO_BYTES,
)
from circuits.sheets.refusal import refusal

_CHUNK = 64 * 1024
_ENCRYPTED = 0x1
_LITTER = ("__MACOSX/", ".DS_Store", "Thumbs.db", "desktop.ini")
"""Names that file managers add to a zip of their own accord; never read."""


def open_zip(data: bytes, name: str) -> zipfile.ZipFile:
    """Zip whose declared parts keep to the limits; nothing is unpacked yet.

    Raises ``UnreadableError`` for anything else.
    """
    expected = "an unbroken zip"
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
        parts = archive.infolist()
    except (zipfile.BadZipFile, zipfile.LargeZipFile, ValueError, OSError, NotImplementedError, EOFError) as error:
        raise refusal(name, f"a zip that cannot be opened ({error})", expected) from None
    if len(parts) > MAX_ZIP_PARTS:
        raise refusal(name, f"{len(parts)} files in it", f"at most {MAX_ZIP_PARTS}")
    if len({part.filename for part in parts}) != len(parts):
        raise refusal(name, "two files of one name in it", "each file once")
    for part in parts:
        _check_part(part, name)
    total = sum(part.file_size for part in parts)
    if total > MAX_UNPACKED_BYTES:
        raise refusal(name, f"{total} bytes once unpacked", f"at most {MAX_UNPACKED_BYTES}")
    return archive


def _check_part(part: zipfile.ZipInfo, name: str) -> None:
    if part.flag_bits & _ENCRYPTED:
        raise refusal(name, f"{part.filename} locked with a password", "a file without password")
    if part.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise refusal(name, f"{part.filename} packed in an unusual way", "plain or deflated files")
    if part.file_size > MIN_RATIO_BYTES and part.file_size > part.compress_size * MAX_PACKING_RATIO:
        raise refusal(name, f"{part.filename}, {part.file_size} bytes from {part.compress_size}", "an honest zip")


def unpack(archive: zipfile.ZipFile, name: str) -> dict[str, bytes]:
    """Contents by file name, counted while unpacking: declared sizes may lie.

    Raises ``UnreadableError`` past the limits or where a part is broken.
    """
    contents: dict[str, bytes] = {}
    left = MAX_UNPACKED_BYTES
    for part in archive.infolist():
        if part.is_dir() or is_litter(part.filename):
            continue
        try:
            contents[part.filename] = _read_part(archive, part, left)
        except (
            zipfile.BadZipFile,
            zlib.error,
            ValueError,
            OSError,
            EOFError,
            NotImplementedError,
            RuntimeError,
        ) as error:
            raise refusal(name, f"{part.filename} broken ({error})", "an unbroken zip") from None
        left -= len(contents[part.filename])
        if left < 0:
            raise refusal(name, "too much once unpacked", f"at most {MAX_UNPACKED_BYTES} bytes")
    return contents


def _read_part(archive: zipfile.ZipFile, part: zipfile.ZipInfo, limit: int) -> bytes:
    """Up to one byte over ``limit``; the caller sees that it is over."""
    chunks: list[bytes] = []
    size = 0
    with archive.open(part) as file:
        while size <= limit and (chunk := file.read(min(_CHUNK, limit + 1 - size))):
            chunks.append(chunk)
            size += len(chunk)
    return b"".join(chunks)


def is_litter(filename: str) -> bool:
    """True for what file managers leave in a zip.

    Examples
    --------
    >>> is_litter("__MACOSX/._circuits.csv"), is_litter("circuits.csv")
    (True, False)
    """
    return filename.startswith(_LITTER[0]) or filename.rpartition("/")[2] in _LITTER
