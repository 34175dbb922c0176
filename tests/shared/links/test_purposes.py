import pytest

from shared.links.purposes import _landings, landing_page, set_landing


def test_the_first_page_is_the_landing_unless_another_is_decided() -> None:
    set_landing("test_landing", "first")
    set_landing("test_landing", "second")
    assert landing_page("test_landing") == "first"
    set_landing("test_landing", "third", decided=True)
    set_landing("test_landing", "fourth", decided=True)
    assert landing_page("test_landing") == "third"
    del _landings["test_landing"]
    with pytest.raises(KeyError):
        landing_page("test_landing")
