from datetime import date, time

import pytest

from shoots.plan.forms import MarkForm, ShotForm, cue_choices
from tests.factories.plan import ShotFactory
from tests.factories.shoots import ShootFactory

pytestmark = pytest.mark.django_db


def test_cues_are_said_in_both_languages():
    assert ("now", "now / jetzt") in [(key, words.lower()) for key, words in cue_choices("en", "de")]


def shot_form(**typed):
    return ShotForm({"version": 1, "title": "The yolk drops", **typed}, instance=ShotFactory())


def test_exposure_and_lens_are_typed_as_they_are_said():
    form = shot_form(shutter="1/8,000 s", f_number="5,6", lens_mm="90", frame_mm="200", motion="freeze")
    assert form.is_valid(), form.errors
    shot = form.save(commit=False)
    assert (shot.shutter, str(shot.f_number), shot.lens_mm, shot.frame_mm) == ("1/8000", "5.6", 90, 200)


@pytest.mark.parametrize(
    ("typed", "field", "says"),
    [
        ({"shutter": "fast"}, "shutter", "Enter a time such as 1/250, or 2 for two seconds."),
        ({"f_number": "0.1"}, "f_number", "Enter an aperture from 0.7 to 64."),
        ({"lens_mm": "1"}, "lens_mm", "Enter 4 to 1,200, or leave it empty."),
        ({"frame_mm": "9000"}, "frame_mm", "Enter 5 to 5,000, or leave it empty."),
        ({"substitution": "something"}, "substituted_what", "Say what was substituted: the ice cream beside the cake."),
        ({"substitution": "nothing", "substituted_what": "ice"}, "substitution", "You wrote what was substituted. Choose “Something was”, or empty the boxes."),
    ],
)  # fmt: skip
def test_what_cannot_be_is_said_beside_its_box(typed, field, says):
    assert shot_form(**typed).errors[field] == [says]


def test_what_is_written_as_substituted_is_an_answer():
    form = shot_form(substituted_what="Ice cream", substituted_by="mashed potato", substituted_why="it melts")
    assert form.is_valid(), form.errors
    assert form.save(commit=False).substitution == "something"
    assert shot_form(substitution="nothing").is_valid()
    assert shot_form().save(commit=False).substitution == ""


def test_a_press_in_the_list_names_what_and_which():
    form = MarkForm({"skipped": "12"})
    assert form.is_valid()
    assert form.cleaned_data == {"shot": 12, "press": "skipped"}
    assert not MarkForm({"melted": "12"}).is_valid()
    assert not MarkForm({"done": "all"}).is_valid()


def test_a_shot_of_several_days_is_planned_on_one_of_them():
    shoot = ShootFactory(first_on=date(2026, 11, 14), last_on=date(2026, 11, 15))
    shot = ShotFactory(shoot=shoot)
    form = ShotForm({"version": 1, "title": "Yolk", "planned_time": "9.30", "planned_day": "2"}, instance=shot)
    assert form.is_valid(), form.errors
    assert (form.instance.planned_day, form.instance.planned_time) == (2, time(9, 30))
    wrong = ShotForm({"version": 1, "title": "Yolk", "planned_day": "3"}, instance=ShotFactory(shoot=shoot))
    assert "planned_day" in wrong.errors
    assert "planned_day" not in shot_form().fields
