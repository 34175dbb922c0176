from datetime import date

import pytest
from django.db import IntegrityError, transaction

from shared.papers.kept import digest_of
from shoots.uses.actions import keep_first_trees, keep_tree
from shoots.uses.models import TreeVersion
from shoots.uses.shipped import AS_SHIPPED
from shoots.uses.stored import tree_data

ON = date(2026, 11, 26)


@pytest.mark.django_db
def test_a_version_is_kept_whole_and_its_number_is_given_once():
    keep_first_trees(on=ON)
    row = TreeVersion.objects.get(name="territories-1")
    assert row.nodes == tree_data(AS_SHIPPED.territories)
    assert row.sha256 == digest_of(row.nodes)
    with pytest.raises(IntegrityError), transaction.atomic():
        keep_tree(AS_SHIPPED.media, kind="media", number=1, change="", by="", on=ON)
