from shoots.day.forms import HoldLimitsForm, MarkForm, OkForm, PressForm, TickForm
from shoots.day.holding import LIMITS


def test_undo_is_no_button_of_a_shot():
    assert PressForm({"outcome": "done"}).is_valid()
    assert not PressForm({"outcome": "undo"}).is_valid()


def test_an_ok_has_a_name():
    assert not OkForm({"name": "  "}).is_valid()


def test_a_plain_mark_is_one_of_five():
    assert MarkForm({"kind": "note", "note": "Dropped"}).is_valid()
    assert not MarkForm({"kind": "done"}).is_valid()
    assert not MarkForm({"kind": "undo", "about": "seven"}).is_valid()


def test_a_tick_names_who_looked():
    form = TickForm({"item": "cards", "name": " "})
    assert form.errors["name"] == ["Enter the name of whoever looked."]
    assert TickForm({"item": "cards", "name": "Jorun"}).is_valid()
    assert not TickForm({"item": "wine", "name": "Jorun"}).is_valid()


def test_hold_limits_are_whole_minutes_up_to_ten_hours():
    minutes = {limit.key: str(limit.minutes) for limit in LIMITS}
    assert HoldLimitsForm(minutes, limits=LIMITS).is_valid()
    for wrong in ("0", "601", "soon", ""):
        assert list(HoldLimitsForm(minutes | {"foam": wrong}, limits=LIMITS).errors) == ["foam"]
