from datetime import date

import pytest

from shoots.uses.territory_tree import COUNTRIES, TERRITORIES, FrozenGroup, GroupUnknownThen, expand_groups
from shoots.uses.trees import UnknownCode


def test_all_countries_of_a_continent_do_not_make_the_continent():
    named = frozenset(TERRITORIES.children("europe"))
    assert TERRITORIES.node_mask("europe") & ~TERRITORIES.mask(named)


def test_the_world_holds_every_country():
    assert not TERRITORIES.mask(COUNTRIES) & ~TERRITORIES.node_mask("world")


def test_every_country_has_a_block_of_spare_numbers():
    widths = {TERRITORIES.interval(code)[1] - TERRITORIES.interval(code)[0] for code in COUNTRIES}
    assert widths == {100}


def test_a_group_is_replaced_by_its_members_and_keeps_its_name_and_day():
    codes, groups = expand_groups(["EU", "CH"], on=date(2027, 3, 1))
    assert len(codes) == 28
    assert "CH" in codes
    assert "EU" not in codes
    (group,) = groups
    assert group == FrozenGroup("EU", date(2027, 3, 1), codes - {"CH"})
    assert len(group.members) == 27


def test_a_group_on_a_day_before_its_list_begins_is_refused():
    with pytest.raises(GroupUnknownThen):
        expand_groups(["EU"], on=date(2020, 1, 31))
    assert "GB" not in expand_groups(["EU"], on=date(2020, 2, 1))[0]


def test_the_eea_is_the_eu_with_three_more_and_dach_three_countries():
    eea, _ = expand_groups(["EEA"], on=date(2027, 3, 1))
    eu, _ = expand_groups(["EU"], on=date(2027, 3, 1))
    assert eea - eu == {"IS", "LI", "NO"}
    assert expand_groups(["DACH"], on=date(2027, 3, 1))[0] == {"DE", "AT", "CH"}


def test_an_unknown_place_is_refused():
    with pytest.raises(UnknownCode):
        expand_groups(["DE", "XX"], on=date(2027, 3, 1))
