import threading
from datetime import date

import pytest
from django.db import IntegrityError, connection, transaction

from shared.papers.kept import digest_of
from shoots.uses.actions import keep_first_trees, keep_tree
from shoots.uses.models import TreeVersion
from shoots.uses.shipped import AS_SHIPPED
from shoots.uses.stored import tree_data

ON = date(2026, 11, 26)


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_two_first_licences_at_once_keep_the_first_trees_once():
    start, told = threading.Barrier(4), []

    def keep():
        start.wait()
        try:
            keep_first_trees(on=ON)
            told.append(set(TreeVersion.objects.values_list("name", flat=True)))
        finally:
            connection.close()

    hands = [threading.Thread(target=keep) for _ in range(4)]
    for hand in hands:
        hand.start()
    for hand in hands:
        hand.join()
    assert told == [{"media-1", "territories-1"}] * 4
    assert TreeVersion.objects.count() == 2


@pytest.mark.django_db
def test_a_version_is_kept_whole_and_its_number_is_given_once():
    keep_first_trees(on=ON)
    row = TreeVersion.objects.get(name="territories-1")
    assert row.nodes == tree_data(AS_SHIPPED.territories)
    assert row.sha256 == digest_of(row.nodes)
    with pytest.raises(IntegrityError), transaction.atomic():
        keep_tree(AS_SHIPPED.media, kind="media", number=1, change="", by="", on=ON)
