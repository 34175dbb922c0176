from datetime import date, timedelta
from typing import Any

from django import forms

from clients.models import Person
from shared.business.models import Language
from shared.words.forms import ChoiceCards, DayField, SheetForm, SignatureField
from shoots.brief.models import Shoot
from shoots.releases.models import Release, ReleaseState
from shoots.uses.media_tree import media_choices
from shoots.uses.sentences import territory_choices
from shoots.uses.shipped import IN_FORCE

ON_CALENDAR = date(9999, 12, 31)
HOUSE, NAMED, ANYTHING = "house", "named", "anything"
CLASSES = [("editorial", "Editorial"), ("advertising", "Advertising"), ("stock", "Stock")]


class ReleaseForm(SheetForm):
    """Who or what, and for which uses. Own promotion of the house is the first choice."""

    about = forms.ChoiceField(label="Who or what is in the pictures")
    thing = forms.CharField(
        label="Which place or thing",
        max_length=200,
        required=False,
        help_text="For example: the blue clay plates of the house.",
    )
    is_minor = forms.BooleanField(
        label="Under age on the day of the shoot",
        required=False,
        help_text="A parent or guardian signs then. Who counts as under age, and who must sign, differs by country.",
    )
    guardian_name = forms.CharField(
        label="Parent or guardian who signs",
        max_length=120,
        required=False,
        help_text="Only for somebody under age.",
    )
    signer = forms.ModelChoiceField(
        label="Who signs",
        queryset=Person.objects.none(),
        required=False,
        empty_label="The person themselves, or the guardian named above",
    )
    email = forms.EmailField(
        label="E-mail of the signer",
        required=False,
        help_text="The link and later the copy go there. Leave it empty to sign on your phone.",
    )
    reach = forms.ChoiceField(label="For which pictures", widget=ChoiceCards, initial=Release.Reach.SHOOT)
    scope = forms.ChoiceField(label="For which uses", widget=ChoiceCards, initial=HOUSE)
    media = forms.MultipleChoiceField(label="Media", required=False, widget=forms.CheckboxSelectMultiple)
    classes = forms.MultipleChoiceField(
        label="Classes of use, when you name the uses",
        choices=CLASSES,
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    territories = forms.MultipleChoiceField(
        label="Territory, when you name the uses", required=False, help_text="Nothing chosen means everywhere."
    )
    last_on = DayField(label="Last day of use", required=False, help_text="Empty means without an end.")
    includes_portfolio = forms.BooleanField(label="Also for my own portfolio", required=False, initial=True)
    pictures_promised = forms.IntegerField(
        label="Pictures the signer gets", min_value=0, max_value=99, initial=0, required=False
    )
    first_language = forms.ChoiceField(label="The signer’s language", choices=Language.choices)
    second_language = forms.ChoiceField(
        label="Second language", choices=[("", "None"), *Language.choices], required=False
    )
    prevailing_language = forms.ChoiceField(label="Which language counts where they differ", choices=Language.choices)

    def __init__(self, *args: Any, shoot: Shoot, **kwargs: Any) -> None:
        self.shoot = shoot
        super().__init__(*args, **kwargs)
        people = {part.person for part in shoot.people.select_related("person")}
        people |= {part.person for part in shoot.client.parts.select_related("person")}
        self.people = {f"person:{each.pk}": each for each in sorted(people, key=lambda each: each.name.lower())}
        self.kitchens = {f"kitchen:{shoot.kitchen.pk}": shoot.kitchen} if shoot.kitchen else {}
        self.fields["about"].choices = [
            *((key, each.name) for key, each in self.people.items()),
            *((key, f"{each.name} (the place)") for key, each in self.kitchens.items()),
            ("thing", "Another place or thing"),
        ]
        self.fields["signer"].queryset = Person.objects.filter(pk__in=[each.pk for each in people])
        house = shoot.licensee.name
        self.fields["reach"].choices = [
            (Release.Reach.SHOOT, "Pictures of this shoot"),
            (Release.Reach.HOUSE, f"Every shoot for {house}"),
            (Release.Reach.ALL, "Every shoot of mine"),
        ]
        self.fields["reach"].widget.details = {
            Release.Reach.SHOOT: "The usual one: it says nothing of any other day.",
            Release.Reach.HOUSE: "Earlier and later ones too. For a cook or a room you photograph again and again.",
            Release.Reach.ALL: "Whoever it is for. For your own hands, an assistant, a hired table.",
        }
        self.fields["scope"].choices = [
            (HOUSE, f"Own promotion of {house}"),
            (NAMED, "Other uses, named below"),
            (ANYTHING, "Any use"),
        ]
        self.fields["scope"].widget.details = {
            HOUSE: "The usual one for a cook: their own website, posts and menu, nobody else’s advertising.",
            NAMED: "Only the classes, media and territory you choose.",
            ANYTHING: "Editorial, advertising and stock, everywhere. Ask only if you need it.",
        }
        self.fields["media"].choices = media_choices()
        self.fields["territories"].choices = territory_choices("en")

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        scope, about = typed.get("scope"), typed.get("about")
        media = frozenset(typed.get("media") or ())
        if scope == HOUSE and not media:
            self.add_error("media", "Choose at least one medium, for example website and social media.")
        elif scope == HOUSE and not IN_FORCE.media.is_own_promotion(media):
            self.add_error(
                "media", "Own promotion covers the house’s own media only. Take out the others, or name the uses."
            )
        if scope == NAMED and not typed.get("classes"):
            self.add_error("classes", "Choose at least one class of use.")
        if about == "thing" and not typed.get("thing"):
            self.add_error("thing", "Say which place or thing, for example: the clay plates of the house.")
        if about and not about.startswith("person:") and not typed.get("signer"):
            self.add_error("signer", "Say who signs for the place: its owner, or who may sign for the owner.")
        if about == "thing" and typed.get("reach") == Release.Reach.ALL:
            self.add_error(
                "reach",
                "A thing is known by its words, and another house may have one of the same name. Choose this house at most.",
            )
        self._clean_age(typed)
        return typed

    def clean_last_on(self) -> date | None:
        last_on: date | None = self.cleaned_data["last_on"]
        if last_on == ON_CALENDAR:
            raise forms.ValidationError(
                "No calendar goes beyond this day. Leave it empty for a release without an end."
            )
        return last_on

    def _clean_age(self, typed: dict[str, Any]) -> None:
        """Whoever is under age has a guardian who signs for this shoot, at an address that is not their own."""
        person, signer = self.people.get(typed.get("about") or ""), typed.get("signer")
        guardian = typed.get("guardian_name") or ""
        if not typed.get("is_minor"):
            if guardian:
                self.add_error(
                    "is_minor",
                    "A guardian signs only for somebody under age. Tick this, or take the guardian’s name out.",
                )
            return
        if typed.get("about") and person is None:
            self.add_error("is_minor", "A place or a thing has no age. Take this tick out.")
            return
        if signer is not None and signer == person:
            self.add_error("signer", "Somebody under age cannot sign alone. Choose or name a parent or guardian.")
        elif not guardian and signer is None:
            self.add_error("guardian_name", "Name the parent or guardian who signs.")
        if typed.get("reach") not in (None, Release.Reach.SHOOT):
            self.add_error(
                "reach", "For somebody under age a guardian agrees to one shoot at a time. Choose this shoot."
            )
        if person and person.email and (typed.get("email") or "").casefold() == person.email.casefold():
            self.add_error(
                "email",
                f"This is the address of {person}. Give the guardian’s, or leave it empty to sign on your phone.",
            )

    def chosen(self) -> dict[str, Any]:
        """What was chosen, as ``offer_release`` takes it."""
        typed, scope, about = self.cleaned_data, self.cleaned_data["scope"], self.cleaned_data["about"]
        person, kitchen = self.people.get(about), self.kitchens.get(about)
        last_on, signer = typed["last_on"], typed["signer"]
        guardian = typed["guardian_name"] or (signer.name if signer else "") if typed["is_minor"] else ""
        if typed["is_minor"] and signer and signer.name != guardian:
            signer = None  # the guardian is named by hand, and is nobody in the books
        return {
            "kind": Release.Kind.MODEL if person else Release.Kind.PROPERTY,
            "person": person,
            "kitchen": kitchen,
            "property_description": typed["thing"] if about == "thing" else "",
            "signer": signer or (None if typed["is_minor"] else person),
            "signer_email": typed["email"],
            "reach": typed["reach"],
            "is_minor": typed["is_minor"],
            "guardian_name": guardian,
            "own_promotion_of": self.shoot.licensee if scope == HOUSE else None,
            "use_classes": frozenset({"advertising"} if scope == HOUSE else typed["classes"] if scope == NAMED else ()),
            "use_media": frozenset(typed["media"] if scope != ANYTHING else ()),
            "use_territories": frozenset(typed["territories"] if scope == NAMED else ()),
            "use_until": last_on + timedelta(days=1) if last_on else None,
            "includes_portfolio": typed["includes_portfolio"],
            "pictures_promised": typed["pictures_promised"] or 0,
            "first_language": typed["first_language"],
            "second_language": typed["second_language"],
            "prevailing_language": typed["prevailing_language"],
        }


class SignForm(SheetForm):
    """What the signer answers. The hash says which text was on the screen."""

    text_sha256 = forms.CharField(widget=forms.HiddenInput)
    capacity = forms.ChoiceField(
        widget=ChoiceCards, choices=[("owner", "I own this place"), ("for_owner", "I may sign for the owner")]
    )
    signer_name = forms.CharField(max_length=120, widget=forms.TextInput({"autocomplete": "name"}))
    email = forms.EmailField(required=False, widget=forms.EmailInput({"autocomplete": "email"}))
    is_of_full_age = forms.BooleanField(required=False)
    is_guardian = forms.BooleanField(required=False)
    has_read = forms.BooleanField()
    signature = SignatureField(required=False)
    typed_counts = forms.BooleanField(required=False)

    def __init__(self, *args: Any, release: Release, labels: dict[str, str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, label in labels.items():
            if name in self.fields:
                self.fields[name].label = label
        if release.kind == Release.Kind.MODEL:
            del self.fields["capacity"]
        else:
            self.fields["capacity"].choices = [("owner", labels["owner"]), ("for_owner", labels["for_owner"])]
        if not release.is_minor:
            del self.fields["is_guardian"]
        self.signature_missing = labels["signature_missing"]

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        if not typed.get("signature") and not typed.get("typed_counts") and "signature" not in self.errors:
            self.add_error("typed_counts", self.signature_missing)
        return typed

    def answer(self) -> dict[str, Any]:
        """What was answered, as ``sign_release`` takes it."""
        typed = self.cleaned_data
        return {
            "text_sha256": typed["text_sha256"],
            "signer_name": typed["signer_name"],
            "email": typed["email"],
            "capacity": Release.Capacity.GUARDIAN
            if typed.get("is_guardian")
            else typed.get("capacity") or Release.Capacity.SELF,
            "signature_path": typed["signature"],
            "typed_name": "" if typed["signature"] else typed["signer_name"],
            "is_of_full_age": typed["is_of_full_age"],
        }


class ReasonForm(SheetForm):
    """Why: kept with the release."""

    reason = forms.CharField(label="Reason, in their words", max_length=300, widget=forms.Textarea({"rows": 3}))


class DecisionForm(SheetForm):
    """What the photographer does about a withdrawal."""

    decision = forms.ChoiceField(label="What you do about it", choices=Release.Decision, widget=ChoiceCards)
    words = forms.CharField(
        label="In your words",
        max_length=500,
        required=False,
        widget=forms.Textarea({"rows": 3}),
        help_text="For example: whom you asked, whom you told, which pictures come down when.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["decision"].widget.details = {
            Release.Decision.KEEP: "What clients hold already stays as it was agreed. Nothing new is granted.",
            Release.Decision.STOP: "You ask every holder below to stop, and call open deliveries back.",
            Release.Decision.SOME: "Say which ones below.",
        }

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        if typed.get("decision") == Release.Decision.SOME and not typed.get("words"):
            self.add_error("words", "Say which uses end and which go on.")
        return typed


class AddressForm(SheetForm):
    email = forms.EmailField(label="Send the link to")


class ReleaseFilter(SheetForm):
    text = forms.CharField(label="Search", required=False)
    state = forms.ChoiceField(label="State", required=False, choices=[("", "All"), *ReleaseState.choices])
