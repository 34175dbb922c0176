from typing import Any

from crispy_forms.layout import Fieldset, Layout, Row
from django import forms
from django.core.exceptions import ValidationError

from clients.models import Person
from shared.words.forms import EditedFormMixin, SheetForm, SheetModelForm, TickList
from shoots.brief.forms import LinesField, split_words
from shoots.brief.models import AgreedPicture, Dish, Shoot
from shoots.plan.allergens import SuggestedAllergen
from shoots.plan.models import Shot, Stage
from shoots.plan.queries import cue_words, cues_in, short_name

ANGLES = [
    ("", "Not said"),
    ("level", "Level with the food"),
    ("three-quarter", "Three-quarter"),
    ("overhead", "Overhead"),
]
DISTANCES = [("", "Not said"), ("tight", "Tight"), ("medium", "Medium"), ("wide", "Wide")]
MOST_IN_LIST = 12


def cue_choices(*languages: str) -> list[tuple[str, str]]:
    """The closed list of cues, each in the languages given, once where they are the same."""
    return [
        (key, " / ".join(dict.fromkeys(word for language in languages for word in cues_in([key], language))))
        for key in cue_words()
    ]


class AllergenForm(EditedFormMixin, SheetModelForm):
    """The cook's answer. What the recipe's words point to is a question, so nothing is ticked beforehand."""

    suggested = forms.MultipleChoiceField(label="Named by the cook", required=False, widget=TickList)
    others = forms.CharField(label="Also named, with commas", required=False, max_length=400)

    class Meta:
        model = Dish
        fields = ["allergens_told_by"]
        labels = {"allergens_told_by": "Told by"}
        help_texts = {"allergens_told_by": "If the cook names none, fill in only this."}

    def __init__(self, *args: Any, suggested: tuple[SuggestedAllergen, ...], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        names = [short_name(each) for each in suggested]
        told = list(self.instance.allergens)
        self.fields["suggested"].choices = [
            (name, f"{name.capitalize()}, from “{', '.join(each.words[:3])}”")
            for name, each in zip(names, suggested, strict=True)
        ]
        self.fields["allergens_told_by"].required = True
        self.initial |= {
            "suggested": [name for name in told if name in names],
            "others": ", ".join(name for name in told if name not in names),
        }
        if not names:
            del self.fields["suggested"]
        self.helper.layout = Layout("version", *(["suggested"] if names else []), Row("others", "allergens_told_by"))

    def allergens(self) -> list[str]:
        """What was named, each once."""
        return list(dict.fromkeys([*self.cleaned_data.get("suggested", ()), *split_words(self.cleaned_data["others"])]))


class AddShotsForm(SheetForm):
    titles = LinesField(longest=160, required=True, label="Add shots, one a line")
    dish = forms.ModelChoiceField(
        queryset=Dish.objects.none(), required=False, label="Of the dish", empty_label="No dish: of the day"
    )
    stage = forms.ChoiceField(choices=[("", "Not said"), *Stage.choices], required=False, label="Moment")

    def __init__(self, *args: Any, shoot: Shoot, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["dish"].queryset = shoot.dishes.all()
        self.helper.layout = Layout("titles", Row("dish", "stage"))


class ShotForm(EditedFormMixin, SheetModelForm):
    angle = forms.ChoiceField(label="Angle", choices=ANGLES, required=False)
    distance = forms.ChoiceField(label="Distance", choices=DISTANCES, required=False)
    cues = forms.MultipleChoiceField(
        label="Cues",
        required=False,
        widget=TickList,
        help_text="Two at most are read at arm’s length. “Stop” is everyone’s word and needs no tick.",
    )
    agreed_pictures = forms.ModelMultipleChoiceField(
        label="Serves the picture", queryset=AgreedPicture.objects.none(), required=False, widget=TickList
    )

    class Meta:
        model = Shot
        fields = [
            "title", "dish", "stage", "is_must", "planned_time", "angle", "distance", "light", "props", "keep_back", "tries", "hazard", "cues", "note",
        ]  # fmt: skip
        labels = {
            "stage": "Moment", "is_must": "Must have", "planned_time": "Planned at", "keep_back": "Hold back and have ready", "tries": "How many tries there are",
            "hazard": "Hazard", "note": "What we wait for",
        }  # fmt: skip
        help_texts = {
            "hazard": "The thing, how hot, and where: Oven tray, 250 °C, on your left.",
            "light": "For example: back, dark ground.",
            "tries": "For example 4, when there are four yolks. Empty: as often as you like.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        shoot = self.instance.shoot
        self.fields["dish"].queryset = shoot.dishes.all()
        self.fields["dish"].empty_label = "No dish: of the day"
        self.fields["cues"].choices = cue_choices("en", "de")
        for name, choices in (("angle", ANGLES), ("distance", DISTANCES)):
            kept = getattr(self.instance, name)
            if kept and kept not in dict(choices):
                self.fields[name].choices = [*choices, (kept, kept)]
        pictures = shoot.agreed_pictures.exclude(state=AgreedPicture.State.LEFT_OUT)
        self.fields["agreed_pictures"].queryset = pictures
        self.initial["agreed_pictures"] = list(self.instance.agreed_pictures.all()) if self.instance.pk else []
        promise = ["agreed_pictures"] if pictures else []
        if not promise:
            del self.fields["agreed_pictures"]
        self.helper.layout = Layout(
            "version", "title", Row("dish", "stage", "planned_time", css_class="fields-3"), "is_must", *promise,
            Fieldset("The camera", Row("angle", "distance"), Row("light", "props")),
            Fieldset("The cook", "cues", "note", Row("keep_back", "tries"), "hazard"),
        )  # fmt: skip

    def clean_tries(self) -> Any:
        tries = self.cleaned_data["tries"]
        if tries is not None and not 1 <= tries <= 99:
            raise ValidationError("Enter 1 to 99 tries, or leave it empty.")
        return tries


class ShotStateForm(forms.Form):
    """What a row of the list was ticked as."""

    state = forms.ChoiceField(choices=Shot.State)


class CookSheetForm(SheetForm):
    email = forms.EmailField(label="Send to")


class CallSheetForm(SheetForm):
    """Who gets the call sheet: everyone on the shoot who has an address."""

    people = forms.ModelMultipleChoiceField(
        label="Send to",
        queryset=Person.objects.none(),
        widget=TickList,
        error_messages={"required": "Nobody is ticked. Tick at least one person."},
    )

    def __init__(self, *args: Any, shoot: Shoot, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        people = Person.objects.filter(shoot_parts__shoot=shoot).exclude(email="").distinct()
        self.fields["people"].queryset = people
        self.fields["people"].label_from_instance = lambda person: f"{person.name}, {person.email}"
        self.fields["people"].initial = [person.pk for person in people]
