"""Secrets that are handed out once and kept only as digests."""

from __future__ import annotations

import hashlib
import hmac
import secrets

TOKEN_BYTES = 32
_KEY_LETTERS = "23456789abcdefghjkmnpqrstuvwxyz"  # nothing that reads as something else
KEY_LENGTH = 10


def new_token() -> str:
    """256 bits nobody can guess, in letters that may stand in an address."""
    return secrets.token_urlsafe(TOKEN_BYTES)


def new_key() -> str:
    """A short name for an address; it gives no rights."""
    return "".join(secrets.choice(_KEY_LETTERS) for _ in range(KEY_LENGTH))


def digest(token: str) -> str:
    """What is kept of a token; looked up by it, so that no timing tells how near a guess was."""
    return hashlib.sha256(token.encode("utf-8", "surrogatepass")).hexdigest()


def same(one: str, other: str) -> bool:
    """Compared in constant time."""
    return hmac.compare_digest(one.encode("utf-8", "replace"), other.encode("utf-8", "replace"))
