from shoots.day.holding import END_OF_DAY, LIMITS, limits_with


def test_the_studios_own_minutes_stand_over_ours():
    own = {limit.key: limit.minutes for limit in limits_with({"foam": 4, "unheard_of": 9})}
    assert own["foam"] == 4
    assert own["hollandaise"] == 10
    assert "unheard_of" not in own


def test_the_shorter_end_of_each_span_is_counted():
    # Minutes after plating: common practice, no source. Steam 1-2, ice cream 2-3, a fried crust 5-10, foam 3, cut herbs 15.
    minutes = {limit.key: limit.minutes for limit in LIMITS}
    assert [minutes[key] for key in ("steam", "ice_cream", "crust", "foam", "herbs")] == [1, 2, 5, 3, 15]


def test_keys_are_used_once_and_fit_their_column():
    for rows in (LIMITS, END_OF_DAY):
        keys = [row.key for row in rows]
        assert len(set(keys)) == len(keys)
        assert max(map(len, keys)) <= 20
