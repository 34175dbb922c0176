import pytest

from shared.evidence.actions import record_evidence
from shared.evidence.queries import chain_rows, evidence_head, first_broken_link
from tests.factories.shared import EARLY

pytestmark = pytest.mark.django_db


def test_an_empty_chain_is_whole() -> None:
    assert first_broken_link() is None
    assert evidence_head() == (0, "0" * 64)


def test_the_rows_come_in_their_order() -> None:
    for kind in ("shown", "consent", "signed"):
        record_evidence(kind, subject="release:7", payload={}, at=EARLY)
    assert [row.kind for row in chain_rows()] == ["shown", "consent", "signed"]
