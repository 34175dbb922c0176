import pytest

from shared.links.purposes import _landings, landing_page, set_landing


def test_the_first_page_is_the_landing_unless_another_is_decided() -> None:
    set_landing("test_only", "first")
    set_landing("test_only", "second")
    assert landing_page("test_only") == "first"
    set_landing("test_only", "third", decided=True)
    set_landing("test_only", "fourth", decided=True)
    assert landing_page("test_only") == "third"
    del _landings["test_only"]
    with pytest.raises(KeyError):
        landing_page("test_only")
