import pytest

from shoots.releases.things import thing_key


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("The blue plates", " the  BLUE plates ", True),
        ("Schüssel aus Weißton", "SCHÜSSEL AUS WEISSTON", True),
        ("The blue plates", "Blue plates", False),
        ("The blue plates", "The blue plate", False),
        ("", "The blue plates", False),
    ],
)
def test_only_capitals_and_spaces_make_no_difference(one, other, same):
    assert (thing_key(one) == thing_key(other)) is same
