from dataclasses import FrozenInstanceError

import pytest

from shoots.safety.snapshot import SafetyDish


def test_a_dish_of_the_page_is_frozen_and_was_not_asked_unless_said():
    dish = SafetyDish("Stew", ("milk",), (), (), "")
    assert (dish.untold, dish.minutes, dish.limit) == ((), None, 0)
    with pytest.raises(FrozenInstanceError):
        dish.told_by = "Maro"
