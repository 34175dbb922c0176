from dataclasses import FrozenInstanceError, fields

import pytest

from shoots.releases.snapshot import SignedRelease, TextShown


def test_what_was_shown_cannot_be_changed():
    shown = TextShown("en", "Title", ("One.",))
    with pytest.raises(FrozenInstanceError):
        shown.title = "Other"


def test_the_snapshot_names_the_head_of_the_evidence_chain():
    assert {"head_seq", "head_hash", "text_sha256"} <= {each.name for each in fields(SignedRelease)}
