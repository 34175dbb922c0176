from shoots.safety.forms import TickForm
from shoots.safety.lists import FRAME_LINES


def test_open_lines_are_ticked_by_a_name():
    form = TickForm({"items": ["grey"], "name": "Jorun"}, lines=FRAME_LINES)
    assert form.is_valid(), form.errors
    assert form.cleaned_data == {"items": ["grey"], "name": "Jorun"}


def test_nothing_ticked_or_nobody_named_says_what_to_do():
    form = TickForm({"name": " "}, lines=FRAME_LINES)
    assert "Tick what you looked at" in form.errors["items"][0]
    assert "Enter who looked" in form.errors["name"][0]
    assert "items" in TickForm({"items": ["arm"], "name": "Jorun"}, lines=FRAME_LINES).errors
