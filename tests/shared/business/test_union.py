from shared.business.union import EU
from shoots.uses.territory_tree import GROUPS


def test_the_union_of_the_tax_rules_is_the_one_that_licences_name():
    """Both are held against python-stdnum's list in tests/sources/test_countries_iso3166_m49.py by way of the group."""
    assert GROUPS["EU"].members == EU
    assert not {"GB", "CH", "NO", "XI"} & EU
