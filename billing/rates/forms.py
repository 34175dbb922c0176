from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from crispy_forms.layout import HTML, Fieldset, Layout, Row
from django import forms

from billing.rates.card import Card, CardCheck, check_card
from billing.rates.examples import code_in_words, decimal_of, price_examples
from billing.rates.models import RATE_FIELDS, MileageRate, RateCard
from billing.rates.places import UnknownCountries, countries_written, read_countries
from billing.rates.queries import usage_card
from billing.rates.sheet import (
    CLASSES,
    COPIES,
    COUNTRY_LINES,
    MEDIA_CODES,
    PICTURES,
    TERM,
    WIDE,
    Sheet,
    card_of,
    place_of,
    row_of,
    sheet_of,
)
from shared.words.formats import has_cents, known_currency
from shared.words.forms import DayField, EditedFormMixin, MoneyField, QuantityField, SheetForm, SheetModelForm
from shoots.uses.media_tree import MEDIA
from shoots.uses.territory_tree import TERRITORIES

UNITS = {
    "day_rate": "a day", "half_day_rate": "a half day", "hours_in_day": "hours", "overtime_rate": "an hour", "preparation_rate": "an hour",
    "finishing_rate": "an hour", "finishing_minutes": "minutes", "cut_out_minutes": "minutes", "composite_minutes": "minutes", "assistant_rate": "a day", "stylist_rate": "a day", "kit_rate": "a day",
    "operator_rate": "a day", "preparation_day_rate": "a day", "studio_rate": "a day", "kitchen_rate": "a day", "props_rate": "a day", "hire_markup_percent": "%",
    "food_rate": "a picture", "food_markup_percent": "%", "travel_day_rate": "a day", "travel_day_km": "km", "half_travel_day_rate": "a half day",
    "half_travel_day_km": "km", "rush_percent": "%", "rush_days": "days",
    "km_rate": "a km", "markup_percent": "%", "deposit_percent": "%", "deposit_days": "days", "tolerance_percent": "%", "validity_days": "days",
    "cancellation_free_days": "working days", "cancellation_percent": "%", "cancellation_day_percent": "%", "lapse_days": "days",
}  # fmt: skip
PERCENTAGES = (
    "markup_percent",
    "hire_markup_percent",
    "food_markup_percent",
    "rush_percent",
    "deposit_percent",
    "tolerance_percent",
    "cancellation_percent",
    "cancellation_day_percent",
)


class RateCardForm(EditedFormMixin, SheetModelForm):
    """The rates and usual terms from a day on."""

    class Meta:
        model = RateCard
        fields = RATE_FIELDS
        labels = {
            "valid_from": "Valid from", "currency": "Currency", "day_rate": "Day on set", "half_day_rate": "Half day on set",
            "hours_in_day": "A day on set has up to", "overtime_rate": "Overtime", "preparation_rate": "Getting ready",
            "finishing_rate": "Finishing and further corrections", "finishing_minutes": "Finishing one picture takes",
            "cut_out_minutes": "A cut-out takes", "composite_minutes": "A composite of several frames takes",
            "assistant_rate": "Assistant or kitchen hand", "stylist_rate": "Stylist", "kit_rate": "Kit",
            "operator_rate": "Digital operator", "preparation_day_rate": "Whole day of getting ready", "studio_rate": "Studio hire",
            "kitchen_rate": "Kitchen hire", "props_rate": "Prop hire", "hire_markup_percent": "Mark-up on hires", "is_hire_capped": "Hires are at most",
            "food_rate": "Groceries", "food_markup_percent": "Mark-up on groceries", "is_food_capped": "Groceries are at most",
            "travel_day_rate": "Travel day, each way", "travel_day_km": "A travel day from, one way", "half_travel_day_rate": "Half travel day, each way",
            "half_travel_day_km": "Half a travel day from, one way", "rush_percent": "Asked for late", "rush_days": "Late is up to, before the day",
            "km_rate": "Travel", "markup_percent": "Mark-up on helpers", "deposit_percent": "Deposit", "deposit_days": "Deposit due after acceptance",
            "tolerance_percent": "An estimate may rise by", "validity_days": "An estimate is valid for", "rounds_included": "Rounds of corrections included",
            "cancellation_free_days": "Cancelling is free until", "cancellation_percent": "After that, of the day rate",
            "cancellation_day_percent": "On the day, of the day rate", "lapse_days": "Use lapses if unpaid after the due date by",
        }  # fmt: skip
        help_texts = {
            "km_rate": "What a client pays for a kilometre, there and back.",
            "kit_rate": "0 if your kit is part of the day rate.",
            "preparation_day_rate": "Instead of so many hours as a day has. 0 if you reckon by the hour.",
            "studio_rate": "For a shoot in your own kitchen or studio. 0 if it is part of the day rate.",
            "kitchen_rate": "For a kitchen that is neither yours nor the client’s.",
            "props_rate": "For a shoot with a prop stylist.",
            "food_rate": "Where the client’s own kitchen does not cook.",
            "is_hire_capped": "The client pays what was spent, up to the sum.",
            "is_food_capped": "The client pays what was spent, up to the sum.",
            "rush_percent": "On getting ready, days on set and finishing. 0 for none; 25 is common practice, no source.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, unit in UNITS.items():
            self.fields[name].widget.unit = unit
        self.helper.layout = Layout(
            Row("valid_from", "currency"),
            Fieldset(
                "Work", Row("day_rate", "half_day_rate"), Row("hours_in_day", "overtime_rate"), Row("preparation_rate", "finishing_rate"),
                "preparation_day_rate", Row("finishing_minutes", "cut_out_minutes", "composite_minutes", css_class="fields-3"), Row("rush_percent", "rush_days"),
            ),
            Fieldset("Helpers", Row("assistant_rate", "stylist_rate"), Row("operator_rate", "markup_percent")),
            Fieldset(
                "Hires and groceries", HTML('<p class="help">Starting values are common practice, no source. At 0 no line is drafted.</p>'),
                Row("kit_rate", "studio_rate"), Row("kitchen_rate", "props_rate"), Row("hire_markup_percent", "is_hire_capped"),
                Row("food_rate", "food_markup_percent"), "is_food_capped",
            ),
            Fieldset("Travel", Row("km_rate"), Row("half_travel_day_rate", "half_travel_day_km"), Row("travel_day_rate", "travel_day_km")),
            Fieldset(
                "Usual terms", HTML('<p class="help">Common practice, no source. Have your terms checked by a licensed adviser.</p>'),
                Row("deposit_percent", "deposit_days"), Row("tolerance_percent", "validity_days"), Row("rounds_included", "lapse_days"),
                Row("cancellation_free_days", "cancellation_percent"), Row("cancellation_day_percent"),
            ),
            "version",
        )  # fmt: skip

    def clean_currency(self) -> str:
        code = self.cleaned_data["currency"].strip().upper()
        if not known_currency(code):
            raise forms.ValidationError("Enter a currency of three letters, for example EUR.")
        if not has_cents(code):
            raise forms.ValidationError(
                "Papers are reckoned to the cent. Enter a currency with two decimals, for example EUR."
            )
        return code

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for name, value in list(cleaned.items()):
            if name.endswith("_rate") and value is not None and value < 0:
                self.add_error(name, "Enter a rate of 0 or more, for example 780.")
        if cleaned.get("day_rate") == 0:
            self.add_error("day_rate", "Enter a day rate above 0, for example 780.")
        if not 0 < (cleaned.get("hours_in_day") or 1) <= 24:
            self.add_error("hours_in_day", "A day on set has more than 0 and up to 24 hours.")
        for name in PERCENTAGES:
            if not 0 <= (cleaned.get(name) or 0) <= 100:
                self.add_error(name, "Enter a percentage from 0 to 100.")
        if (cleaned.get("half_travel_day_km") or 0) > (cleaned.get("travel_day_km") or 0):
            self.add_error("travel_day_km", "A whole travel day is for as far as half a one, or farther.")
        if (cleaned.get("cancellation_percent") or 0) > (cleaned.get("cancellation_day_percent") or 0):
            self.add_error("cancellation_day_percent", "On the day a cancellation costs at least as much as before.")
        return cleaned


FIGURE_ROWS = {
    "base": ("Base fee", "What a fee starts from, before any factor."),
    "minimum": ("Minimum", "No licence costs less."),
    "step": ("Rounded up to", "A fee is a multiple of this."),
    "handling": ("Handling", "Added when a use is changed later."),
}
CLASS_WORDS = {
    "editorial": "Informs, in a magazine, a book or a report.",
    "stock": "Sold through a library or to buyers not known yet.",
    "advertising": "Promotes or sells, own website and menu included.",
    "all": "The most that several of them cost.",
}
WHOLE_WORDS = {"media_web": "The most that several of them cost.", "media_print": "The most that several of them cost.", "media_all": "The most that all of it costs.", "territories_world": "The most that all countries cost."}  # fmt: skip
END_ROWS = {
    "term_start": ("The first day", "From here the factor rises to the first length below."),
    "term_perpetual": ("Without end", ""),
    "exclusivity_trade": ("Other firms of the same trade", ""),
    "exclusivity_picture": ("Everybody else", ""),
    "picture_bands_rest": ("Each further picture", ""),
    "copy_bands_rest": ("More, or without limit", ""),
    "territories_rest": ("Every other country", ""),
}
LIMITS = {TERM: "Months", PICTURES: "Pictures", COPIES: "Copies", COUNTRY_LINES: "Countries"}
MOST_LINES = 40
MOST_FACTOR, MOST_MONEY, MOST_FEE = Decimal(100), Decimal(100_000), Decimal(100_000_000)
ONE_LINE_ONLY = "Fill in both, or leave both empty."


@dataclass(frozen=True, slots=True)
class LineList:
    """A list of lines on the page: its hidden count, each line's limit and factor, and the line that waits for lines.js."""

    prefix: str
    label: str
    total: forms.BoundField
    lines: list[tuple[forms.BoundField, forms.BoundField]]
    empty: tuple[forms.BoundField, forms.BoundField]
    most: int


class UsageFeesForm(EditedFormMixin, SheetForm):
    """The usage-fee card of ``instance``, row by row. ``starts_on`` asks for the day from which new fees count.

    After a clean form ``card`` is the typed card, fair by ``check_card``, and ``check`` holds what is odd about it.
    """

    card: Card | None = None
    check: CardCheck | None = None

    def __init__(self, *args: Any, instance: RateCard, starts_on: date | None = None, **kwargs: Any) -> None:
        self.instance = instance
        super().__init__(*args, **kwargs)
        sheet = sheet_of(usage_card(instance))
        if starts_on is not None:
            self.fields["valid_from"] = DayField(label="Valid from", initial=starts_on)
        for name, (label, words) in _rows().items():
            kind = MoneyField if name in FIGURE_ROWS else QuantityField
            self.fields[name] = kind(
                label=label, help_text=words, initial=decimal_of(sheet.figures[name]), max_value=MOST_MONEY if name in FIGURE_ROWS else MOST_FACTOR
            )  # fmt: skip
        self._counts: dict[str, int] = {}
        self._add_lines(TERM, sheet.term)
        self._add_lines(PICTURES, sheet.picture_bands)
        self._add_lines(COPIES, sheet.copy_bands)
        self._add_lines(COUNTRY_LINES, [(countries_written(codes), factor) for codes, factor in sheet.countries])
        for field in self.fields.values():
            self.dress(field)

    def money(self) -> list[forms.BoundField]:
        return [self[name] for name in FIGURE_ROWS]

    def classes(self) -> list[forms.BoundField]:
        return [self[row_of("classes", code)] for code in CLASSES]

    def media(self) -> list[tuple[forms.BoundField, bool]]:
        """Each medium, and whether it is part of a wider one."""
        return [(self[row_of("media", code)], "." in code) for code in MEDIA_CODES]

    def wide_places(self) -> list[forms.BoundField]:
        return [self[row_of("territories", code)] for code in WIDE]

    def term_lines(self) -> LineList:
        return self._lines(TERM)

    def picture_lines(self) -> LineList:
        return self._lines(PICTURES)

    def copy_lines(self) -> LineList:
        return self._lines(COPIES)

    def country_lines(self) -> LineList:
        return self._lines(COUNTRY_LINES)

    def _lines(self, prefix: str) -> LineList:
        lines = [(self[f"{prefix}-{n}-limit"], self[f"{prefix}-{n}-factor"]) for n in range(self._counts[prefix])]
        names = f"{prefix}-__prefix__-limit", f"{prefix}-__prefix__-factor"
        empty = []
        for name, field in zip(names, _line(prefix, ""), strict=True):
            self.dress(field)
            empty.append(field.get_bound_field(self, name))
        return LineList(prefix, LIMITS[prefix], self[f"{prefix}-TOTAL_FORMS"], lines, (empty[0], empty[1]), MOST_LINES)

    def _add_lines(self, prefix: str, known: Sequence[tuple[Any, Fraction]]) -> None:
        name = f"{prefix}-TOTAL_FORMS"
        typed = str(self.data.get(name, "")) if self.is_bound else ""
        count = min(int(typed), MOST_LINES) if typed.isdecimal() and len(typed) < 4 else len(known) + 1
        self._counts[prefix] = count
        self.fields[name] = forms.IntegerField(required=False, initial=count, widget=forms.HiddenInput)
        for n in range(count):
            limit, factor = _line(prefix, n + 1)
            if n < len(known):
                first, weight = known[n]
                limit.initial, factor.initial = first if isinstance(first, str) else Decimal(first), decimal_of(weight)
                if isinstance(first, str):  # a browser that cannot size the box by its text
                    limit.widget.attrs["rows"] = 1 + len(first) // 28
            self.fields[f"{prefix}-{n}-limit"], self.fields[f"{prefix}-{n}-factor"] = limit, factor

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for name, value in list(cleaned.items()):
            if (
                value is not None
                and isinstance(value, Decimal)
                and value <= 0
                and not (name == "handling" and not value)
            ):
                self.add_error(name, _above_nothing(name))
        points = {prefix: self._points(prefix) for prefix in (TERM, PICTURES, COPIES)}
        countries = self._countries()
        if self.errors:
            return cleaned
        figures = {name: Fraction(cleaned[name]) for name in _rows()}
        card = card_of(Sheet(figures, points[TERM], points[PICTURES], points[COPIES], countries))
        self.check = check_card(card, media=MEDIA.nodes, territories=TERRITORIES.nodes)
        for remark in self.check.errors:
            self._say_remark(*place_of(remark), remark.sentence)
        dearest = max(each.fee for each in price_examples(card, country="DE", currency="EUR"))
        if dearest > MOST_FEE:
            self.add_error(
                "base", "With these factors one picture could cost more than 100 million. Lower the base or a factor."
            )
        if not self.errors:
            self.card = card
        return cleaned

    def _points(self, prefix: str) -> list[tuple[int, Fraction]]:
        found: dict[int, Fraction] = {}
        for n in range(self._counts[prefix]):
            limit, factor = self._line_values(prefix, n)
            if limit is None or factor is None:
                continue
            if int(limit) in found:
                self.add_error(f"{prefix}-{n}-limit", f"{int(limit):,} is here twice. Empty one of the two lines.")
            found[int(limit)] = Fraction(factor)
        return sorted(found.items())

    def _countries(self) -> list[tuple[tuple[str, ...], Fraction]]:
        found, known = [], set()
        for n in range(self._counts[COUNTRY_LINES]):
            text, factor = self._line_values(COUNTRY_LINES, n)
            if not text or factor is None:
                continue
            try:
                codes = read_countries(text)
            except UnknownCountries as error:
                self.add_error(f"{COUNTRY_LINES}-{n}-limit", str(error))
                continue
            twice = countries_written(known & set(codes))
            if twice:
                self.add_error(
                    f"{COUNTRY_LINES}-{n}-limit", f"In a line above already: {twice}. Keep them in one line."
                )
            known |= set(codes)
            found.append((codes, Fraction(factor)))
        return found

    def _line_values(self, prefix: str, n: int) -> tuple[Any, Decimal | None]:
        names = f"{prefix}-{n}-limit", f"{prefix}-{n}-factor"
        limit, factor = (self.cleaned_data.get(name) for name in names)
        if not (set(names) & set(self.errors)) and (limit in (None, "")) != (factor is None):
            self.add_error(names[0] if limit in (None, "") else names[1], ONE_LINE_ONLY)
        return limit, factor

    def _say_remark(self, name: str, at: int | None, sentence: str) -> None:
        """Under the row a remark is about; a list finds its line by months or limit."""
        lines = range(self._counts.get(name, 0)) if at is not None else ()
        names = [f"{name}-{n}-factor" for n in lines if self.cleaned_data[f"{name}-{n}-limit"] == at]
        field = names[0] if names else name if name in self.fields else None
        if field is None or sentence not in self.errors.get(field, []):
            self.add_error(field, sentence)


def _rows() -> dict[str, tuple[str, str]]:
    """Every row that is one figure: its name, label and line of words."""
    rows = dict(FIGURE_ROWS)
    rows |= {row_of("classes", code): (code_in_words("classes", code), CLASS_WORDS[code]) for code in CLASSES}
    for tree, codes in (("media", MEDIA_CODES), ("territories", WIDE)):
        names = {row_of(tree, code): code_in_words(tree, code) for code in codes}
        rows |= {name: (label, WHOLE_WORDS.get(name, "")) for name, label in names.items()}
    return rows | END_ROWS


def _line(prefix: str, number: int | str) -> tuple[forms.Field, forms.Field]:
    """The two fields of a line: how many, or which countries; and what they weigh."""
    label = f"{LIMITS[prefix]}, line {number}"
    if prefix == COUNTRY_LINES:
        limit: forms.Field = forms.CharField(
            label=label, required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 1})
        )
    else:
        words = {"max_decimal_places": "Enter a whole number, for example 12.", "min_value": "Enter 1 or more."}
        limit = QuantityField(
            label=label, required=False, decimal_places=0, min_value=1, max_value=1_000_000_000, error_messages=words
        )
    return limit, QuantityField(label=f"Factor, line {number}", required=False, max_value=MOST_FACTOR)


def _above_nothing(name: str) -> str:
    if name == "handling":
        return "Enter 0 or more, for example 40."
    return (
        "Enter a sum above 0, for example 180." if name in FIGURE_ROWS else "Enter a factor above 0, for example 1.2."
    )


class MileageRateForm(SheetModelForm):
    """A rate for own travel in the books."""

    class Meta:
        model = MileageRate
        fields = ("name", "valid_from", "unit", "rate", "threshold", "rate_above", "source")
        labels = {
            "name": "Vehicle", "valid_from": "Valid from", "unit": "Unit", "rate": "Rate", "threshold": "Lower rate above this distance a year",
            "rate_above": "Rate above it", "source": "Where the rate comes from",
        }  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper.layout = Layout(
            Row("name", "valid_from"), Row("rate", "unit"), Row("threshold", "rate_above"), "source"
        )

    def validate_unique(self) -> None:
        """The same name and day replaces the rate, so it is no mistake."""

    def validate_constraints(self) -> None:
        """As above."""

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if (cleaned.get("rate") or 0) < 0 or (cleaned.get("rate_above") or 0) < 0:
            self.add_error("rate", "Enter a rate of 0 or more, for example 0.30.")
        if (cleaned.get("threshold") is None) != (cleaned.get("rate_above") is None):
            self.add_error("threshold", "Enter both the distance and the rate above it, or neither.")
        return cleaned
