"""A smaller and a larger way to do the job, reckoned from what was asked."""

from decimal import Decimal as D

from hypothesis import given
from hypothesis import strategies as st

from billing.estimates.sizes import TERMS, Size, larger, smaller

GERMANY, EUROPE, WORLD = frozenset({"DE"}), frozenset({"europe"}), frozenset({"world"})
ROUND = {"DE": "europe", "AT": "europe", "europe": "world"}


def wider(code: str) -> str:
    return ROUND.get(code, code)


def test_six_pictures_in_a_day_become_three_in_half_a_day_and_nine_in_a_day_and_a_half() -> None:
    asked = Size(6, D(1), 24, GERMANY)
    assert smaller(asked) == Size(3, D("0.5"), 12, GERMANY)
    assert larger(asked, wider=wider) == Size(9, D("1.5"), 36, EUROPE)


def test_seven_pictures_in_two_days() -> None:
    asked = Size(7, D(2), None, frozenset({"DE", "AT"}))
    assert smaller(asked) == Size(4, D("1.5"), 60, frozenset({"DE", "AT"}))  # 2 × 4/7 = 1.14, up to a half
    assert larger(asked, wider=wider) == Size(11, D("3.5"), None, EUROPE)  # 2 × 11/7 = 3.14


def test_days_that_were_typed_stay() -> None:
    asked = Size(6, D(1), 24, GERMANY)
    assert smaller(asked, days_follow=False) == Size(3, D(1), 12, GERMANY)


def test_what_cannot_be_smaller_or_larger_is_no_option() -> None:
    assert smaller(Size(1, D("0.5"), 3, GERMANY)) is None
    assert larger(Size(0, D(1), None, WORLD), wider=wider) is None


@given(
    st.builds(
        Size, st.integers(0, 60), st.integers(1, 12).map(lambda n: D(n) / 2), st.sampled_from(TERMS),
        st.sampled_from([GERMANY, EUROPE, WORLD]),
    )
)  # fmt: skip
def test_smaller_is_never_more_and_larger_never_less(asked: Size) -> None:
    def length(each: Size) -> float:
        return float("inf") if each.months is None else each.months

    less, more = smaller(asked), larger(asked, wider=wider)
    if less:
        assert (less.pictures <= asked.pictures, less.on_set <= asked.on_set, length(less) <= length(asked)) == (
            True,
            True,
            True,
        )
    if more:
        assert (more.pictures >= asked.pictures, more.on_set >= asked.on_set, length(more) >= length(asked)) == (
            True,
            True,
            True,
        )
