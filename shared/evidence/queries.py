from collections.abc import Iterator

from django.db.models import QuerySet

from shared.evidence.chain import ChainRow, first_misfit, holds_head
from shared.evidence.models import ConcealedValue, Evidence, EvidenceHead


def evidence_about(subject: str) -> QuerySet[Evidence]:
    """What is recorded about one thing (``release:7``), in order."""
    return Evidence.objects.filter(subject=subject)


def chain_rows() -> Iterator[ChainRow]:
    return _as_links(Evidence.objects.order_by("seq"))


def _as_links(rows: QuerySet[Evidence]) -> Iterator[ChainRow]:
    for row in rows.iterator():
        yield ChainRow(
            seq=row.seq,
            at=row.at,
            kind=row.kind,
            subject=row.subject,
            payload=row.payload,
            prev=row.prev,
            hash=row.hash,
        )


def first_broken_link() -> int | None:
    """The number of the first row that does not fit the chain; one past the last row when the tail is missing; None when all fits."""
    broken = first_misfit(chain_rows())
    if broken is not None:
        return broken
    last = Evidence.objects.order_by("seq").last()
    head = EvidenceHead.objects.filter(pk=1).first()
    seq, found = (last.seq, last.hash) if last else (0, "0" * 64)
    if head is None:
        return None if seq == 0 else seq
    if head.seq == seq and head.hash == found:
        return None
    return min(seq, head.seq) + 1


def is_head_kept(*, seq: int, hash_start: str) -> bool:
    """Whether a head printed on a paper is still in the chain."""
    return seq == 0 or holds_head(_as_links(Evidence.objects.filter(seq=seq)), seq=seq, hash_start=hash_start)


def evidence_head() -> tuple[int, str]:
    """Where the chain ends now: number and hash of its last row; 0 and zeros when it is empty."""
    head = EvidenceHead.objects.filter(pk=1).first()
    return (head.seq, head.hash) if head else (0, "0" * 64)


def revealed(concealed: str) -> str | None:
    """The personal value behind a hash in the chain; None once it was erased."""
    row = ConcealedValue.objects.filter(pk=concealed).first()
    return row.value if row else None
