import secrets
from collections.abc import Mapping
from datetime import UTC, datetime

from django.db import transaction

from shared.evidence.chain import concealing_hash, link_hash
from shared.evidence.models import ConcealedValue, Evidence, EvidenceHead


@transaction.atomic
def record_evidence(kind: str, *, subject: str, payload: Mapping[str, object], at: datetime) -> Evidence:
    """Adds a row to the chain, in the transaction of what it records. Kinds are never renamed.

    ``subject`` is ``release:7``; ``payload`` holds text, whole numbers, yes and no, lists and names, never a float and never a
    personal value: ``conceal`` those. Raises ``InvalidPayload``.
    """
    EvidenceHead.objects.get_or_create(pk=1)
    head = EvidenceHead.objects.select_for_update().get(pk=1)
    at = at.astimezone(UTC).replace(microsecond=0)
    seq = head.seq + 1
    digest = link_hash(seq=seq, at=at, kind=kind, subject=subject, payload=payload, prev=head.hash)
    row = Evidence.objects.create(
        seq=seq, at=at, kind=kind, subject=subject, payload=dict(payload), prev=head.hash, hash=digest
    )
    EvidenceHead.objects.filter(pk=1).update(seq=seq, hash=digest)
    return row


def conceal(value: str) -> str:
    """Keeps a personal value beside the chain and returns the hash that may stand in it."""
    nonce = secrets.token_bytes(32)
    digest = concealing_hash(nonce, value)
    ConcealedValue.objects.create(hash=digest, nonce=nonce.hex(), value=value)
    return digest


def erase_value(concealed: str) -> bool:
    """Erases a personal value for good; the chain still verifies and its hash says nothing. Whether there was one."""
    return bool(ConcealedValue.objects.filter(pk=concealed).delete()[0])
