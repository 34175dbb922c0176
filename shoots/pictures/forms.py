from typing import Any

from crispy_forms.layout import Layout
from django import forms

from clients.models import Person
from shared.words.forms import EditedFormMixin, FilesField, FilesInput, SegmentSelect, SheetForm, SheetModelForm
from shoots.brief.models import Shoot
from shoots.pictures.models import Picture, Recognisable
from shoots.pictures.queries import agreed_to_fulfil, people_to_name, things_known
from shoots.plan.queries import substituted_words

ACCEPTED = "image/jpeg,image/tiff,image/png"


class UploadForm(SheetForm):
    files = FilesField(
        label="Picture files",
        widget=FilesInput({"accept": ACCEPTED}),
        help_text="JPEG, TIFF or PNG, up to 80 MB each. The files are kept exactly as they are.",
    )


class PictureForm(EditedFormMixin, SheetModelForm):
    """What a picture shows, and which promise it keeps."""

    agreed = forms.ModelMultipleChoiceField(
        label="Keeps the promise", queryset=None, required=False, widget=forms.CheckboxSelectMultiple
    )

    class Meta:
        model = Picture
        fields = ["title", "caption", "alt_text", "substituted", "is_checked"]
        labels = {
            "caption": "Caption for the client", "alt_text": "Alternative text", "substituted": "What was substituted",
            "is_checked": "Looked at in full size: sharp, clean, cropped right",
        }  # fmt: skip
        help_texts = {
            "alt_text": "What it shows, for people who cannot see it. Begin with the shot: Bread boat with egg yolk, from above.",
            "substituted": "For advertising the product is the real one. Write “nothing” if nothing was.",
        }
        widgets = {"caption": forms.Textarea({"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        agreed = agreed_to_fulfil(self.instance.shoot)
        self.fields["agreed"].queryset = agreed
        self.fields["agreed"].initial = self.instance.agreed_pictures.all()
        if not self.instance.substituted and (said := _said_of_its_shots(self.instance)):
            self.initial["substituted"] = said
            self.fields["substituted"].help_text = "Taken over from its shot; kept with the picture when you save."
        first = ["agreed"] if agreed else []
        if not first:
            del self.fields["agreed"]
        self.helper.layout = Layout("version", "title", *first, "caption", "alt_text", "substituted", "is_checked")

    def what_was_typed(self) -> dict[str, Any]:
        """The fields of the row, as the action takes them."""
        return {name: self.cleaned_data[name] for name in self.Meta.fields}


def _said_of_its_shots(picture: Picture) -> str:
    """What was recorded as substituted in the shots a picture is of, in the words for the picture."""
    said = [substituted_words(shot).removeprefix("Substituted: ") for shot in picture.shots.all()]
    return "; ".join(dict.fromkeys(words for words in said if words))[:200]


class PersonShownForm(SheetForm):
    """Who is in it, and can they be recognised?"""

    person = forms.ModelChoiceField(label="Who is in it", queryset=Person.objects.none(), empty_label=None)
    recognisable = forms.ChoiceField(
        label="Recognisable? Face, hands, tattoo, voice",
        choices=Recognisable,
        initial=Recognisable.YES,
        widget=SegmentSelect,
        help_text="Hands with a ring or a scar, a tattoo, a face reflected, a distinctive voice count too. Not sure: Ask, and write down what.",
    )
    age = forms.ChoiceField(
        label="Age on the day of the shoot",
        choices=[("", "As said before"), ("adult", "Of full age"), ("minor", "Under age")],
        required=False,
        help_text="Counts for every picture of this shoot. Under age, a parent or guardian has to sign.",
    )
    remark = forms.CharField(label="Remark", max_length=200, required=False)

    def __init__(self, *args: Any, shoot: Shoot, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        keys = [person.pk for person in people_to_name(shoot)]
        self.fields["person"].queryset = Person.objects.filter(pk__in=keys)

    def answer(self) -> dict[str, Any]:
        """What was answered, as ``name_person`` takes it."""
        typed = self.cleaned_data
        return {
            "person": typed["person"],
            "recognisable": typed["recognisable"],
            "remark": typed["remark"],
            "is_minor": typed["age"] == "minor" if typed["age"] else None,
        }


class PropertyShownForm(SheetForm):
    """Whose place or thing is in it?"""

    what = forms.ChoiceField(label="Place or thing")
    description = forms.CharField(label="Which thing", max_length=200, required=False)

    def __init__(self, *args: Any, shoot: Shoot, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.kitchen = shoot.kitchen
        place = [("kitchen", f"The room: {shoot.kitchen}")] if shoot.kitchen else []
        self.things = {f"thing-{place}": name for place, name in enumerate(things_known(shoot))}
        self.fields["what"].choices = [
            *place,
            *self.things.items(),
            ("thing", "Artwork, branded ware or another thing"),
        ]

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        if typed.get("what") == "thing" and not typed.get("description"):
            self.add_error("description", "Say which thing, for example: the painting behind the counter.")
        return typed

    def chosen(self) -> dict[str, Any]:
        """What was chosen, as ``name_property`` takes it."""
        what = self.cleaned_data["what"]
        if what == "kitchen":
            return {"kitchen": self.kitchen, "description": ""}
        return {"kitchen": None, "description": self.things.get(what) or self.cleaned_data["description"]}


class PictureFilter(SheetForm):
    text = forms.CharField(label="Search", required=False)
    state = forms.ChoiceField(label="State", required=False, choices=[("", "All"), *Picture.State.choices])
    missing = forms.ChoiceField(
        label="Missing",
        required=False,
        choices=[
            ("", "Anything"),
            ("people", "People and things not looked at"),
            ("caption", "No caption"),
            ("check", "Not checked"),
        ],
    )


class TickedForm(forms.Form):
    """Which pictures of a shoot are ticked, and what to do with them."""

    pictures = forms.ModelMultipleChoiceField(queryset=Picture.objects.none())
    deed = forms.ChoiceField(
        choices=[(each, each) for each in ("choose", "leave", "nobody", "nothing", "check", "person", "place")]
    )

    def __init__(self, *args: Any, shoot: Shoot, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["pictures"].queryset = shoot.pictures.all()
