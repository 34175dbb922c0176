"""What a form looks like and how it reads what people type. Every form of the product subclasses ``SheetForm`` or ``SheetModelForm``."""

import re
from collections.abc import Iterable
from datetime import date, datetime, time
from decimal import Decimal
from functools import cache
from typing import Any
from zoneinfo import available_timezones

from crispy_forms.helper import FormHelper
from django import forms
from django.core.exceptions import ValidationError
from django.db import models
from django.forms.models import ModelFormMetaclass
from django.utils.translation import get_language
from django.utils.translation import gettext_lazy as _

from shared.addresses import key_in
from shared.errors import Refusal
from shared.words.formats import InvalidDay, InvalidDecimal, day, number, parse_day, parse_decimal, plain_spaces
from shared.words.signature import SignatureUnreadable, read_signature


@cache
def zone_names() -> frozenset[str]:
    """Every time zone this machine knows. Finding them opens some hundred files, so it is done once."""
    return frozenset(available_timezones())


class DateInput(forms.TextInput):
    """A day in words, as the page's language writes it. Typing is quicker than a calendar and takes every usual spelling."""

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__({"autocomplete": "off", "class": "short", **(attrs or {})})

    def format_value(self, value: Any) -> str | None:
        if isinstance(value, datetime):
            value = value.date()
        if isinstance(value, date):
            return plain_spaces(day(value, get_language() or "en"))
        return value or None


class DecimalInput(forms.TextInput):
    """A number in a text box: digits at the right, the figures keyboard on a phone. ``unit`` stands behind the box."""

    def __init__(self, attrs: dict[str, Any] | None = None, *, unit: str = "") -> None:
        super().__init__({"inputmode": "decimal", "autocomplete": "off", "class": "num short", **(attrs or {})})
        self.unit = unit


class ChoiceCards(forms.RadioSelect):
    """Options where the whole card presses. ``details`` and ``figures`` map a value to its second line and its sum."""

    look = "choices"

    def __init__(
        self,
        attrs: dict[str, Any] | None = None,
        *,
        details: dict[str, str] | None = None,
        figures: dict[str, str] | None = None,
    ) -> None:
        super().__init__(attrs)
        self.details = details or {}
        self.figures = figures or {}

    def create_option(self, name: str, value: Any, *args: Any, **kwargs: Any) -> dict[str, Any]:
        option = super().create_option(name, value, *args, **kwargs)
        option["detail"] = self.details.get(str(value), "")
        option["figure"] = self.figures.get(str(value), "")
        return option


class SegmentSelect(forms.RadioSelect):
    """Two to four short answers side by side: Yes, No, Ask."""

    look = "segment"


class TickList(forms.CheckboxSelectMultiple):
    """Ticks in two columns on a desk, one on a phone."""

    look = "two_columns"


class DayField(forms.DateField):
    """A day: 14 Nov 2026, 14.11.2026 or 2026-11-14."""

    widget = DateInput

    def to_python(self, value: Any) -> date | None:
        if value in self.empty_values or isinstance(value, date):
            return super().to_python(value)
        try:
            return parse_day(str(value))
        except InvalidDay as error:
            raise ValidationError(str(error), code="invalid") from None

    def has_changed(self, initial: Any, data: Any) -> bool:
        try:
            return self.to_python(initial) != self.to_python(data)
        except ValidationError:
            return True


class ClockField(forms.TimeField):
    """A time of day by the 24-hour clock: 9:30, 09.30, 0930 or 9."""

    widget = forms.TextInput(attrs={"class": "short", "autocomplete": "off"})

    def to_python(self, value: Any) -> time | None:
        if value in self.empty_values or isinstance(value, time):
            return super().to_python(value)
        found = re.fullmatch(r"(\d{1,2})(?:[:.h ]?(\d{2}))?", str(value).strip())
        if found and int(found[1]) < 24 and int(found[2] or 0) < 60:
            return time(int(found[1]), int(found[2] or 0))
        raise ValidationError(
            _("“%(typed)s” is not a time of day. Write it like 9:30 or 15:00.") % {"typed": value}, code="invalid"
        )

    def prepare_value(self, value: Any) -> Any:
        return f"{value:%H:%M}" if isinstance(value, time) else value


class QuantityField(forms.DecimalField):
    """A quantity or rate with up to four decimals, written 1.234,5 or 1,234.5."""

    widget = DecimalInput
    decimals = 4

    def __init__(self, *, unit: str = "", **kwargs: Any) -> None:
        kwargs.setdefault("max_digits", 14)
        kwargs.setdefault("decimal_places", self.decimals)
        if unit:
            kwargs.setdefault("widget", DecimalInput(unit=unit))
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> Decimal | None:
        if value in self.empty_values or isinstance(value, Decimal | int):
            return super().to_python(value)
        try:
            return parse_decimal(str(value), get_language())
        except InvalidDecimal as error:
            raise ValidationError(str(error), code="invalid") from None

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, Decimal):
            return number(value, get_language() or "en").replace("\u2212", "-")
        return value

    def has_changed(self, initial: Any, data: Any) -> bool:
        try:
            return self.to_python(initial) != self.to_python(data)
        except ValidationError:
            return True


class MoneyField(QuantityField):
    """A sum of money with two decimals."""

    decimals = 2

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("max_digits", 12)
        super().__init__(**kwargs)

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, Decimal) and value == value.quantize(Decimal("0.01")):
            whole = number(value, get_language() or "en", 2).replace("\u2212", "-")
            mark = "," if (get_language() or "en").startswith("de") else "."
            figure, _mark, decimals = whole.partition(mark)
            return f"{figure}{mark}{decimals:0<2}"
        return super().prepare_value(value)


class SignatureField(forms.CharField):
    """The signature drawn on the page, as the SVG path that ``sign.js`` writes into its hidden input."""

    widget = forms.HiddenInput

    def clean(self, value: Any) -> str:
        path = super().clean(value)
        try:
            return read_signature(path) if path else ""
        except SignatureUnreadable as error:
            raise ValidationError(str(error), code="invalid") from None


class FilesInput(forms.FileInput):
    """Several files at once; without script they arrive in one form."""

    allow_multiple_selected = True

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__({"multiple": True, **(attrs or {})})


class FilesField(forms.FileField):
    """A list of files, each checked as one."""

    widget = FilesInput

    def clean(self, data: Any, initial: Any = None) -> list[Any]:
        files = data if isinstance(data, list | tuple) else [data]
        return [super(FilesField, self).clean(each, initial) for each in files if each or self.required]


WORDS: dict[str, Any] = {
    "required": _("This is missing. Fill it in."),
    "max_length": _("Use at most %(limit_value)d characters. This has %(show_value)d."),
    "min_length": _("Use at least %(limit_value)d characters. This has %(show_value)d."),
    "min_value": _("Enter %(limit_value)s or more."),
    "max_value": _("Enter %(limit_value)s or less."),
    "max_digits": _("This number is too long. Use at most %(max)s digits."),
    "max_decimal_places": _("Use at most %(max)s decimals."),
    "max_whole_digits": _("This number is too large. Use at most %(max)s digits before the decimal mark."),
    "invalid_choice": _("This choice is no longer offered. Choose again."),
    "null_characters_not_allowed": _("This holds a character that cannot be kept. Type it again."),
}
WORDS_BY_FIELD: tuple[tuple[type[forms.Field], dict[str, Any]], ...] = (
    (forms.EmailField, {"invalid": _("Enter a full address, for example maro@walnutlantern.example.")}),
    (forms.URLField, {"invalid": _("Enter a full web address, for example https://walnutlantern.example.")}),
    (forms.FileField, {
        "required": _("No file was chosen. Choose one."), "empty": _("The file is empty. Choose another."), "missing": _("No file was chosen. Choose one."),
        "invalid": _("The file did not arrive. Choose it again."),
    }),
    (forms.ChoiceField, {"required": _("Nothing is chosen. Choose one.")}),
    (forms.ModelChoiceField, {"required": _("Nothing is chosen. Choose one.")}),
    (forms.BooleanField, {"required": _("This needs your tick.")}),
    (forms.IntegerField, {"invalid": _("Enter a whole number, for example 9.")}),
    (forms.TimeField, {"invalid": _("This is not a time of day. Write it like 9:30 or 15:00.")}),
)  # fmt: skip


def sheet_field(db_field: Any, **kwargs: Any) -> Any:
    """The form field of a model field: days, times and decimals are typed freely, the rest as Django does."""
    if isinstance(db_field, models.DateField) and not isinstance(db_field, models.DateTimeField):
        kwargs.setdefault("form_class", DayField)
    elif isinstance(db_field, models.TimeField):
        kwargs.setdefault("form_class", ClockField)
    elif isinstance(db_field, models.DecimalField):
        kwargs.setdefault("form_class", MoneyField if db_field.decimal_places == 2 else QuantityField)
    return db_field.formfield(**kwargs)


class SheetModelFormMetaclass(ModelFormMetaclass):
    """Gives each model form our fields without a line in every ``Meta``."""

    def __new__(mcs, name: str, bases: tuple[type, ...], attrs: dict[str, Any]) -> Any:
        meta = attrs.get("Meta")
        if meta is not None and not hasattr(meta, "formfield_callback"):
            meta.formfield_callback = sheet_field
        return super().__new__(mcs, name, bases, attrs)


class Sheet:
    """What plain forms and model forms share: the helper of the template pack, our classes and our words for mistakes."""

    fields: dict[str, forms.Field]

    def lay_out(self) -> None:
        helper = FormHelper()
        helper.form_tag = False
        helper.disable_csrf = True
        self.helper = helper
        for field in self.fields.values():
            self.dress(field)

    def dress(self, field: forms.Field) -> None:
        widget = field.widget
        parts = getattr(widget, "widgets", [widget])
        for part in parts:
            if (
                not isinstance(part, forms.CheckboxInput | forms.RadioSelect | forms.CheckboxSelectMultiple)
                and not part.is_hidden
            ):
                names = part.attrs.get("class", "").split()
                part.attrs["class"] = " ".join(["in", *(each for each in names if each != "in")])
        if (
            isinstance(widget, forms.Textarea) and widget.attrs.get("rows") == "10"
        ):  # Django's own; a tall box asks for long texts
            widget.attrs["rows"] = "4"
        wording, as_django = dict(WORDS), {}
        for kind, words in WORDS_BY_FIELD:
            if isinstance(field, kind):
                wording.update(words)
        for part in reversed(type(field).__mro__):
            as_django.update(getattr(part, "default_error_messages", {}))
        for code, sentence in wording.items():
            if field.error_messages.get(code) in (None, as_django.get(code)):
                field.error_messages[code] = sentence

    def say(self, refusal: Refusal) -> None:
        """Show a refusal at the top of this form, with everything that was typed kept below it."""
        self.add_error(None, str(refusal))  # type: ignore[attr-defined]


MOST_TO_CHOOSE = 100


def show_latest(field: Any, chosen: Any, *, at: str) -> None:
    """Shortens a long list of rows to the first hundred in its order and the chosen one; a row not shown is taken all the same.

    ``chosen`` is a row, a key, or what came with the request; ``at`` says where to begin for one that is not shown.
    A studio of some years has thousands of shoots: nobody finds one in a list of all, and writing it out takes a second.
    """
    key = key_in(getattr(chosen, "pk", chosen))
    rows = list(field.queryset[: MOST_TO_CHOOSE + 1])
    is_short = len(rows) > MOST_TO_CHOOSE
    rows = rows[:MOST_TO_CHOOSE]
    if is_short:
        if key is not None and all(row.pk != key for row in rows):
            rows += list(field.queryset.filter(pk=key))
        field.help_text = " ".join(filter(None, [field.help_text, f"The latest {MOST_TO_CHOOSE} stand here. {at}"]))
    show_rows(field, rows)


def show_rows(field: Any, rows: Iterable[models.Model]) -> None:
    """Lists these rows, read already, and what the field says for none; any row of its queryset is taken."""
    empty = [("", field.empty_label)] if field.empty_label is not None else []
    field.widget.choices = [*empty, *((row.pk, field.label_from_instance(row)) for row in rows)]


class SheetForm(Sheet, forms.Form):
    """A form that is no table row."""

    use_required_attribute = False

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("label_suffix", "")
        super().__init__(*args, **kwargs)
        self.lay_out()


class SheetModelForm(Sheet, forms.ModelForm, metaclass=SheetModelFormMetaclass):
    """A form for a table row. Dates, times and decimals are read as people write them."""

    use_required_attribute = False

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("label_suffix", "")
        super().__init__(*args, **kwargs)
        self.lay_out()


TOO_OLD = _("This page is too old to be saved. Copy what you typed and load it again.")


class EditedFormMixin:
    """For rows with a ``version`` (``shared.edits.Edited``): the form carries the version it was opened with.

    Put it before ``SheetModelForm``. The view hands ``form.cleaned_data["version"]`` to ``save_edit`` and, when that raises
    ``EditedMeanwhile``, calls ``form.say(refusal)`` and answers 422: what was typed stays, and the next save goes on top.
    """

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["version"] = forms.IntegerField(  # type: ignore[attr-defined]
            widget=forms.HiddenInput,
            initial=getattr(self.instance, "version", 1),  # type: ignore[attr-defined]
            error_messages={"required": TOO_OLD, "invalid": TOO_OLD},
        )

    def say(self, refusal: Refusal) -> None:
        super().say(refusal)  # type: ignore[misc]
        row = self.instance  # type: ignore[attr-defined]
        if row.pk:
            newest = type(row)._default_manager.values_list("version", flat=True).get(pk=row.pk)
            self.data = self.data.copy()  # type: ignore[has-type]
            self.data[self.add_prefix("version")] = str(newest)  # type: ignore[attr-defined]
