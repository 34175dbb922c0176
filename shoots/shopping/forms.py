import hashlib
from decimal import Decimal
from typing import Any

from crispy_forms.layout import Fieldset, Layout, Row
from django import forms
from django.core.exceptions import ValidationError

from shared.words.forms import EditedFormMixin, MoneyField, QuantityField, SheetForm, SheetModelForm, TickList
from shoots.brief.forms import LinesField
from shoots.brief.models import Dish, Shoot
from shoots.plan.models import Repeat, Shot
from shoots.shopping.lists import Line
from shoots.shopping.models import DishShopping, MomentTakes, Prop
from shoots.shopping.quantities import MOST_TAKES
from shoots.shopping.queries import MomentNeed, Shopping, ToBuy

HIGHEST_PRICE = Decimal(100_000)


class DishShoppingForm(EditedFormMixin, SheetModelForm):
    """Portions of a dish for the pictures, and what becomes of what is left."""

    class Meta:
        model = DishShopping
        fields = [
            "serves", "eaters", "heroes", "stand_ins", "garnish", "eaten_portions", "eaten_by", "given_portions", "given_to", "thrown_portions",
        ]  # fmt: skip
        labels = {
            "serves": "The recipe serves", "eaters": "Will be eaten, portions", "heroes": "Heroes", "stand_ins": "Stand-ins",
            "garnish": "Hero garnish set aside", "eaten_portions": "Eaten, portions", "eaten_by": "By whom", "given_portions": "Given away, portions",
            "given_to": "To whom", "thrown_portions": "Thrown away, portions",
        }  # fmt: skip
        help_texts = {
            "eaters": "Apart from what stands on set.",
            "heroes": "Two: one is the spare.",
            "stand_ins": "For setting the light, before the hero is plated.",
            "garnish": "The best leaves, slices or seeds, kept cold until the hero.",
            "eaten_portions": "Only food nobody touched on set, in time, and when the cook says so.",
        }

    def __init__(self, *args: Any, says: int | None, yields: str, cooked: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.cooked = cooked
        serves = self.fields["serves"]
        serves.help_text = (
            f"Read from “{yields}”: {says}. Fill in only where the cook counts otherwise."
            if says
            else "The recipe names no number of portions. Ask the cook."
        )
        self.helper.layout = Layout(
            "version",
            Fieldset("How much is cooked", Row("serves", "eaters"), Row("heroes", "stand_ins"), "garnish"),
            Fieldset(
                "What becomes of what is left", Row("eaten_portions", "eaten_by"), Row("given_portions", "given_to"), "thrown_portions",
            ),
        )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        names = ("eaten_portions", "given_portions", "thrown_portions")
        for name in names:
            if found.get(name) is not None and found[name] < 0:
                self.add_error(name, "Enter 0 portions or more.")
        left = sum(found.get(name) or Decimal(0) for name in names)
        if self.cooked and left > self.cooked:
            self.add_error(
                "thrown_portions", f"These are {left:f} portions together, but {self.cooked} are cooked. Count again."
            )
        return found

    def typed_values(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self.Meta.fields}


class TakesForm(EditedFormMixin, SheetModelForm):
    """How often a moment is wanted, and what its takes use. Only what its kind asks for is shown."""

    used = forms.MultipleChoiceField(label="What it uses", required=False, widget=TickList)
    part = QuantityField(label="How much of it, in one recipe", required=False, decimal_places=3, max_digits=9)

    class Meta:
        model = MomentTakes
        fields = ["can_split", "per_take", "batch"]
        labels = {
            "can_split": "It can be split and held back",
            "per_take": "Spent with each take",
            "batch": "Portions in one batch",
        }
        help_texts = {
            "can_split": "Ask the cook. Without this tick each take is cooked anew.",
            "per_take": "Pieces of the ingredient, or of the finished dish where none is ticked.",
            "batch": "For each take after the first, so many portions are cooked more.",
        }

    def __init__(self, *args: Any, need: MomentNeed, lines: list[Line], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.need = need
        repeat, self.shots = need.moment.repeat, need.shots
        self.fields["used"].choices = [(str(place), line.text) for place, line in enumerate(lines)]
        self.texts = [line.text for line in lines]
        self.fields["used"].help_text = (
            "A guess from the words of the step. Change it where it is wrong." if need.use.is_guess else "As you chose."
        )
        self.fields["part"].help_text = "Empty: all of the line. Counts where one line is ticked."
        self.initial |= {"used": [str(place) for place in need.use.lines], "part": self.instance.part}
        names = []
        for shot in need.shots:
            name = f"tries_{shot.pk}"
            label = "Takes wanted" if len(need.shots) == 1 else f"Takes wanted of “{shot.title}”"
            self.fields[name] = forms.IntegerField(
                label=label, required=False, min_value=1, max_value=MOST_TAKES, initial=shot.tries,
                help_text="Empty: once." if repeat != Repeat.FREE else "Empty: as often as you like.",
            )  # fmt: skip
            self.dress(self.fields[name])
            names.append(name)
        shown = {
            Repeat.KEEP: ["can_split", "used", "part", "batch"],
            Repeat.MANY: ["per_take", "used"],
            Repeat.ONCE: ["batch"],
        }.get(Repeat(repeat), [])
        if not lines:
            shown = [name for name in shown if name not in ("used", "part")]
        for name in ("can_split", "per_take", "batch", "used", "part"):
            if name not in shown:
                del self.fields[name]
        self.helper.layout = Layout("version", *names, *shown)

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        if found.get("part") is not None and len(found.get("used", ())) != 1:
            self.add_error("part", "This counts for one line. Tick one above, or leave it empty.")
        return found

    def typed_values(self) -> dict[str, Any]:
        """The fields of the row that were shown; ticks that say the same as the guess leave it a guess."""
        typed = self.cleaned_data
        values = {name: typed[name] for name in ("can_split", "per_take", "batch", "part") if name in self.fields}
        if "used" in self.fields:
            chosen = [int(place) for place in typed["used"]]
            is_same = self.need.use.is_guess and tuple(chosen) == self.need.use.lines
            values["lines"] = None if is_same else [self.texts[place] for place in chosen]
        return values

    def tries(self) -> dict[int, int | None]:
        """Takes by the keys of shots."""
        return {shot.pk: self.cleaned_data[f"tries_{shot.pk}"] for shot in self.shots}

    def clean_part(self) -> Any:
        part = self.cleaned_data["part"]
        if part is not None and part <= 0:
            raise ValidationError("Enter more than 0, or leave it empty for all of the line.")
        return part


class OverForm(forms.Form):
    """Which texts typed by hand the new ones may take the place of."""

    over = forms.MultipleChoiceField(required=False, widget=forms.CheckboxSelectMultiple)

    def __init__(self, *args: Any, keys: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["over"].choices = [(key, key) for key in keys]  # type: ignore[attr-defined]


class PurchaseForm(SheetForm):
    """One line of the buying list. It carries what it was opened with, so that only what a person changed is written."""

    price = MoneyField(label="Price", required=False, min_value=0, max_value=HIGHEST_PRICE, show_hidden_initial=True)
    where = forms.CharField(label="Where", required=False, max_length=80, show_hidden_initial=True)
    who = forms.CharField(label="Who buys", required=False, max_length=80, show_hidden_initial=True)
    is_bought = forms.BooleanField(label="Bought", required=False, show_hidden_initial=True)

    def __init__(self, *args: Any, to_buy: ToBuy, **kwargs: Any) -> None:
        purchase = to_buy.purchase
        kwargs["initial"] = {
            "price": purchase.price, "where": purchase.where, "who": purchase.who, "is_bought": purchase.bought_at is not None,
        }  # fmt: skip
        super().__init__(*args, **kwargs)
        self.to_buy = to_buy
        for name, field in self.fields.items():
            if self.is_bound and self[name].errors:
                field.widget.attrs |= {"aria-invalid": "true", "aria-describedby": f"{self[name].auto_id}_error"}

    def changes(self) -> dict[str, Any]:
        """What was changed, by name."""
        return {name: self.cleaned_data[name] for name in self.changed_data}


def purchase_forms(shopping: Shopping, typed: Any = None) -> list[PurchaseForm]:
    """A form for each line of the list, named by its key. A line that came up after the page was opened is left as it is."""
    found = []
    for each in shopping.lines:
        prefix = f"line-{hashlib.sha256(each.key.encode()).hexdigest()[:12]}"
        is_there = typed is not None and f"{prefix}-where" in typed
        found.append(PurchaseForm(typed if is_there else None, to_buy=each, prefix=prefix))
    return found


class AddPurchasesForm(SheetForm):
    words = LinesField(
        longest=160,
        required=True,
        label="Also to buy, one a line",
        help_text="What no recipe names: ice, baking paper, gloves.",
    )


class PropForm(EditedFormMixin, SheetModelForm):
    dishes = forms.ModelMultipleChoiceField(
        label="For the dishes",
        queryset=Dish.objects.none(),
        required=False,
        widget=TickList,
        help_text="None ticked: the whole day.",
    )

    class Meta:
        model = Prop
        fields = [
            "what", "count", "kind", "shot", "source", "from_whom", "goes_back_to", "back_by", "damage",
        ]  # fmt: skip
        labels = {
            "what": "What", "count": "How many", "kind": "Kind", "shot": "For the shot", "source": "Comes from",
            "from_whom": "From whom", "goes_back_to": "Goes back to", "back_by": "Back by", "damage": "Chips and breakage",
        }  # fmt: skip
        help_texts = {
            "from_whom": "For example the hire firm, or whose shelf in the house.",
            "damage": "Broken glass or china near food: throw the food away.",
        }

    def __init__(self, *args: Any, shoot: Shoot, is_new: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        dishes = shoot.dishes.all()
        self.fields["dishes"].queryset = dishes
        self.initial["dishes"] = list(self.instance.dishes.all()) if self.instance.pk else []
        self.fields["shot"].queryset = Shot.objects.filter(shoot=shoot)
        self.fields["shot"].empty_label = "No one shot"
        first = ("what", "count", "kind")
        places: list[Any] = [
            *(["dishes"] if dishes else []), "shot", Row("source", "from_whom"), Row("goes_back_to", "back_by"),
        ]  # fmt: skip
        if not dishes:
            del self.fields["dishes"]
        if is_new:
            del self.fields["damage"]
        else:
            places.append("damage")
        self.helper.layout = Layout("version", Row(*first, css_class="fields-3"), *places)

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        if found.get("source") == Prop.Source.HIRED and not found.get("from_whom"):
            self.add_error("from_whom", "Name whom it is hired from, so that it finds its way back.")
        return found

    def typed_values(self) -> dict[str, Any]:
        """The fields of the row that were shown."""
        return {name: self.cleaned_data[name] for name in self.Meta.fields if name in self.fields}

    def dishes_ticked(self) -> list[Dish]:
        """The dishes that were ticked."""
        return list(self.cleaned_data.get("dishes", ()))


class CountForm(SheetForm):
    """Props counted out or back, by whoever counts."""

    name = forms.CharField(label="Counted by", max_length=120)

    def __init__(self, *args: Any, props: list[Prop], way: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.props, self.way = props, way
        for prop in props:
            now = prop.counted_out if way == "out" else prop.counted_back
            expected = prop.count if way == "out" else prop.counted_out if prop.counted_out is not None else prop.count
            self.fields[f"count_{prop.pk}"] = forms.IntegerField(
                label=prop.what, required=False, min_value=0, max_value=999, initial=expected if now is None else now
            )
            if way == "back":
                self.fields[f"damage_{prop.pk}"] = forms.CharField(
                    label=f"Chips and breakage: {prop.what}", required=False, max_length=200, initial=prop.damage
                )
        for field in self.fields.values():
            self.dress(field)

    def rows(self) -> list[tuple[Prop, Any, Any]]:
        """Each prop with its boxes."""
        return [
            (prop, self[f"count_{prop.pk}"], self[f"damage_{prop.pk}"] if self.way == "back" else None)
            for prop in self.props
        ]

    def counts(self) -> dict[int, int | None]:
        return {prop.pk: self.cleaned_data[f"count_{prop.pk}"] for prop in self.props}

    def damages(self) -> dict[int, str]:
        return {prop.pk: self.cleaned_data[f"damage_{prop.pk}"] for prop in self.props} if self.way == "back" else {}
