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
    is_minor: bool = False
    minor_signature_path: str = ""
    minor_typed_name: str = ""
    minor_signed_at: datetime | None = None
    """When ``who_or_what``, under age, signed beside the guardian; None where they did not."""
    witness_name: str = ""
    witness_signature_path: str = ""
    logo: str = ""
    photographer_signature: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseToSign:
    """The text of an offered release with lines for pens. ``text_code``: the start of the hash, to compare print and page by eye."""

    number: str
    texts: tuple[TextShown, ...]
    text_sha256: str
    text_code: str
    photographer: str
    address: tuple[str, ...]
    who_or_what: str
    signer_name: str
    is_property: bool
    is_minor: bool
    minor_signs: bool
    asks_witness: bool
    made_at: datetime
    logo: str = ""
