from shoots.day.forms import OkForm, PressForm


def test_undo_is_no_button_of_a_shot():
    assert PressForm({"outcome": "done"}).is_valid()
    assert not PressForm({"outcome": "undo"}).is_valid()


def test_an_ok_has_a_name():
    assert not OkForm({"name": "  "}).is_valid()
