from datetime import UTC, datetime

from shoots.plan.snapshot import CookSheet


def sheet(cook, studio):
    return CookSheet(
        shoot="Winter menu", house="Walnut Lantern", cook="Maro Lantadze", day=None, from_time=None, until_time=None, place="", cook_language=cook,
        studio_language=studio, dishes=(), photographer="", phone="", made_at=datetime(2026, 11, 12, tzinfo=UTC), identifier="1",
    )  # fmt: skip


def test_the_cooks_language_stands_first_and_one_language_stands_once():
    assert sheet("de", "en").languages == ("de", "en")
    assert sheet("en", "en").languages == ("en",)
