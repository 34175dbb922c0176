import pytest

from shoots.plan.exposure import InvalidShutter, read_shutter, seconds_of


@pytest.mark.parametrize(
    ("typed", "read", "seconds"),
    [("1/250", "1/250", 0.004), ("1/8,000 s", "1/8000", 1 / 8000), (" 1 / 60 ", "1/60", 1 / 60), ("0,5", "0.5", 0.5), ("2 s", "2", 2)],
)  # fmt: skip
def test_an_exposure_is_read_as_it_is_said(typed, read, seconds):
    assert read_shutter(typed) == read
    assert seconds_of(read) == pytest.approx(seconds)


@pytest.mark.parametrize("typed", ["fast", "1/0", "0", "1/99999999", "90", "-2", "1/250/2"])
def test_what_no_shutter_does_is_refused_with_an_example(typed):
    with pytest.raises(InvalidShutter, match="Enter a time"):
        read_shutter(typed)


def test_nothing_is_nothing():
    assert read_shutter("  ") == ""
