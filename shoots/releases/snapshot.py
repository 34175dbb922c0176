"""The frozen values that a release's paper is printed from."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class TextShown:
    """One language of the release as it was shown."""

    language: str
    title: str
    paragraphs: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedRelease:
    """Everything the signed paper says. ``texts`` come in the signer's order; ``head`` is the evidence chain's last row."""

    number: str
    texts: tuple[TextShown, ...]
    text_sha256: str
    photographer: str
    address: tuple[str, ...]
    who_or_what: str
    signer_name: str
    capacity: str
    """``self``, ``owner``, ``for_owner`` or ``guardian``; a guardian signs for ``who_or_what``."""
    signature_path: str
    typed_name: str
    signed_at: datetime
    time_zone: str
    head_seq: int
    head_hash: str
    logo: str = ""
    photographer_signature: str = ""
