"""Tokens of private links: derived from the house's key and the link's id, so that they need never be stored."""

import base64
import hashlib
import hmac


def token_for(link_id: str, key: str) -> str:
    """The token of a link: 43 characters of URL-safe base64 of HMAC-SHA256 (RFC 2104, RFC 4648 section 5)."""
    digest = hmac.new(key.encode(), f"private-link:{link_id}".encode(), hashlib.sha256).digest()
    return base64.urlsafe_b64encode(digest).rstrip(b"=").decode()


def token_hash(token: str) -> str:
    """What the table keeps of a token: its SHA-256 in hex."""
    return hashlib.sha256(token.encode()).hexdigest()
