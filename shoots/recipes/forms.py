from decimal import Decimal
from typing import Any

from crispy_forms.layout import Field, Fieldset, Layout, Row
from django import forms
from django.core.exceptions import ValidationError

from shared.words.forms import ChoiceCards, EditedFormMixin, QuantityField, SheetForm, SheetModelForm, TickList
from shoots.brief.forms import split_words
from shoots.brief.models import Dish
from shoots.plan.forms import cue_choices
from shoots.plan.ingredients import Ingredient
from shoots.plan.lexicon import Lexicon
from shoots.plan.models import Moment, Recipe, Step
from shoots.plan.moments import moment_of
from shoots.plan.queries import ingredients_of
from shoots.plan.recipe import LONGEST_TEXT, MOST_SERVINGS
from shoots.recipes.actions import LONGEST_STEPS
from shoots.recipes.lines import step_lines
from shoots.recipes.models import OwnKind
from shoots.recipes.own_words import LONGEST_WORD, WordRefused, check_word
from shoots.recipes.queries import KEEP, REPLACE, Rereading, kind_choices, values_of

MINE = "mine"
MOST_IN_LIST = 12
LONGEST_STEP = 5_000
LONGEST_SHOWN = LONGEST_TEXT  # signs of a refused text that come back into the field


class RecipeForm(SheetForm):
    """A recipe as it is pasted."""

    text = forms.CharField(
        label="The recipe",
        max_length=5 * LONGEST_TEXT,
        strip=False,
        widget=forms.Textarea({"rows": "14"}),
        help_text="Plain text, recipe data (JSON-LD), or the source of the page it stands on. English is read; other languages are kept as lines.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["text"].error_messages["required"] = (
            "No recipe was pasted. Paste its text, or the source of the page it stands on."
        )
        self.fields["text"].error_messages["max_length"] = (
            "This text has %(show_value)d characters, more than a recipe has. Nothing was read. "
            f"Paste one recipe at a time. The field holds the first {LONGEST_SHOWN:,} characters of it; the rest is where you copied it from."
        )

    def shorten(self) -> bool:
        """A text far too long is not sent back whole, only its beginning. Whether it was cut."""
        typed = self.data.get("text", "")
        if len(typed) <= 5 * LONGEST_TEXT:
            return False
        self.data = self.data.copy()
        self.data["text"] = typed[:LONGEST_SHOWN]
        self.fields[
            "text"
        ].help_text = f"The field holds the first {LONGEST_SHOWN:,} characters of what you pasted. The rest is where you copied it from."
        return True


class RereadForm(RecipeForm):
    """The question before a second text: what becomes of what was done by hand."""

    edits = forms.ChoiceField(
        label="What becomes of what you did by hand",
        choices=[
            (MINE, "Keep mine, read nothing"),
            (KEEP, "Take the new text, keep my moments"),
            (REPLACE, "Replace all"),
        ],
        widget=ChoiceCards,
    )

    def __init__(self, *args: Any, edits: Any, rereading: Rereading | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["text"].label = "The new text"
        self.fields["edits"].error_messages["required"] = (
            f"You changed this recipe by hand: {edits}. Nothing was read yet. Choose what becomes of it."
        )
        self.fields["edits"].widget.details = {
            MINE: "Nothing changes. The new text stays in the field, for another try."
        }
        if rereading:
            self.explain(rereading)

    def explain(self, rereading: Rereading) -> None:
        """Say beside each way what it would do."""
        stay, go, come = rereading.stay, rereading.go, rereading.come
        self.fields["edits"].widget.details |= {
            KEEP: f"Title, ingredients and steps are those of the new text. {_said(stay, 'moment')} of yours {_stay(stay)}; "
            f"{_said(go, 'draft')} {_make(go)} room for those of the new text. What you took out stays out.",
            REPLACE: f"Title, ingredients and steps are those of the new text, with its {_said(come, 'drafted moment')}. "
            "Shots on the list stay.",
        }


class WordsField(forms.CharField):
    """A few words with commas between them; the value is a list."""

    def prepare_value(self, value: Any) -> Any:
        return ", ".join(value) if isinstance(value, list | tuple) else value

    def to_python(self, value: Any) -> Any:
        words = split_words(super().to_python(value))
        if len(words) > MOST_IN_LIST:
            raise ValidationError(f"These are {len(words)}. Name at most {MOST_IN_LIST}.")
        return words

    def run_validators(self, value: Any) -> None:
        """The length was measured as a list."""

    def has_changed(self, initial: Any, data: Any) -> bool:
        return list(initial or ()) != split_words(data or "")


class SeenForm(EditedFormMixin, SheetModelForm):
    """What moments and kinds of moment have in common: what the camera sees of them and what they ask for."""

    cues = forms.MultipleChoiceField(
        label="Cues",
        required=False,
        widget=TickList,
        help_text="Only these words are said, and the cook’s call comes first.",
    )
    hazards = WordsField(
        label="Hot, sharp or slippery", required=False, help_text="With commas, for example: hot oil, steam."
    )
    prepare = WordsField(
        label="Have ready and hold back",
        required=False,
        help_text="With commas, for example: half the liquid, a second jug.",
    )
    LISTS = ("cues", "hazards", "prepare")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["cues"].choices = cue_choices("en", "de")
        for name in ("angle", "distance", "motion"):
            self.fields[name].choices = [("", "Not said"), *self.fields[name].choices[1:]]
        for name in self.LISTS:
            self.initial.setdefault(name, getattr(self.instance, name))

    def changed_values(self) -> dict[str, Any]:
        """Every field of the row, as typed."""
        return {name: self.cleaned_data[name] for name in (*self._meta.fields, *self.LISTS)}


SEEN_LABELS = {
    "visible": "What can be seen",
    "repeat": "How often it can be had",
    "peak_seconds": "Seconds it lasts",
    "angle": "Camera place",
    "distance": "Distance",
    "motion": "Motion",
    "light": "Light",
    "interest": "Worth a picture",
    "note": "Note for the cook",
}
SEEN_HELP = {"light": "For example: back, dark ground."}


class MomentForm(SeenForm):
    action = forms.ChoiceField(
        label="Kind of moment",
        required=False,
        help_text="Another kind brings its own camera, cues and hazards, where you changed nothing yourself.",
    )
    learn = forms.CharField(
        label="Learn a word for this kind",
        required=False,
        max_length=400,
        help_text="A word of the recipe, for example “flash”: next time it is read as this kind of moment. Empty: nothing is learnt.",
    )

    class Meta:
        model = Moment
        fields = ["what", "action", "step", "visible", "repeat", "peak_seconds", "angle", "distance", "motion", "light", "interest", "note"]  # fmt: skip
        labels = {"what": "What happens", "step": "In the step", **SEEN_LABELS}
        help_texts = SEEN_HELP

    def __init__(self, *args: Any, lexicon: Lexicon, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lexicon = lexicon
        self.fields["step"].queryset = Step.objects.filter(recipe__dish_id=self.instance.dish_id)
        self.fields["step"].empty_label = "No step"
        kinds = [("", "None of the list"), *kind_choices(lexicon)]
        kept = self.instance.action
        if kept and not lexicon.knows(kept):
            kinds.append((kept, "A kind that went"))
        self.fields["action"].choices = kinds
        self.helper.layout = Layout(
            "version",
            "what",
            Row("action", "step"),
            "visible",
            Row("repeat", "peak_seconds", "interest", css_class="fields-3"),
            Fieldset("The camera", Row("angle", "distance"), Row("motion", "light")),
            Fieldset("The cook", "cues", Row("hazards", "prepare"), "note"),
            "learn",
        )

    def clean_learn(self) -> str:
        return _learnable(self.cleaned_data["learn"])

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        if found.get("learn") and not found.get("action"):
            self.add_error("learn", "Choose the kind of moment it means, too.")
        return found

    def changed_values(self) -> dict[str, Any]:
        """Every field of the row, as typed; a new kind fills what was left as it was."""
        typed = super().changed_values()
        if "action" not in self.changed_data or not self.lexicon.knows(typed["action"]):
            return typed
        usual = values_of(moment_of(typed["action"], 0, self.lexicon))
        return {**typed, **{name: value for name, value in usual.items() if name not in self.changed_data}}


class AddMomentForm(SheetForm):
    """A moment the recipe does not name. The kind of moment brings its cues, hazards and what to have ready."""

    what = forms.CharField(label="What happens", max_length=200)
    action = forms.ChoiceField(label="Most like", required=False)
    step = forms.ModelChoiceField(
        label="In the step", queryset=Step.objects.none(), required=False, empty_label="No step"
    )

    def __init__(self, *args: Any, dish: Dish, lexicon: Lexicon, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lexicon = lexicon
        self.fields["action"].choices = [("", "None of the list"), *kind_choices(lexicon)]
        self.fields["step"].queryset = Step.objects.filter(recipe__dish=dish)
        self.helper.layout = Layout("what", Row("action", "step"))

    def moment_values(self) -> dict[str, Any]:
        """What was typed, and what the list knows of such a kind."""
        typed = dict(self.cleaned_data)
        return {**typed, **values_of(moment_of(typed["action"], 0, self.lexicon))} if typed["action"] else typed


class SplitMomentForm(SheetForm):
    """One moment as two."""

    first = forms.CharField(label="First", max_length=200)
    second = forms.CharField(label="Then", max_length=200)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper.layout = Layout("first", "second")


class JoinMomentForm(SheetForm):
    """Which other moment of the dish becomes one with this."""

    other = forms.ModelChoiceField(label="Join it with", queryset=Moment.objects.none(), empty_label="Choose a moment")

    def __init__(self, *args: Any, moment: Moment, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["other"].queryset = Moment.objects.filter(dish_id=moment.dish_id).exclude(pk=moment.pk)


class OrderForm(forms.Form):
    """The keys of moments in their new order, with commas between them."""

    order = forms.RegexField(r"^\d{1,18}(,\d{1,18})*$", max_length=8_000)

    def clean_order(self) -> list[int]:
        return [int(key) for key in self.cleaned_data["order"].split(",")]


class StepForm(EditedFormMixin, SheetModelForm):
    class Meta:
        model = Step
        fields = ["text", "minutes_from", "minutes_to", "temperature_c"]
        labels = {
            "text": "The step",
            "minutes_from": "Minutes",
            "minutes_to": "To, if a range",
            "temperature_c": "Degrees Celsius",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper.layout = Layout(
            "version", "text", Row("minutes_from", "minutes_to", "temperature_c", css_class="fields-3")
        )

    def clean_text(self) -> str:
        return _one_step(self.cleaned_data["text"])

    def clean_temperature_c(self) -> Any:
        celsius = self.cleaned_data["temperature_c"]
        if celsius is not None and not -40 <= celsius <= 500:
            raise ValidationError("Enter a temperature from −40 to 500 °C.")
        return celsius

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        for name in ("minutes_from", "minutes_to"):
            if found.get(name) is not None and found[name] < 0:
                self.add_error(name, "Enter 0 minutes or more.")
        low, high = found.get("minutes_from"), found.get("minutes_to")
        if low is not None and high is not None and high < low:
            self.add_error("minutes_to", "The range runs backwards. Enter the longer time here.")
        return found


class StepLinesForm(SheetForm):
    """Steps as text, a line each."""

    lines = forms.CharField(
        label="The steps, one a line",
        max_length=LONGEST_TEXT,
        widget=forms.Textarea({"rows": "16"}),
        help_text="A new line makes a new step; a line taken out takes the step out. Empty lines and list numbers are left out.",
    )
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    least = 1

    def clean_lines(self) -> list[str]:
        lines = step_lines(self.cleaned_data["lines"])
        if len(lines) < self.least:
            raise ValidationError(
                "This is one line. Break it where the second step begins."
                if lines
                else "No step is left. Type at least one."
            )
        if len(lines) > LONGEST_STEPS:
            raise ValidationError(f"These are {len(lines)} steps. A recipe has at most {LONGEST_STEPS}.")
        for number, line in enumerate(lines, 1):
            if len(line) > LONGEST_STEP:
                raise ValidationError(f"Line {number} has {len(line):,} characters, more than a step has. Break it up.")
        return lines


class SplitStepForm(StepLinesForm):
    least = 2

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["lines"].label = "The step as several, one a line"
        self.fields["lines"].widget.attrs["rows"] = "5"
        self.fields[
            "lines"
        ].help_text = (
            "Each sentence stands on a line of its own. Join what belongs together. Moments go with their words."
        )


class RecipeHeadForm(EditedFormMixin, SheetModelForm):
    class Meta:
        model = Recipe
        fields = ["title", "yields", "servings"]
        labels = {"yields": "Yield, as the recipe says it", "servings": "Portions"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper.layout = Layout("version", "title", Row("yields", "servings"))

    def clean_servings(self) -> int | None:
        servings = self.cleaned_data["servings"]
        if servings is not None and not 1 <= servings <= MOST_SERVINGS:
            raise ValidationError(
                f"Enter 1 to {MOST_SERVINGS:,} portions, or leave it empty if the recipe does not say."
            )
        return servings


class IngredientForm(SheetForm):
    """One ingredient: its line, and what was read from it."""

    text = forms.CharField(label="As the recipe says it", max_length=300, required=False)
    quantity = QuantityField(label="Quantity", required=False, min_value=Decimal(0), max_digits=12)
    unit = forms.CharField(label="Unit", max_length=20, required=False)
    name = forms.CharField(label="Ingredient", max_length=160, required=False)
    section = forms.CharField(label="Under the heading", max_length=120, required=False)
    place = forms.IntegerField(widget=forms.HiddenInput, required=False, min_value=0)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper.layout = Layout(
            "text",
            Field("quantity", wrapper_class="half"),
            Field("unit", wrapper_class="half"),
            "name",
            "section",
            "place",
        )

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        if not found.get("text") and (found.get("quantity") is not None or found.get("name")):
            amount = [
                f"{found['quantity']:f}" if found.get("quantity") is not None else "",
                found.get("unit"),
                found.get("name"),
            ]
            found["text"] = " ".join(part for part in amount if part)
        return found


class IngredientLines(forms.BaseFormSet):  # type: ignore[type-arg]
    def add_fields(self, form: Any, index: int | None) -> None:
        super().add_fields(form, index)
        form.fields["DELETE"].label = "Take out"
        form.helper.layout.append("DELETE")

    def lines(self) -> list[dict[str, Any]]:
        """The ingredients in their order; an emptied line and one that is ticked are out."""
        rows = [form.cleaned_data for form in self.forms if form not in self.deleted_forms]
        return [row for row in rows if row.get("text")]


IngredientFormSet = forms.formset_factory(
    IngredientForm, formset=IngredientLines, extra=1, max_num=300, can_delete=True
)


def ingredient_rows(recipe: Recipe) -> list[dict[str, Any]]:
    """The initial values of the formset."""
    return [{"place": place, **_shown(line)} for place, line in enumerate(ingredients_of(recipe))]


def _shown(line: Ingredient) -> dict[str, Any]:
    return {name: getattr(line, name) for name in ("text", "quantity", "unit", "name", "section")}


class UnreadForm(forms.Form):
    """What becomes of a line that was not read."""

    place = forms.IntegerField(min_value=0)
    what = forms.CharField(strip=False)
    way = forms.ChoiceField(choices=[(way, way) for way in ("ingredient", "step", "aside", "right", "open")])


class LearnWordForm(SheetForm):
    """A word and the kind of moment it means."""

    word = forms.CharField(label="Word", max_length=400, help_text="As the recipe writes it, for example “flash”.")
    action = forms.ChoiceField(label="Means")
    step = forms.ModelChoiceField(queryset=Step.objects.all(), required=False, widget=forms.HiddenInput)
    sure = forms.BooleanField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, lexicon: Lexicon, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["word"].widget.attrs["maxlength"] = str(LONGEST_WORD)
        self.fields["action"].choices = [("", "Choose a kind of moment"), *kind_choices(lexicon)]
        self.helper.layout = Layout(Row("word", "action"), "step")

    def clean_word(self) -> str:
        return _learnable(self.cleaned_data["word"])


class OwnKindForm(SeenForm):
    class Meta:
        model = OwnKind
        fields = ["name", "visible", "repeat", "peak_seconds", "angle", "distance", "motion", "light", "interest", "note"]  # fmt: skip
        labels = {"name": "The word for it", **SEEN_LABELS}
        help_texts = {
            "name": "The verb as the recipe writes it, for example “flash”. More words are taught on the page of own words.",
            **SEEN_HELP,
        }

    def __init__(self, *args: Any, lexicon: Lexicon, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lexicon = lexicon
        self.fields["name"].error_messages["unique"] = (
            "You have a kind of moment with this name already. Change that one."
        )
        self.helper.layout = Layout(
            "version",
            "name",
            "visible",
            Row("repeat", "peak_seconds", "interest", css_class="fields-3"),
            Fieldset("The camera", Row("angle", "distance"), Row("motion", "light")),
            Fieldset("The cook", "cues", Row("hazards", "prepare"), "note"),
        )

    def clean_name(self) -> str:
        name = _learnable(self.cleaned_data["name"])
        for action in self.lexicon.actions:
            if name in (word.lower() for word in action.words) and action.id != (
                self.instance.pk and self.instance.key
            ):
                raise ValidationError(f"“{name}” is in the list already, for {action.name}. Take another word.")
        return name


def _learnable(text: str) -> str:
    if not text.strip():
        return ""
    try:
        return check_word(text)
    except WordRefused as refused:
        raise ValidationError(str(refused)) from None


def _one_step(text: str) -> str:
    if len(text) > LONGEST_STEP:
        raise ValidationError(f"This has {len(text):,} characters, more than a step has. Split it.")
    return text


def _said(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def _stay(number: int) -> str:
    return "stays" if number == 1 else "stay"


def _make(number: int) -> str:
    return "makes" if number == 1 else "make"
