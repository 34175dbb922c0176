from dataclasses import FrozenInstanceError

import pytest

from shoots.shopping.snapshot import BoughtLine, PropLine


def test_what_is_printed_cannot_change_under_the_printer():
    bought, prop = BoughtLine("Ice", None), PropLine(what="Board", kind="surface", count=1)
    with pytest.raises(FrozenInstanceError):
        bought.name = "Snow"
    with pytest.raises(FrozenInstanceError):
        prop.count = 2


def test_nothing_is_counted_or_priced_until_somebody_does():
    assert PropLine(what="Board", kind="surface", count=1).counted_out is None
    assert BoughtLine("Ice", None).price is None
