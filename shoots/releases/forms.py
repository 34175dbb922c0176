from datetime import date, timedelta
from typing import Any

from crispy_forms.layout import Fieldset, Layout, Row
from django import forms
from django.db.models import QuerySet

from clients.models import Person
from shared.business.models import Language
from shared.words import formats
from shared.words.forms import (
    ChoiceCards,
    DayField,
    FilesField,
    FilesInput,
    SheetForm,
    SignatureField,
    TickList,
)
from shoots.brief.models import Shoot
from shoots.releases.models import Release, ReleaseState
from shoots.uses.media_tree import media_choices
from shoots.uses.sentences import territory_choices
from shoots.uses.shipped import IN_FORCE

ON_CALENDAR = date(9999, 12, 31)
HOUSE, NAMED, ANYTHING = "house", "named", "anything"
ACCEPTED = "image/jpeg,image/png,application/pdf"
AT_FOOT = "fields-2 at-foot"
CLASSES = [("editorial", "Editorial"), ("advertising", "Advertising"), ("stock", "Stock")]


class ShootsField(forms.ModelMultipleChoiceField):
    """Shoots to tick, each with its day: houses are photographed again and again."""

    widget = TickList

    def label_from_instance(self, obj: Shoot) -> str:
        return f"{obj}, {formats.day(obj.first_on, 'en')}" if obj.first_on else f"{obj}"


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
    minor_age = forms.IntegerField(
        label="Their age on that day",
        min_value=0,
        max_value=25,
        required=False,
        widget=forms.NumberInput({"class": "short"}),
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
    also_for = ShootsField(label="Which other shoots", queryset=Shoot.objects.none(), required=False)
    scope = forms.ChoiceField(label="For which uses", widget=ChoiceCards, initial=HOUSE)
    media = forms.MultipleChoiceField(label="Media", required=False, widget=TickList)
    classes = forms.MultipleChoiceField(
        label="Classes of use, when you name the uses",
        choices=CLASSES,
        required=False,
        widget=TickList,
    )
    territories = forms.MultipleChoiceField(
        label="Territory, when you name the uses", required=False, help_text="Nothing chosen means everywhere."
    )
    last_on = DayField(label="Last day of use", required=False, help_text="Empty means without an end.")
    includes_portfolio = forms.BooleanField(label="Also for my own portfolio", required=False, initial=True)
    pictures_promised = forms.IntegerField(
        label="Pictures the signer gets", min_value=0, max_value=99, initial=0, required=False
    )
    asks_witness = forms.BooleanField(
        label="A witness signs too",
        required=False,
        help_text="Where local practice wants one: they are there when it is signed, on the same phone or paper.",
    )
    first_language = forms.ChoiceField(label="The signer’s language", choices=Language.choices)
    second_language = forms.ChoiceField(
        label="Second language", choices=[("", "None"), *Language.choices], required=False
    )
    prevailing_language = forms.ChoiceField(label="Which language counts where they differ", choices=Language.choices)

    def __init__(
        self,
        *args: Any,
        shoot: Shoot,
        others: QuerySet[Shoot] | None = None,
        minor_signs_from: int | None = None,
        wanted: Person | None = None,
        **kwargs: Any,
    ) -> None:
        """``others``: the shoots that may be named beside this one. ``minor_signs_from``: the studio's age, None while it set none.

        ``wanted``: whom a page asked about, who need not be named for the shoot.
        """
        self.shoot, self.minor_signs_from = shoot, minor_signs_from
        super().__init__(*args, **kwargs)
        people = {part.person for part in shoot.people.select_related("person")}
        people |= {wanted} if wanted else set()
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
        has_others = others is not None and others.exists()
        if has_others:
            self.fields["also_for"].queryset = others
        else:
            del self.fields["also_for"]
        named = [(Release.Reach.NAMED, "This shoot and others, named")] if has_others else []
        self.fields["reach"].choices = [
            (Release.Reach.SHOOT, "Pictures of this shoot"),
            *named,
            (Release.Reach.HOUSE, f"Every shoot for {house}"),
            (Release.Reach.ALL, "Every shoot of mine"),
        ]
        self.fields["reach"].widget.details = {
            Release.Reach.SHOOT: "The usual one: it says nothing of any other day.",
            Release.Reach.NAMED: "One signature for several days. Tick them below.",
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
        self.fields["minor_age"].help_text = (
            f"From {minor_signs_from} on, your own rule in Settings, they sign beside the guardian. It is not kept."
            if minor_signs_from is not None
            else "You have set no age from which they sign beside the guardian, so the guardian signs alone. Settings hold that age."
        ) + " Local law differs."
        self.helper.layout = self.laid_out()

    def laid_out(self) -> Layout:
        self.helper.include_media = False  # a field of ours is called so
        return self._layout()

    def _layout(self) -> Layout:
        """The fields in the order of the questions: who, for whom, which pictures, which uses, in which words."""
        return Layout(
            Fieldset("Who or what", "about", "thing"),
            Fieldset("Who signs", Row("signer", "email", css_class=AT_FOOT), "asks_witness"),
            Fieldset("Somebody under age", "is_minor", Row("guardian_name", "minor_age", css_class=AT_FOOT)),
            Fieldset("Which pictures", "reach", *self._if_there("also_for")),
            Fieldset("Which uses", "scope", "media", "classes", Row("territories", "last_on"), "includes_portfolio"),
            Fieldset(
                "Languages and thanks",
                Row("first_language", "second_language"),
                Row("prevailing_language", "pictures_promised"),
            ),
        )

    def _if_there(self, *names: str) -> list[str]:
        return [name for name in names if name in self.fields]

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
        if "signer" in self.fields and about and not about.startswith("person:") and not typed.get("signer"):
            self.add_error("signer", "Say who signs for the place: its owner, or who may sign for the owner.")
        if about == "thing" and typed.get("reach") == Release.Reach.ALL:
            self.add_error(
                "reach",
                "A thing is known by its words, and another house may have one of the same name. Choose this house at most.",
            )
        self._clean_shoots(typed)
        self._clean_age(typed)
        return typed

    def _clean_shoots(self, typed: dict[str, Any]) -> None:
        """Several shoots are ticked where several are meant, and a thing stays in its house."""
        ticked, is_named = typed.get("also_for"), typed.get("reach") == Release.Reach.NAMED
        if is_named and not ticked:
            self.add_error("also_for", "Tick the other shoots, or choose “Pictures of this shoot”.")
        elif ticked and typed.get("reach") and not is_named:
            self.add_error("also_for", "Shoots are ticked here. Choose “This shoot and others”, or take the ticks out.")
        elif (
            ticked
            and typed.get("about") == "thing"
            and any(each.licensee_id != self.shoot.licensee_id for each in ticked)
        ):
            self.add_error(
                "also_for",
                f"A thing is known by its words, and another house may have one of the same name. Tick shoots for {self.shoot.licensee} only.",
            )

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
            if typed.get("minor_age") is not None:
                self.add_error(
                    "minor_age", "An age is asked only of somebody under age. Tick “Under age”, or take it out."
                )
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
        elif "guardian_name" in self.fields and not guardian and signer is None:
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

    def _minor_signs(self) -> bool:
        age = self.cleaned_data.get("minor_age")
        is_asked = self.cleaned_data["is_minor"] and self.minor_signs_from is not None and age is not None
        return bool(is_asked and age >= self.minor_signs_from)

    def chosen(self) -> dict[str, Any]:
        """What was chosen, as ``offer_release`` takes it."""
        typed = self.cleaned_data
        return {
            **self.limits_chosen(),
            "signer_email": typed["email"],
            "minor_signs": self._minor_signs(),
            "asks_witness": typed["asks_witness"],
            "pictures_promised": typed["pictures_promised"] or 0,
            "first_language": typed["first_language"],
            "second_language": typed["second_language"],
            "prevailing_language": typed["prevailing_language"],
        }

    def limits_chosen(self) -> dict[str, Any]:
        """About whom or what, who signs, and for which pictures and uses."""
        typed, scope, about = self.cleaned_data, self.cleaned_data["scope"], self.cleaned_data["about"]
        person, kitchen = self.people.get(about), self.kitchens.get(about)
        last_on, signer = typed["last_on"], typed.get("signer")
        guardian = typed.get("guardian_name") or (signer.name if signer else "") if typed["is_minor"] else ""
        if typed["is_minor"] and signer and signer.name != guardian:
            signer = None  # the guardian is named by hand, and is nobody in the books
        return {
            "kind": Release.Kind.MODEL if person else Release.Kind.PROPERTY,
            "person": person,
            "kitchen": kitchen,
            "property_description": typed["thing"] if about == "thing" else "",
            "signer": signer or (None if typed["is_minor"] else person),
            "reach": typed["reach"],
            "also_for": list(typed.get("also_for") or ()),
            "is_minor": typed["is_minor"],
            "guardian_name": guardian,
            "own_promotion_of": self.shoot.licensee if scope == HOUSE else None,
            "use_classes": frozenset({"advertising"} if scope == HOUSE else typed["classes"] if scope == NAMED else ()),
            "use_media": frozenset(typed["media"] if scope != ANYTHING else ()),
            "use_territories": frozenset(typed["territories"] if scope == NAMED else ()),
            "use_until": last_on + timedelta(days=1) if last_on else None,
            "includes_portfolio": typed["includes_portfolio"],
        }


class OnPaperForm(SheetForm):
    """A paper signed with a pen: who, when, before whom, and the scan. The files are named last: a browser gives them once."""

    signer_name = forms.CharField(
        label="Who signed, as written there", max_length=120, widget=forms.TextInput({"autocomplete": "off"})
    )
    capacity = forms.ChoiceField(label="They signed", choices=Release.Capacity)
    signed_on = DayField(label="Signed on", help_text="The day written beside the signature.")
    minor_signed = forms.BooleanField(label="The one under age signed beside the guardian", required=False)
    witness_name = forms.CharField(
        label="Witness, if one signed",
        max_length=120,
        required=False,
        widget=forms.TextInput({"autocomplete": "off"}),
    )
    sheets = FilesField(
        label="Scan or photograph of the signed paper",
        widget=FilesInput({"accept": ACCEPTED}),
        help_text="PDF, JPEG or PNG, up to 20 MB each, every sheet. Kept as it is and never changed. On a phone this opens the camera.",
    )

    def clean_sheets(self) -> list[Any]:
        files: list[Any] = self.cleaned_data["sheets"]
        if not files:
            raise forms.ValidationError(
                "There is no scan yet. The release counts only once the signed paper is kept here.", code="required"
            )
        return files

    def ask_for_files_again(self) -> None:
        """A browser gives a chosen file once: where something else was wrong it has to be chosen again, and the page says so."""
        if self.is_bound and self.files and self.errors and "sheets" not in self.errors:
            self.add_error("sheets", "Choose the scan again: a file is not kept while something else is wrong.")

    def how_signed(self) -> dict[str, Any]:
        """Who signed when before whom, as the actions take it; the sheets are read by the view."""
        typed = self.cleaned_data
        return {
            "signer_name": typed["signer_name"],
            "capacity": typed["capacity"],
            "signed_on": typed["signed_on"],
            "minor_signed": typed.get("minor_signed", False),
            "witness_name": typed["witness_name"],
            "email": typed["email"],
        }


class SignedPrintForm(OnPaperForm):
    """The print of a release came back signed."""

    email = forms.EmailField(
        label="Their copy goes to", required=False, help_text="The scan goes there. Empty: no copy is sent."
    )
    has_same_text = forms.BooleanField(
        error_messages={
            "required": "Compare the code. If words were struck out or added, record it as a paper with its own words instead."
        }
    )
    field_order = (
        "has_same_text", "signer_name", "capacity", "signed_on", "minor_signed", "witness_name", "email", "sheets",
    )  # fmt: skip

    def __init__(self, *args: Any, release: Release, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields[
            "has_same_text"
        ].label = (
            f"The paper bears {release.number} and the code {release.text_code}, and no word was struck out or added"
        )
        self.fields["capacity"].choices = capacities_of(
            is_property=release.kind == Release.Kind.PROPERTY, is_minor=release.is_minor
        )
        if len(self.fields["capacity"].choices) == 1:
            self.fields["capacity"].initial = self.fields["capacity"].choices[0][0]
            self.fields["capacity"].widget = forms.HiddenInput()
        if release.is_minor:
            self.fields["signer_name"].label = "Parent or guardian who signed"
            self.fields["minor_signed"].label = f"{release.person} signed beside them"
            self.fields["capacity"].widget = forms.HiddenInput()
        else:
            del self.fields["minor_signed"]
        if release.asks_witness:
            self.fields["witness_name"].label = "Witness"
            self.fields["witness_name"].required = True


class ForeignPaperForm(OnPaperForm, ReleaseForm):
    """A signed paper with words of its own: what it is called, and its limits typed from it."""

    paper_wording = forms.CharField(
        label="Which paper is it",
        max_length=200,
        help_text="Its title and its version or date, as printed there. For example: Picture consent of the house, edition of March 2025.",
    )
    first_on = DayField(label="First day of use", required=False, help_text="Empty where the paper names none.")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in (
            "minor_age", "guardian_name", "signer", "asks_witness", "pictures_promised", "first_language", "second_language", "prevailing_language",
        ):  # fmt: skip
            del self.fields[name]
        self.fields["capacity"].choices = [
            *capacities_of(is_property=False, is_minor=False),
            *capacities_of(is_property=True, is_minor=False),
            *capacities_of(is_property=False, is_minor=True),
        ]
        self.fields["email"].label = "Their copy goes to"
        self.fields["email"].help_text = "The scan goes there. Empty: no copy is sent."
        self.fields["is_minor"].help_text = "A parent or guardian has signed then: their name stands below."
        self.fields["includes_portfolio"].label = "The paper also allows my own portfolio"
        self.fields["includes_portfolio"].initial = False
        self.helper.layout = self.laid_out()
        self.fields["reach"].label = "For which pictures does it say"
        self.fields["scope"].label = "For which uses does it say"
        self.fields["scope"].widget.details = {
            HOUSE: "The paper names this house’s own media, nobody else’s advertising.",
            NAMED: "Type what the paper names. What you leave empty counts as without a limit.",
            ANYTHING: "Only where the paper says so in words.",
        }

    def _layout(self) -> Layout:
        return Layout(
            Fieldset("The paper", "paper_wording", "sheets"),
            Fieldset("Who or what it is about", "about", "thing", "is_minor"),
            Fieldset(
                "Who signed it",
                Row("signer_name", "capacity"),
                Row("signed_on", "witness_name", css_class=AT_FOOT),
                "minor_signed",
                "email",
            ),
            Fieldset("Which pictures", "reach", *self._if_there("also_for")),
            Fieldset(
                "Which uses",
                "scope",
                "media",
                "classes",
                "territories",
                Row("first_on", "last_on"),
                "includes_portfolio",
            ),
        )

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        first, last = typed.get("first_on"), typed.get("last_on")
        if first and last and last < first:
            self.add_error("last_on", "The last day lies before the first. Enter a day on or after it.")
        is_property = not (typed.get("about") or "person:").startswith("person:")
        allowed = dict(capacities_of(is_property=is_property, is_minor=bool(typed.get("is_minor"))))
        if typed.get("capacity") and typed["capacity"] not in allowed:
            self.add_error(
                "capacity",
                "For somebody under age a parent or guardian signs, for a place or a thing its owner or who may sign for the owner, for anybody else they themselves.",
            )
        if typed.get("minor_signed") and not typed.get("is_minor"):
            self.add_error("minor_signed", "Nobody is under age here. Take this tick out.")
        return typed

    def recorded(self) -> dict[str, Any]:
        """What was typed, as ``record_foreign_paper`` takes it, but for the sheets."""
        first = self.cleaned_data["first_on"]
        limits = self.limits_chosen()
        if limits["is_minor"]:
            limits["guardian_name"] = self.cleaned_data["signer_name"]
        return {**limits, **self.how_signed(), "use_from": first, "paper_wording": self.cleaned_data["paper_wording"]}


def capacities_of(*, is_property: bool, is_minor: bool) -> list[tuple[str, str]]:
    """As what somebody may sign: a guardian for the young, the owner for a place, anybody else for themselves."""
    if is_minor:
        return [(Release.Capacity.GUARDIAN, "As parent or guardian")]
    if is_property:
        return [
            (Release.Capacity.OWNER, "As the owner"),
            (Release.Capacity.FOR_OWNER, "For the owner, who has allowed it"),
        ]
    return [(Release.Capacity.SELF, "For themselves")]


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
    witness_name = forms.CharField(max_length=120, required=False, widget=forms.TextInput({"autocomplete": "off"}))
    witness_signature = SignatureField(required=False)
    witness_typed = forms.BooleanField(required=False)

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
        self.asks_witness = release.asks_witness
        self.fields["witness_signature"].label = labels["witness_sign"]
        self.fields["witness_name"].required = True
        self.fields["witness_name"].error_messages["required"] = labels["witness_missing"]
        if not release.asks_witness:
            for name in ("witness_name", "witness_signature", "witness_typed"):
                del self.fields[name]
        self.signature_missing, self.witness_missing = labels["signature_missing"], labels["witness_missing"]

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        if not typed.get("signature") and not typed.get("typed_counts") and "signature" not in self.errors:
            self.add_error("typed_counts", self.signature_missing)
        has_witness = typed.get("witness_signature") or typed.get("witness_typed") or "witness_signature" in self.errors
        if self.asks_witness and typed.get("witness_name") and not has_witness:
            self.add_error("witness_typed", self.witness_missing)
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
            "witness_name": typed.get("witness_name", ""),
            "witness_signature_path": typed.get("witness_signature", ""),
            "is_of_full_age": typed["is_of_full_age"],
        }


class BesideGuardianForm(SheetForm):
    """What the person under age answers, before the guardian. Their name is the release's own."""

    text_sha256 = forms.CharField(widget=forms.HiddenInput)
    has_read = forms.BooleanField()
    signature = SignatureField(required=False)
    typed_counts = forms.BooleanField(required=False)

    def __init__(self, *args: Any, labels: dict[str, str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["has_read"].label = labels["minor_has_read"]
        self.fields["typed_counts"].label = labels["minor_typed_counts"]
        self.signature_missing = labels["signature_missing"]

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        if not typed.get("signature") and not typed.get("typed_counts") and "signature" not in self.errors:
            self.add_error("typed_counts", self.signature_missing)
        return typed

    def answer(self, name: str) -> dict[str, Any]:
        """What was answered, as ``sign_beside_guardian`` takes it; ``name`` is typed where nothing was drawn."""
        typed = self.cleaned_data
        return {
            "text_sha256": typed["text_sha256"],
            "signature_path": typed["signature"],
            "typed_name": "" if typed["signature"] else name,
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
            Release.Decision.STOP: "You ask every holder to stop, and call open deliveries back.",
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
