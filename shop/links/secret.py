"""The secret part of a customer's address: made once, shown once, kept only as a hash."""

from __future__ import annotations

import hashlib
import re
import secrets

SECRET_BYTES = 32
"""256 bits: nobody finds an address by trying."""

_SECRET = re.compile(r"[A-Za-z0-9_-]{43}")


def new_secret() -> str:
    """A secret never used before, fit for an address.

    Examples
    --------
    >>> len(new_secret())
    43
    """
    return secrets.token_urlsafe(SECRET_BYTES)


def hash_of(secret: str) -> str:
    """What is stored of a secret: it cannot be turned back. No salt is needed, for the secret is random and long.

    Examples
    --------
    >>> len(hash_of("x"))
    64
    """
    return hashlib.sha256(secret.encode()).hexdigest()


def is_well_formed(secret: str) -> bool:
    """True where this could be a secret of ours.

    Examples
    --------
    >>> is_well_formed(new_secret()), is_well_formed("1")
    (True, False)
    """
    return _SECRET.fullmatch(secret) is not None
