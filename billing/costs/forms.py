from datetime import date
from decimal import Decimal
from typing import Any

from crispy_forms.layout import Field, Layout
from django import forms

from billing.costs.actions import YEAR_FIELDS
from billing.costs.cost_of_business import InvalidYear
from billing.costs.living import LONGEST_LIFE, Cost, CostKind, Living, days_in, reckon_year, shootable_days
from billing.costs.models import KIND_WORDS, CostYear
from billing.costs.queries import FIRST_YEAR, LAST_YEAR, days_off
from shared.words.formats import has_cents, known_currency
from shared.words.forms import DayField, EditedFormMixin, MoneyField, SheetForm, SheetModelForm

MOST = Decimal(10_000_000)
MOST_LINES = 40
NOT_BELOW_0 = "Enter a sum of 0 or more, for example 480."
TOO_MUCH = "Enter at most 10 million. Is the point in the right place?"
SUM_WORDS = {"min_value": NOT_BELOW_0, "max_value": TOO_MUCH, "max_digits": TOO_MUCH, "max_whole_digits": TOO_MUCH}
DAY_FIELDS = ("weekends", "holidays", "leave", "sick", "unpaid")
UNITS = {
    "tax_percent": "%", "profit_percent": "%", "half_day_percent": "% of a day", "hours_in_day": "hours", "income": "a year",
    **dict.fromkeys((*DAY_FIELDS, "days_typed"), "days"),
}  # fmt: skip
WHOLE_YEARS = f"Enter whole years from 1 to {LONGEST_LIFE}, for example 4."


class CostYearForm(EditedFormMixin, SheetModelForm):
    """A year without its lines: what to take home, tax and profit, and the days."""

    class Meta:
        model = CostYear
        fields = YEAR_FIELDS
        labels = {
            "currency": "Currency", "income": "To live on", "tax_percent": "Tax put aside", "profit_percent": "Profit on top",
            "weekends": "Weekends", "holidays": "Public holidays", "leave": "Leave", "sick": "Sick days",
            "unpaid": "Work nobody pays", "days_typed": "Or: days for clients, as you count them",
            "half_day_percent": "A half day costs", "hours_in_day": "A day has",
        }  # fmt: skip
        help_texts = {
            "income": "What you want to have in the hand, for rent, food and life.",
            "tax_percent": "Of what is taken home: 30 % of 40,000 puts 12,000 aside. What you owe, and whether pension or insurance lowers it, your tax adviser says.",
            "profit_percent": "On everything above, to grow or for a bad year. 0 is fine.",
            "holidays": "Those that fall on a weekday where you work.",
            "unpaid": "Offers, accounts, tests, finishing not billed by the day, looking for work.",
            "days_typed": "Leave empty to use the count from the lines above.",
        }  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, unit in UNITS.items():
            self.fields[name].widget.unit = unit
        for name in (*DAY_FIELDS, "tax_percent", "profit_percent"):
            self.fields[name].required = False
        self.fields["days_typed"].required = False
        self.fields["currency"].widget.attrs["class"] += " short"

    def clean_currency(self) -> str:
        code = self.cleaned_data["currency"].strip().upper()
        if not known_currency(code) or not has_cents(code):
            raise forms.ValidationError("Enter a currency of three letters with two decimals, for example EUR.")
        return code

    def clean_income(self) -> Decimal:
        income: Decimal = self.cleaned_data["income"]
        if income < 0:
            raise forms.ValidationError("Enter a sum of 0 or more, for example 40,000.")
        if income > MOST:
            raise forms.ValidationError(TOO_MUCH)
        return income

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for name in (*DAY_FIELDS, "tax_percent", "profit_percent"):
            if name not in self.errors and cleaned.get(name) is None:
                cleaned[name] = Decimal(0)
        for name in ("tax_percent", "profit_percent"):
            if not 0 <= (cleaned.get(name) or 0) <= 100:
                self.add_error(name, "Enter a percentage from 0 to 100.")
        if not 0 < (cleaned.get("half_day_percent") or 1) <= 100 or cleaned.get("half_day_percent") == 0:
            self.add_error(
                "half_day_percent", "A half day is above 0 and at most 100 per cent of a day, for example 60."
            )
        if not 0 < (cleaned.get("hours_in_day") or 1) <= 24 or cleaned.get("hours_in_day") == 0:
            self.add_error("hours_in_day", "A day has more than 0 and up to 24 hours, for example 8.")
        for name in DAY_FIELDS:
            if not 0 <= (cleaned.get(name) or 0) <= days_in(self.instance.year):
                self.add_error(name, f"Enter days from 0 to {days_in(self.instance.year)}.")
        if not {*DAY_FIELDS, "days_typed"} & set(self.errors):
            self._check_days(cleaned)
        return cleaned

    def _check_days(self, cleaned: dict[str, Any]) -> None:
        row = CostYear(**{name: cleaned.get(name) for name in (*DAY_FIELDS, "days_typed")})
        at = "unpaid" if row.days_typed is None else "days_typed"
        try:
            left = shootable_days(self.instance.year, days_off(row))
        except InvalidYear as wrong:
            few = row.days_typed is not None and row.days_typed <= 0
            self.add_error(at, "Enter the days you work for paying clients, for example 100." if few else str(wrong))
        else:
            if left < 1:
                self.add_error(at, "At least one day must be left for paying clients.")


class KitLineForm(SheetForm):
    """A piece of kit: bought once, used up evenly over its years."""

    what = forms.CharField(required=False, max_length=80, label="Kit")
    price = MoneyField(required=False, label="Price", min_value=0, max_value=MOST, error_messages=SUM_WORDS)
    years = forms.IntegerField(
        required=False, label="Used for", min_value=1, max_value=LONGEST_LIFE,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off", "class": "num short"}),
        error_messages={"invalid": WHOLE_YEARS, "min_value": WHOLE_YEARS, "max_value": WHOLE_YEARS},
    )  # fmt: skip
    bought_on = DayField(required=False, label="Bought on")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["years"].widget.unit = "years"
        _lay_out(self, "what", "price", "years", "bought_on")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if any(cleaned.get(name) not in (None, "") for name in ("what", "price", "years", "bought_on")):
            _want(self, "what", "Say what it is, for example Camera body.")
            _want(self, "price", "Enter what it cost, for example 2,400.")
            _want(self, "years", WHOLE_YEARS)
            _want(self, "bought_on", "Enter the day it was bought, for example 1 Jul 2026.")
            day = cleaned.get("bought_on")
            if day and not 1950 <= day.year <= 2200:
                self.add_error("bought_on", "Is the year right? Enter a day such as 1 Jul 2026.")
        return cleaned


class YearlyLineForm(SheetForm):
    """A cost of the whole year."""

    kind = forms.ChoiceField(
        label="What for",
        required=False,
        choices=[("", "No cost"), *((str(each), words) for each, words in KIND_WORDS.items() if each != CostKind.KIT)],
    )
    what = forms.CharField(required=False, max_length=80, label="In your words")
    price = MoneyField(required=False, label="Sum a year", min_value=0, max_value=MOST, error_messages=SUM_WORDS)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _lay_out(self, "kind", "what", "price")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if any(cleaned.get(name) not in (None, "") for name in ("what", "price")) and not cleaned.get("kind"):
            self.add_error("kind", "Choose what this cost is for.")
        if cleaned.get("kind"):
            _want(self, "price", "Enter the sum of a year; 12 times what a month costs.")
            if cleaned["kind"] == CostKind.OTHER:
                _want(self, "what", "Say what it is, for example Training.")
        return cleaned


def _lay_out(form: Any, *names: str) -> None:
    form.helper.layout = Layout(*(Field(name, wrapper_class="half") for name in (*names, "DELETE")))


def _want(form: Any, name: str, words: str) -> None:
    if name not in form.errors and form.cleaned_data.get(name) in (None, ""):
        form.add_error(name, words)


class CostLines(forms.BaseFormSet):  # type: ignore[type-arg]
    """Lines of a year: those filled in and not removed."""

    def add_fields(self, form: Any, index: int | None) -> None:
        super().add_fields(form, index)
        form.fields["DELETE"].label = "Remove"

    def costs(self) -> list[Cost]:
        found = []
        for form in self.forms:
            typed = form.cleaned_data
            if typed.get("price") is None or typed.get("DELETE"):
                continue
            kind = CostKind(typed.get("kind") or CostKind.KIT)
            name = typed["what"] or KIND_WORDS[kind]
            found.append(Cost(kind, name, typed["price"], typed.get("years") or 1, typed.get("bought_on")))
        return found


KitFormSet = forms.formset_factory(KitLineForm, formset=CostLines, extra=1, max_num=MOST_LINES, can_delete=True)
YearlyFormSet = forms.formset_factory(YearlyLineForm, formset=CostLines, extra=2, max_num=MOST_LINES, can_delete=True)


class CostSheet:
    """The whole page: the year, its kit and its yearly costs. ``costs`` are the lines the page begins with."""

    def __init__(self, data: Any, *, row: CostYear, costs: list[Cost]) -> None:
        self.form = CostYearForm(data, instance=row)
        kit = [
            {"what": each.what, "price": each.price, "years": each.years, "bought_on": each.bought_on}
            for each in costs
            if each.kind == CostKind.KIT
        ]
        yearly = [
            {"kind": str(each.kind), "what": each.what, "price": each.price}
            for each in costs
            if each.kind != CostKind.KIT
        ]
        if not costs:
            yearly = [{"kind": str(each)} for each in KIND_WORDS if each not in {CostKind.KIT, CostKind.OTHER}]
        self.kit = KitFormSet(data, prefix="kit", initial=kit)
        self.yearly = YearlyFormSet(data, prefix="yearly", initial=yearly)

    def is_valid(self) -> bool:
        return all([self.form.is_valid(), self.kit.is_valid(), self.yearly.is_valid()])

    def costs(self) -> list[Cost]:
        return [*self.kit.costs(), *self.yearly.costs()]

    def living(self) -> Living:
        """The year as typed, reckoned; only after ``is_valid``."""
        typed, row = self.form.cleaned_data, self.form.instance
        return reckon_year(
            row.year,
            self.costs(),
            days_off(row),
            **{
                name: typed[name]
                for name in ("income", "tax_percent", "profit_percent", "half_day_percent", "hours_in_day")
            },
        )

    def mistakes(self) -> list[str]:
        """Every sentence about what cannot be, with the name of its field: for the sums beside the form."""
        found = []
        for form in (self.form, *self.kit.forms, *self.yearly.forms):
            for name, errors in form.errors.items():
                label = form.fields[name].label if name in form.fields else ""
                found += [f"{label}: {error}" if label else str(error) for error in errors]
        return found


STEPS = [
    ("5", "The next multiple of 5"),
    ("1", "The next whole figure"),
    ("10", "The next multiple of 10"),
    ("0", "Not rounded"),
]


class TakeRatesForm(SheetForm):
    """From when the figures count as day rate, and how they are rounded up."""

    valid_from = DayField(label="Counts from")
    step = forms.ChoiceField(label="Rounded up to", choices=STEPS, initial="5")

    def __init__(self, *args: Any, on: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["valid_from"].initial = on

    def steps(self) -> list[tuple[Decimal, str]]:
        return [(Decimal(step), words) for step, words in STEPS]

    def clean_step(self) -> Decimal:
        return Decimal(self.cleaned_data["step"])

    def clean_valid_from(self) -> date:
        day: date = self.cleaned_data["valid_from"]
        if not FIRST_YEAR <= day.year <= LAST_YEAR:
            raise forms.ValidationError("Is the year right? Enter a day such as 1 Jan 2027.")
        return day
