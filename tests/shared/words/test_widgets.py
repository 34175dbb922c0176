"""What is written without a template is what Django's own templates write."""

import pytest
from django import forms
from django.forms.renderers import DjangoTemplates, get_default_renderer
from django.test.html import parse_html
from django.utils.safestring import mark_safe

from shared.words.widgets import SheetRenderer

GROUPED = [("", "Nothing"), ("Europe", [("DE", "Germany & <more>"), (7, 2026)]), ("x'\"", "Quotes '\"")]
ODD = {"class": "in", "required": True, "hidden": False, "data-note": "<a href='#'>\"&</a>", "maxlength": 4, "title": mark_safe("a &amp; b")}  # fmt: skip
WIDGETS = {
    "select": (forms.Select(ODD, choices=GROUPED), "DE"),
    "several_chosen": (forms.SelectMultiple(ODD, choices=GROUPED), ["7", ""]),
    "yes_or_no": (forms.NullBooleanSelect(), True),
    "text": (forms.TextInput(ODD), '<b>"it\'s" & more</b>'),
    "safe_text": (forms.TextInput(), mark_safe("a &amp; b")),
    "empty": (forms.TextInput(), None),
    "nought": (forms.NumberInput(), 0),
    "email": (forms.EmailInput(), "maro@walnutlantern.example"),
    "hidden": (forms.HiddenInput(), "7"),
    "tick": (forms.CheckboxInput(ODD), True),
    "no_tick": (forms.CheckboxInput(), False),
    "file": (forms.FileInput({"accept": "image/jpeg"}), None),
    "password": (forms.PasswordInput(render_value=True), "x"),
    "long_text": (forms.Textarea(ODD), "<b>"),
    "radios": (forms.RadioSelect(ODD, choices=GROUPED), "DE"),
    "ticks": (forms.CheckboxSelectMultiple(ODD, choices=GROUPED), ["DE", "7"]),
}


@pytest.mark.parametrize("case", WIDGETS)
def test_a_widget_reads_as_django_writes_it(case):
    widget, value = WIDGETS[case]
    ours = widget.render("use", value, {"id": "id_use"}, renderer=SheetRenderer())
    assert parse_html(ours) == parse_html(widget.render("use", value, {"id": "id_use"}, renderer=DjangoTemplates()))


@pytest.mark.parametrize("case", ["radios", "ticks"])
def test_a_choice_by_itself_reads_as_django_writes_it(case):
    widget, value = WIDGETS[case]

    class Sheet(forms.Form):
        use = forms.CharField(widget=widget)

    def tags(renderer):
        return [choice.tag() for choice in Sheet(initial={"use": value}, renderer=renderer)["use"]]

    ours, theirs = tags(SheetRenderer()), tags(DjangoTemplates())
    assert [parse_html(each) for each in ours] == [parse_html(each) for each in theirs]
    assert len(ours) == 4


def test_the_house_writes_its_forms_this_way():
    assert isinstance(get_default_renderer(), SheetRenderer)
