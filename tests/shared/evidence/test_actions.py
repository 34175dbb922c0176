import threading

import pytest
from django.db import connection, transaction

from shared.evidence.actions import conceal, erase_value, record_evidence
from shared.evidence.chain import InvalidPayload
from shared.evidence.models import Evidence
from shared.evidence.queries import evidence_about, evidence_head, first_broken_link, is_head_kept, revealed
from tests.factories.shared import EARLY

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def test_each_row_names_the_one_before_and_the_head_follows() -> None:
    first = record_evidence("shown", subject="release:7", payload={"language": "de"}, at=EARLY)
    second = record_evidence("signed", subject="release:7", payload={"note": "Küche"}, at=EARLY)
    assert (first.seq, first.prev) == (1, "0" * 64)
    assert (second.seq, second.prev) == (2, first.hash)
    assert evidence_head() == (2, second.hash)
    assert is_head_kept(seq=2, hash_start=second.hash[:16])
    assert first_broken_link() is None
    assert [row.kind for row in evidence_about("release:7")] == ["shown", "signed"]


def test_what_is_undone_leaves_no_gap_in_the_chain() -> None:
    record_evidence("shown", subject="release:7", payload={}, at=EARLY)
    with pytest.raises(RuntimeError), transaction.atomic():  # noqa: PT012  what was written before the mistake is the point
        record_evidence("signed", subject="release:7", payload={}, at=EARLY)
        raise RuntimeError("the paper was not made")
    assert record_evidence("refused", subject="release:7", payload={}, at=EARLY).seq == 2
    assert first_broken_link() is None


def test_a_float_in_the_payload_is_refused_and_nothing_is_written() -> None:
    with pytest.raises(InvalidPayload):
        record_evidence("issued", subject="invoice:1", payload={"total": 1.5}, at=EARLY)
    assert not Evidence.objects.exists()


def test_a_tail_that_is_missing_shows_against_the_head() -> None:
    record_evidence("shown", subject="release:7", payload={}, at=EARLY)
    from shared.evidence.models import EvidenceHead

    EvidenceHead.objects.update(seq=2, hash="ab" * 32)
    assert first_broken_link() == 2


def test_a_personal_value_is_behind_its_hash_until_it_is_erased() -> None:
    hidden = conceal("Ivo Pellander")
    record_evidence("consent", subject="release:7", payload={"person": hidden}, at=EARLY)
    assert revealed(hidden) == "Ivo Pellander"
    assert conceal("Ivo Pellander") != hidden
    assert erase_value(hidden)
    assert not erase_value(hidden)
    assert revealed(hidden) is None
    assert first_broken_link() is None


@pytest.mark.django_db(transaction=True)
def test_two_hands_at_once_still_make_one_chain() -> None:
    def many() -> None:
        try:
            for _ in range(10):
                record_evidence("downloaded", subject="delivery:1", payload={}, at=EARLY)
        finally:
            connection.close()

    hands = [threading.Thread(target=many) for _ in range(3)]
    [hand.start() for hand in hands]
    [hand.join() for hand in hands]
    assert Evidence.objects.count() == 30
    assert first_broken_link() is None
