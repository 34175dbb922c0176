import json

import pytest

from billing.estimates.snapshot import SnapshotUnreadable, accepted_from_json, estimate_from_json
from shared.papers.kept import as_json
from tests.factories.billing import accepted, sent

pytestmark = pytest.mark.django_db


def test_what_was_sent_comes_back_from_the_table_as_it_was():
    kept = sent().snapshot
    assert as_json(estimate_from_json(json.loads(json.dumps(kept)))) == kept


def test_what_was_accepted_comes_back_as_it_was():
    kept = accepted().accepted_snapshot
    assert as_json(accepted_from_json(kept)) == kept


def test_a_snapshot_that_lost_a_part_is_refused():
    kept = sent().snapshot
    del kept["options"][0]["lines"][0]["amount"]
    with pytest.raises(SnapshotUnreadable):
        estimate_from_json(kept)
