import json

import pytest

from billing.estimates.queries import estimate_in_full, estimate_shown, items_of
from billing.estimates.snapshot import SnapshotUnreadable, accepted_from_json, estimate_from_json
from shared.business.models import BusinessProfile
from shared.papers.kept import as_json
from tests.factories.billing import AT, accepted, drafted, sent

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


def test_a_snapshot_older_than_several_uses_is_read() -> None:
    estimate = estimate_in_full(drafted(pictures=6).pk)
    assert len(items_of(estimate.options.all()[0])) == 1
    kept = as_json(estimate_shown(estimate, business=BusinessProfile.objects.get(), on=AT.date()))
    for option in kept["options"]:
        del option["further_uses"]
    assert estimate_from_json(kept).options[0].further_uses == ()
