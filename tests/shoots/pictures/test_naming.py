from datetime import date

import pytest

from shoots.pictures.naming import initials, picture_number, series_of


@pytest.mark.parametrize(
    ("name", "letters"),
    [
        ("Walnut Lantern", "WL"),
        ("Spoon & Lamp", "SL"),
        ("Öl und Essig", "OUE"),
        ("Rye", "RY"),
        ("A", "AX"),
        ("…", "XX"),
        ("One Two Three Four Five", "OTTF"),
    ],
)
def test_a_clients_pictures_begin_with_its_initials(name, letters):
    assert initials(name) == letters


def test_a_number_says_who_when_and_which():
    assert picture_number(series_of("Walnut Lantern", date(2026, 2, 3)), 18) == "WL-0226-018"
