"""Forms read what people type and say plainly what is wrong with it."""

from datetime import date, time
from decimal import Decimal

import pytest
from crispy_forms.utils import render_crispy_form
from django import forms
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import QueryDict
from django.utils import translation

from shared.business.models import BusinessProfile
from shared.edits import EditedMeanwhile
from shared.errors import Refusal
from shared.words.forms import (
    ChoiceCards,
    ClockField,
    DayField,
    EditedFormMixin,
    FilesField,
    MoneyField,
    QuantityField,
    SegmentSelect,
    SheetForm,
    SheetModelForm,
    SignatureField,
)


class KitchenDay(SheetForm):
    shot_on = DayField(label="Day of the shoot", help_text="The first day if there are several.")
    begins_at = ClockField(label="From", required=False)
    day_rate = MoneyField(label="Day rate", min_value=Decimal(1))
    distance = QuantityField(label="Distance", required=False, unit="km")
    email = forms.EmailField(label="E-mail of the client", required=False)
    option = forms.ChoiceField(
        label="Option",
        choices=[("a", "A: Six pictures"), ("b", "B: Nine pictures")],
        widget=ChoiceCards(details={"a": "One day, no portrait"}, figures={"b": "€2,539.84"}),
    )
    recognisable = forms.ChoiceField(
        label="Recognisable?",
        choices=[("yes", "Yes"), ("no", "No"), ("ask", "Ask")],
        widget=SegmentSelect,
        required=False,
    )
    may_show = forms.BooleanField(label="I may show the pictures", required=False, help_text="From 1 Jan 2027")
    signature = SignatureField(required=False)


class ProfileForm(EditedFormMixin, SheetModelForm):
    class Meta:
        model = BusinessProfile
        fields = ["valid_from", "legal_name", "tax_percent"]


@pytest.mark.parametrize("typed", ["14 Nov 2026", "14.11.2026", "2026-11-14", "Saturday 14 November 2026"])
def test_a_day_is_read_in_each_usual_spelling(typed):
    assert DayField().clean(typed) == date(2026, 11, 14)


@pytest.mark.parametrize("typed", ["1.234,50", "1,234.50", "1234.5", "€1,234.50"])
def test_a_sum_is_read_with_the_marks_of_either_country(typed):
    assert MoneyField().clean(typed) == Decimal("1234.50")


@pytest.mark.parametrize(
    ("typed", "read"), [("9:30", time(9, 30)), ("09.30", time(9, 30)), ("9", time(9, 0)), ("1530", time(15, 30))]
)
def test_a_time_of_day_is_read_in_each_usual_spelling(typed, read):
    assert ClockField().clean(typed) == read


@pytest.mark.parametrize("typed", ["25:00", "half nine", "9:75"])
def test_a_time_that_is_none_is_refused_with_an_example(typed):
    with pytest.raises(forms.ValidationError, match="Write it like 9:30"):
        ClockField().clean(typed)


def test_a_form_with_mistakes_keeps_what_was_typed_and_joins_each_mistake_to_its_field():
    form = KitchenDay({"shot_on": "31 Feb 2026", "day_rate": "dear", "email": "maro@walnutlantern", "option": "c"})
    html = render_crispy_form(form)
    assert "“31 Feb 2026” is not a day of the calendar." in html
    assert 'value="31 Feb 2026"' in html
    assert 'value="dear"' in html
    assert 'aria-describedby="id_shot_on_helptext id_shot_on_error"' in html
    assert '<a href="#id_email">E-mail of the client</a>: Enter a full address' in html
    assert '<a href="#id_option_0">Option</a>: This choice is no longer offered. Choose again.' in html
    assert "style=" not in html


def test_a_missing_answer_is_said_in_our_words():
    errors = KitchenDay({}).errors
    assert errors["shot_on"] == ["This is missing. Fill it in."]
    assert errors["option"] == ["Nothing is chosen. Choose one."]


def test_a_message_of_the_forms_author_stands_before_ours():
    class Rate(SheetForm):
        rate = MoneyField(
            min_value=Decimal("0.01"), error_messages={"min_value": "Enter a day rate above 0, for example 780."}
        )

    assert Rate({"rate": "0"}).errors["rate"] == ["Enter a day rate above 0, for example 780."]


def test_fields_show_days_and_sums_as_the_page_writes_them():
    form = KitchenDay(
        initial={
            "shot_on": date(2026, 11, 14),
            "begins_at": time(9),
            "day_rate": Decimal("1780.50"),
            "distance": Decimal("46.0000"),
        }
    )
    html = render_crispy_form(form)
    for written in ("14 Nov 2026", "09:00", "1,780.50", "46"):
        assert f'value="{written}"' in html
    with translation.override("de"):
        assert 'value="1.780,50"' in render_crispy_form(KitchenDay(initial={"day_rate": Decimal("1780.50")}))


def test_what_a_field_shows_reads_back_as_the_same_value():
    for language in ("en", "de"):
        with translation.override(language):
            for field, value in (
                (MoneyField(), Decimal("1234.00")),
                (QuantityField(), Decimal("1234.5678")),
                (QuantityField(), Decimal(1234)),
            ):
                assert field.clean(field.prepare_value(value)) == value
                assert not field.has_changed(value, field.prepare_value(value))


def test_a_model_form_reads_days_and_decimals_freely(db):
    form = ProfileForm(
        {"valid_from": "1.1.2026", "legal_name": "Tindra Aldermoor", "tax_percent": "19,0", "version": "1"}
    )
    assert form.is_valid(), form.errors
    assert form.cleaned_data["valid_from"] == date(2026, 1, 1)
    assert form.cleaned_data["tax_percent"] == Decimal("19.0")


def test_after_someone_elses_edit_the_form_keeps_what_was_typed_and_carries_the_newest_version(db):
    profile = BusinessProfile.objects.create(valid_from=date(2026, 1, 1), legal_name="Tindra Aldermoor", version=7)
    form = ProfileForm(
        QueryDict("valid_from=2026-01-01&legal_name=Tindra+A.&tax_percent=19&version=6"), instance=profile
    )
    assert form.is_valid()
    form.say(EditedMeanwhile(profile.changed_at))
    html = render_crispy_form(form)
    assert 'value="Tindra A."' in html
    assert 'name="version" value="7"' in html
    assert "Your changes are kept below" in html


def test_a_form_without_its_version_is_called_too_old(db):
    form = ProfileForm({"valid_from": "1.1.2026", "legal_name": "Tindra Aldermoor", "tax_percent": "19"})
    assert form.errors["version"] == ["This page is too old to be saved. Copy what you typed and load it again."]


def test_a_refusal_is_said_at_the_top_of_the_form():
    form = KitchenDay({"shot_on": "14 Nov 2026", "day_rate": "780", "option": "a"})
    assert form.is_valid()
    form.say(Refusal("That day is taken.", "Nothing was changed.", "Choose another day."))
    assert "That day is taken. Nothing was changed. Choose another day." in render_crispy_form(form)


def test_a_signature_is_kept_only_as_the_drawing_our_field_makes():
    field = SignatureField()
    assert field.clean("M10 20L60 40L90 22") == "M10 20L60 40L90 22"
    with pytest.raises(forms.ValidationError, match="sign again"):
        field.clean('M10 20L60 40"/><script>')


def test_several_files_come_as_a_list():
    files = [SimpleUploadedFile("a.jpg", b"a"), SimpleUploadedFile("b.jpg", b"b")]
    assert [each.name for each in FilesField().clean(files)] == ["a.jpg", "b.jpg"]
    assert FilesField(required=False).clean([]) == []
