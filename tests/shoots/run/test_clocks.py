import pytest

from shoots.run.clocks import food_clock, hold_of


@pytest.mark.parametrize(
    ("words", "minutes"),
    [
        ("Coffee with milk foam", 3),
        ("Walnut parfait", 2),
        ("Sparkling water with lemon", 1),
        ("Herb omelette. Scatter with chopped herbs", 15),
        ("Hollandaise over asparagus", 10),
        ("Flatbread boat", None),  # a word of its own only
        ("Bread boat. Spoon the sauce over", 5),
        ("Bean stew", None),
    ],
)
def test_the_shortest_hold_that_is_named_counts(words, minutes):
    assert hold_of(words) == minutes


@pytest.mark.parametrize(
    ("last", "minutes", "limit"), [(10, 0, 0), (109, 89, 0), (110, 90, 90), (229, 209, 90), (230, 210, 210)]
)
def test_food_is_warned_about_at_an_hour_and_a_half_and_three_and_a_half(last, minutes, limit):
    clock = food_clock("Stew", 20, last)
    assert (clock.minutes, clock.limit) == (minutes, limit)
