"""Pictures counted by the finishing they ask for."""

from billing.estimates.finishing import counts_by_kind


def test_what_is_not_named_is_simple() -> None:
    assert counts_by_kind(["cut_out", "simple", "cut_out"], 5) == {"simple": 3, "cut_out": 2}


def test_fewer_pictures_are_the_first_of_those_named() -> None:
    assert counts_by_kind(["cut_out", "composite", "simple"], 2) == {"cut_out": 1, "composite": 1}


def test_no_picture_is_none_that_is_simple() -> None:
    assert counts_by_kind(["composite"], 0) == {"simple": 0}
