from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from crispy_forms.layout import Div, Fieldset, Layout, Row
from django import forms
from django.core.exceptions import ValidationError

from clients.models import Person
from shared.words.forms import EditedFormMixin, SheetForm, SheetModelForm, TickList
from shoots.brief.forms import LinesField, split_words
from shoots.brief.models import AgreedPicture, Dish, Shoot
from shoots.plan.allergens import SuggestedAllergen
from shoots.plan.exposure import InvalidShutter, read_shutter
from shoots.plan.models import Motion, Shot, Stage
from shoots.plan.queries import asks_for_substitutes, cue_words, cues_in, day_count, short_name

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


class More(Div):
    """Fields that are seldom needed, behind their name; open where something is written in one of them."""

    template = "parts/more.html"

    def __init__(self, summary: str, *fields: Any, is_open: bool) -> None:
        super().__init__(*fields)
        self.summary, self.is_open = summary, is_open


SHOT_LIMITS = {"tries": (1, 99), "frame_mm": (5, 5000), "lens_mm": (4, 1200)}
SUBSTITUTED = ("substituted_what", "substituted_by", "substituted_why")
EXPOSURE = ("frame_mm", "lens_mm", "f_number", "shutter")


class ShotForm(EditedFormMixin, SheetModelForm):
    angle = forms.ChoiceField(label="Angle", choices=ANGLES, required=False)
    distance = forms.ChoiceField(label="Distance", choices=DISTANCES, required=False)
    motion = forms.ChoiceField(label="What moves is", choices=[("", "Not said"), *Motion.choices], required=False)
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
            "title", "dish", "stage", "is_must", "planned_day", "planned_time", "angle", "distance", "motion", "light", "frame_mm", "lens_mm", "f_number",
            "shutter", "props", "surface", "keep_back", "tries", "hazard", "cues", "note", "substitution", *SUBSTITUTED,
        ]  # fmt: skip
        labels = {
            "stage": "Moment", "is_must": "Must have", "planned_day": "On day", "planned_time": "Planned at", "keep_back": "Hold back and have ready", "tries": "How many tries there are",
            "hazard": "Hazard", "note": "What we wait for", "frame_mm": "Short side shows, mm", "lens_mm": "Lens, mm", "f_number": "Aperture, f/",
            "shutter": "Shutter, s", "substitution": "Was anything substituted?", "substituted_what": "What", "substituted_by": "By what",
            "substituted_why": "Why",
        }  # fmt: skip
        help_texts = {
            "hazard": "The thing, how hot, and where: Oven tray, 250 °C, on your left.",
            "light": "For example: back, dark ground.",
            "tries": "For example 4, when there are four yolks. Empty: as often as you like.",
            "frame_mm": "Empty: as the distance says.",
            "lens_mm": "Empty: those of yours that fit.",
            "shutter": "1/250, or 2.",
            "substitution": "Product, portion and ingredients are the real ones; stand-ins only beside the product. The answer is kept as a record.",
        }  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        shoot = self.instance.shoot
        self.fields["dish"].queryset = shoot.dishes.all()
        self.fields["dish"].empty_label = "No dish: of the day"
        days = day_count(shoot)
        if days > 1:
            choices = [(day, f"Day {day}") for day in range(1, days + 1)]
            self.fields["planned_day"] = forms.TypedChoiceField(label="On day", choices=choices, coerce=int)
            self.initial["planned_day"] = min(self.instance.planned_day, days)
        else:
            del self.fields["planned_day"]
        when = ["planned_day", "planned_time"] if days > 1 else ["planned_time"]
        self.fields["cues"].choices = cue_choices("en", "de")
        for name, choices in (("angle", ANGLES), ("distance", DISTANCES)):
            kept = getattr(self.instance, name)
            if kept and kept not in dict(choices):
                self.fields[name].choices = [*choices, (kept, kept)]
        self.fields["agreed_pictures"].label_from_instance = picture_words
        pictures = shoot.agreed_pictures.exclude(state=AgreedPicture.State.LEFT_OUT)
        self.fields["agreed_pictures"].queryset = pictures
        self.initial["agreed_pictures"] = list(self.instance.agreed_pictures.all()) if self.instance.pk else []
        promise = ["agreed_pictures"] if pictures else []
        if not promise:
            del self.fields["agreed_pictures"]
        is_asked = asks_for_substitutes(shoot) and (self.instance.is_hero or bool(self.initial["agreed_pictures"]))
        self.helper.layout = Layout(
            "version", "title", Row("dish", "stage", *when, css_class="fields-3"), "is_must", *promise,
            Fieldset(
                "The camera", Row("angle", "distance"), Row("motion", "light"),
                More(
                    "Frame, lens, aperture and shutter", Row("frame_mm", "lens_mm", css_class="fields-2 at-foot"),
                    Row("f_number", "shutter", css_class="fields-2 at-foot"), is_open=self._is_open(*EXPOSURE),
                ),
            ),
            Fieldset("The cook", "cues", "note", Row("keep_back", "tries"), "hazard"),
            Fieldset("The table", Row("props", "surface")),
            More(
                "What was substituted", "substitution", Row("substituted_what", "substituted_by"), "substituted_why",
                is_open=is_asked or self._is_open("substitution"),
            ),
        )  # fmt: skip

    def _is_open(self, *names: str) -> bool:
        return self.is_bound or any(getattr(self.instance, name) for name in names)

    def clean_shutter(self) -> str:
        try:
            return read_shutter(self.cleaned_data["shutter"])
        except InvalidShutter as refusal:
            raise ValidationError(str(refusal)) from None

    def clean_f_number(self) -> Any:
        aperture = self.cleaned_data["f_number"]
        if aperture is not None and not Decimal("0.7") <= aperture <= 64:
            raise ValidationError("Enter an aperture from 0.7 to 64.")
        return aperture

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        for name, (least, most) in SHOT_LIMITS.items():
            value = found.get(name)
            if value is not None and not least <= value <= most:
                self.add_error(name, f"Enter {least:,} to {most:,}, or leave it empty.")
        self._clean_substitution(found)
        return found

    def _clean_substitution(self, found: dict[str, Any]) -> None:
        said, is_named = found.get("substitution"), any(found.get(name) for name in SUBSTITUTED)
        if said == Shot.Substitution.NOTHING and is_named:
            self.add_error(
                "substitution", "You wrote what was substituted. Choose “Something was”, or empty the boxes."
            )
        elif said == Shot.Substitution.NOT_SAID and is_named:
            said = found["substitution"] = Shot.Substitution.SOMETHING
        if said == Shot.Substitution.SOMETHING:
            for name, sentence in (
                ("substituted_what", "Say what was substituted: the ice cream beside the cake."),
                ("substituted_by", "Say by what: mashed potato."),
                ("substituted_why", "Say why: it melts in two minutes."),
            ):
                if not found.get(name):
                    self.add_error(name, sentence)


def picture_words(picture: AgreedPicture) -> str:
    """A promised picture with its use and what its frame has to be, as it is ticked."""
    return ", ".join(part.rstrip(".") for part in (picture.title, picture.purpose, picture.asks) if part)


class MarkForm(forms.Form):
    """The press in a row of the list: a state, a move, or that all of it is real; and the key of the shot."""

    PRESSES = (*Shot.State.values, "up", "down", "all_real")

    shot = forms.IntegerField(min_value=1)
    press = forms.ChoiceField(choices=[(name, name) for name in PRESSES])

    def __init__(self, posted: Mapping[str, str]) -> None:
        press = next((name for name in self.PRESSES if name in posted), "")
        super().__init__({"press": press, "shot": posted.get(press, "")})


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
