import pytest
from hypothesis import given
from hypothesis import strategies as st

from clients.compass import POINTS, InvalidBearing, compass_words, read_bearing


@pytest.mark.parametrize(
    ("degrees", "words"),
    [(0, "north"), (11, "north"), (12, "north-north-east"), (90, "east"), (200, "south-south-west"), (350, "north")],
)
def test_a_bearing_has_a_point_of_the_compass(degrees, words):
    assert compass_words(degrees) == words


@pytest.mark.parametrize(
    ("typed", "degrees"),
    [("200", 200), ("200°", 200), ("SW", 225), ("south west", 225), ("South-South-West", 202), ("n", 0)],
)
def test_a_bearing_is_typed_as_degrees_or_as_a_point(typed, degrees):
    assert read_bearing(typed) == degrees


@pytest.mark.parametrize("typed", ["400", "360", "-1", "upstairs", ""])
def test_what_is_no_bearing_is_refused_with_what_to_write(typed):
    with pytest.raises(InvalidBearing, match="0 to 359"):
        read_bearing(typed)


@given(st.integers(0, 359))
def test_every_bearing_has_the_nearest_point(degrees):
    point = POINTS.index(compass_words(degrees)) * 22.5
    away = min(abs(degrees - point), 360 - abs(degrees - point))
    assert away <= 11.25
