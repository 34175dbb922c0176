from datetime import UTC, datetime, time, timedelta

import pytest

from shoots.day.marks import Line, as_the_day_brings, cue_size, is_double_press, next_open, strokes, tries_left

AT = datetime(2026, 11, 14, 9, 0, tzinfo=UTC)


@pytest.mark.parametrize(("milliseconds", "double"), [(0, True), (699, True), (700, False), (-5, False)])
def test_a_press_within_700_milliseconds_is_the_same_press(milliseconds, double):
    assert is_double_press(AT, AT + timedelta(milliseconds=milliseconds)) is double


def test_the_first_press_of_a_day_is_no_double():
    assert not is_double_press(None, AT)


def test_tries_run_out_and_never_fall_below_none():
    assert [tries_left(4, 1), tries_left(1, 3), tries_left(None, 3)] == [3, 0, None]


def test_the_next_open_shot_comes_after_the_last_one_then_from_the_top():
    lines = [Line(1, "repeat"), Line(2, "done"), Line(3, "planned"), Line(4, "skipped")]
    assert [next_open(lines), next_open(lines, 1), next_open(lines, 3)] == [1, 3, 1]
    assert next_open([Line(1, "planned")], 1) == 1
    assert next_open([Line(2, "done")]) is None


def test_the_bar_shows_done_skipped_and_the_one_on_the_table():
    lines = [Line(1, "done"), Line(2, "skipped"), Line(3, "planned"), Line(4, "repeat")]
    assert strokes(lines, 3) == ("d", "s", "n", "")


@pytest.mark.parametrize(
    ("words", "size"),
    [
        (["wait", "now"], "short"),
        (["ans Bild heran"], "short"),
        (["anheben", "langsamer"], "long"),
        (["a", "b", "c"], "many"),
    ],
)
def test_cues_stand_as_large_as_their_longest_word_allows(words, size):
    assert cue_size(words) == size


def test_the_set_goes_by_the_run_and_a_shot_without_a_time_stays_behind_its_neighbour():
    planned = [(1, time(9, 40)), (2, time(9)), (2, None), (1, time(14)), (1, None), (1, time(11))]
    assert as_the_day_brings(planned) == [0, 5, 3, 4, 1, 2]
    assert as_the_day_brings([(1, None)] * 3) == [0, 1, 2]
