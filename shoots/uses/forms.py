"""The fields of an intended use, for every form that asks for one: a shoot's brief, an option of an estimate, a licence."""

import re
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms

from shared.words import formats
from shared.words.formats import with_capital
from shared.words.forms import ChoiceCards, SheetForm, TickList
from shoots.uses.intended import (
    ANY_NUMBER,
    ENDLESS,
    LONGEST_MONTHS,
    MOST_COPIES,
    Exclusivity,
    IntendedUse,
    InvalidUse,
    is_own_promotion,
)
from shoots.uses.media_tree import media_choices
from shoots.uses.sentences import LicenceWords, territory_choices, use_sentence
from shoots.uses.shipped import IN_FORCE
from shoots.uses.territory_tree import GROUPS, expand_groups

KINDS = (
    ("own_promotion", "Own promotion"),
    ("advertising", "Advertising"),
    ("editorial", "Editorial"),
    ("stock", "Stock sale"),
    ("other", "Several of these"),
)
KIND_DETAILS = {
    "own_promotion": "The house shows itself: website, posts, menu, its own rooms.",
    "advertising": "Promotes or sells, also in paid space or on packaging.",
    "editorial": "Informs, in a magazine, a book or a report.",
    "stock": "Sold through a library or to buyers not known yet.",
    "other": "Tick the classes below.",
}
CLASSES = (("advertising", "Advertising"), ("editorial", "Editorial"), ("stock", "Stock sale"))
COMMON_PLACES = ("DE", "AT", "CH", "DACH", "EU", "GB", "europe", "world")
TERMS = (("12", "1 year"), ("24", "2 years"), ("36", "3 years"), ("60", "5 years"), (ENDLESS, "Without end"))
EXCLUSIVITIES = (("none", "Not exclusive"), ("trade", "No other firm of the same trade"), ("picture", "Nobody else"))
EMPTY: dict[str, Any] = {
    "is_own_promotion": True, "use_classes": ["advertising"], "use_media": ["web.own", "web.social"], "use_territories": [], "use_months": 24,
    "exclusivity": "none", "exclusive_months": None, "use_copies": None,
}  # fmt: skip
# Where a mistake of the value shows: its own name for the part, then the field.
FIELD_OF_PART = {
    "classes": "use_classes",
    "media": "use_media",
    "territories": "use_places",
    "months": "use_months",
    "copies": "use_copies",
}
COPIES_MISSING = "A printed use counts its copies. Enter how many at most, or tick Any number of copies."
BOTH_COPIES = "Enter a number of copies or tick Any number, not both."


class MediaField(forms.MultipleChoiceField):
    """Offers some of the media and takes any that the tree knows."""

    def valid_value(self, value: Any) -> bool:
        return value in IN_FORCE.media


class UseFields:
    """Mixin for SheetForm and SheetModelForm. A bound row (``instance``) or ``use`` (fields of a use by name) fills it in.

    ``use_values()`` gives the fields for the row after a clean form; ``use_on`` is the day on which groups of countries are read.
    Copies are a number or any number where a medium counts them, and left aside where none does; ``is_still_open``: while the form is
    being filled in they may be missing.
    """

    is_still_open = False

    def __init__(
        self, *args: Any, use: Mapping[str, Any] | None = None, use_on: date | None = None, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.use_on = use_on
        known = dict(EMPTY)
        instance = getattr(self, "instance", None)
        if instance is not None and instance.pk:
            known = {name: getattr(instance, name) for name in EMPTY}
        known |= use or {}
        for name, field in _fields(known).items():
            self.fields[name] = field
            self.dress(field)
        self._offer_sent_term()

    def _offer_sent_term(self) -> None:
        """A page that hands a use over sends its months as they are: any term is taken, and shown as chosen."""
        sent, field = str(self.data.get(self.add_prefix("use_months"), "")), self.fields["use_months"]
        if is_term(sent) and not field.valid_value(sent):
            *terms, endless = field.choices
            field.choices = [*terms, (sent, formats.quantity(int(sent), "month", "en")), endless]

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        self._use: IntendedUse | None = None
        if any(name in self.errors for name in _fields(EMPTY)):
            return found
        kind = found["use_kind"]
        classes = found["use_classes"] if kind == "other" else ["advertising" if kind == "own_promotion" else kind]
        try:
            places, _groups = expand_groups(
                [*found["use_places"], *found["use_more_places"]], on=self.use_on or date.max
            )
            use = IntendedUse(
                classes=frozenset(classes),
                media=frozenset([*found["use_media"], *found["use_more_media"]]),
                territories=places,
                months=found["use_months"],
                exclusivity=Exclusivity(found["exclusivity"]),
                exclusive_months=found["exclusive_months"],
                copies=self._copies(found),
            )
        except InvalidUse as error:
            self.add_error(FIELD_OF_PART.get(error.path, error.path), str(error))
            return found
        self._refuse_contradictions(use, kind)
        self._use = use
        return found

    def _refuse_contradictions(self, use: IntendedUse, kind: str) -> None:
        if kind == "own_promotion" and not is_own_promotion(use.classes, use.media):
            others = [
                name
                for code, name in media_choices()
                if code in use.media and not IN_FORCE.media.is_own_promotion(frozenset({code}))
            ]
            sentence = f"Own promotion does not reach {', '.join(others)}. Leave that out, or choose Advertising."
            self.add_error("use_more_media", sentence)
        is_missing = use.copies is None and IN_FORCE.media.is_counted(use.media)
        if is_missing and not self.is_still_open and not self.errors:
            self.add_error("use_copies", COPIES_MISSING)
        if found_both(self.cleaned_data) and IN_FORCE.media.is_counted(use.media):
            self.add_error("use_copies", BOTH_COPIES)
        if use.exclusive_months and use.exclusivity == Exclusivity.NONE:
            self.add_error("exclusive_months", "Choose who is shut out, or leave the months empty.")
        elif use.exclusive_months and use.months and use.exclusive_months > use.months:
            self.add_error("exclusive_months", f"The licence ends before that. Enter up to {use.months} months.")

    @staticmethod
    def _copies(found: Mapping[str, Any]) -> int | None:
        """What was said of copies, where a chosen medium counts them."""
        if not IN_FORCE.media.is_counted(
            frozenset([*found["use_media"], *found["use_more_media"]]) & set(IN_FORCE.media.nodes)
        ):
            return None
        return ANY_NUMBER if found["use_any_number"] else found["use_copies"]

    def use_values(self) -> dict[str, Any]:
        """The fields of the row, in codes. Only after a clean form."""
        use = self._use
        if use is None:
            raise ValueError("The form has mistakes.")
        return {
            "is_own_promotion": self.cleaned_data["use_kind"] == "own_promotion",
            "use_classes": sorted(use.classes),
            "use_media": _in_order(use.media, IN_FORCE.media.nodes),
            "use_territories": _in_order(use.territories, IN_FORCE.territories.nodes),
            "use_months": use.months,
            "exclusivity": use.exclusivity.value,
            "exclusive_months": use.exclusive_months if use.exclusivity != Exclusivity.NONE else None,
            "use_copies": use.copies,
        }

    def use_in_words(self, licensee: str, language: str = "en") -> str:
        """The use as a sentence. Only after a clean form."""
        return use_words(self.use_values(), licensee, language)


def use_words(values: Mapping[str, Any], licensee: str, language: str = "en") -> str:
    """A row's use as a sentence: *Own promotion of Walnut Lantern: website and social media, aimed at Germany …*; empty without media or places."""
    if not (values["use_classes"] and values["use_media"] and values["use_territories"]):
        return ""
    words = LicenceWords(
        licensee=licensee,
        classes=frozenset(values["use_classes"]),
        media=frozenset(values["use_media"]),
        territories=frozenset(values["use_territories"]),
        months=values["use_months"],
        exclusivity=Exclusivity(values["exclusivity"]),
        exclusive_months=values["exclusive_months"],
        copies=values["use_copies"] or None,
        are_copies_unlimited=values["use_copies"] == ANY_NUMBER,
    )
    return use_sentence(words, language)


def is_term(text: str) -> bool:
    """Whether a text names a number of months that a licence can have."""
    return text.isdecimal() and len(text) <= 5 and 1 <= int(text) <= LONGEST_MONTHS


def found_both(found: Mapping[str, Any]) -> bool:
    """Whether a number was typed and any number ticked beside it."""
    return bool(found.get("use_copies") and found.get("use_any_number"))


def _fields(known: Mapping[str, Any]) -> dict[str, forms.Field]:
    common, other = _places(known["use_territories"])
    places = territory_choices("en")
    own, more = _media(own=True), _media(own=False)
    months = str(known["use_months"]) if known["use_months"] else ENDLESS
    terms = TERMS if months in dict(TERMS) else (*TERMS[:-1], (months, f"{months} months"), TERMS[-1])
    return {
        "use_kind": forms.ChoiceField(label="What for", choices=KINDS, initial=_kind(known), widget=ChoiceCards(details=KIND_DETAILS)),
        "use_classes": forms.MultipleChoiceField(
            label="Classes, if several", choices=CLASSES, required=False, initial=list(known["use_classes"]), widget=TickList
        ),
        "use_media": MediaField(
            label="Where it is shown", choices=own, required=False, initial=[code for code, _ in own if code in known["use_media"]], widget=TickList
        ),
        "use_more_media": MediaField(
            label="Other media, beyond own promotion", choices=more, required=False, initial=[code for code, _ in more if code in known["use_media"]],
            widget=TickList,
        ),
        "use_places": forms.MultipleChoiceField(
            label="Markets aimed at", choices=_common_places(places), required=False, initial=common, widget=TickList,
            help_text="A website and posts can be read everywhere; the market is whom they are meant for.",
        ),
        "use_more_places": forms.MultipleChoiceField(
            label="More countries", choices=places, required=False, initial=other,
            widget=forms.SelectMultiple(attrs={"size": "6"}), help_text="Hold Ctrl (Cmd on a Mac) to choose several.",
        ),
        "use_months": forms.TypedChoiceField(label="For how long", choices=terms, initial=months, coerce=_months, empty_value=None),
        "exclusivity": forms.ChoiceField(label="Shut out", choices=EXCLUSIVITIES, initial=known["exclusivity"]),
        "exclusive_months": forms.IntegerField(
            label="Shut out for, months", required=False, min_value=1, max_value=LONGEST_MONTHS, initial=known["exclusive_months"],
            help_text="Empty: as long as the licence.",
        ),
        "use_copies": forms.IntegerField(
            label="Copies at most", required=False, min_value=1, max_value=MOST_COPIES, initial=known["use_copies"] or None,
            help_text="Counted in print only; without a printed medium it is left aside.",
        ),
        "use_any_number": forms.BooleanField(
            label="Any number of copies", required=False, initial=known["use_copies"] == ANY_NUMBER
        ),
    }  # fmt: skip


def _kind(known: Mapping[str, Any]) -> str:
    if known["is_own_promotion"]:
        return "own_promotion"
    classes = list(known["use_classes"])
    return classes[0] if len(classes) == 1 else "other"


def _media(*, own: bool) -> list[tuple[str, str]]:
    """The media that a house uses for itself, or the others, with the words of the tree as labels."""
    return [
        (code, with_capital(name))
        for code, name in media_choices()
        if IN_FORCE.media.is_own_promotion(frozenset({code})) is own
    ]


def _common_places(places: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    names = dict(places)
    groups = {code: f"{group.name} ({len(group.members)} countries)" for code, group in GROUPS.items()}
    words = [(code, groups.get(code) or names[code]) for code in COMMON_PLACES]
    return [(code, with_capital(name)) for code, name in words]


def _places(codes: Iterable[str]) -> tuple[list[str], list[str]]:
    """Which ticks and which other places show these codes: a whole group as its own tick, so that it is not read as 27 countries."""
    left = set(codes)
    ticked = []
    for code in sorted(GROUPS, key=lambda each: -len(GROUPS[each].members)):
        if code in COMMON_PLACES and GROUPS[code].members <= left:
            ticked.append(code)
            left -= GROUPS[code].members
    ticked += [code for code in COMMON_PLACES if code in left]
    return ticked, sorted(left - set(ticked))


def _months(value: str) -> int | None:
    return None if value == ENDLESS else int(value)


def _in_order(codes: Iterable[str], order: Iterable[str]) -> list[str]:
    chosen = set(codes)
    return [code for code in order if code in chosen]


# A use in the address of a page


class UseForm(UseFields, SheetForm):
    """A use alone, as an address carries it or a page tries it out."""

    is_still_open = True


def use_address(values: Mapping[str, Any]) -> list[tuple[str, str]]:
    """The fields of a use as the form would send them."""
    own, more = dict(_media(own=True)), dict(_media(own=False))
    common, other = _places(values["use_territories"])
    pairs = [("use_kind", _kind(values)), *(("use_classes", code) for code in values["use_classes"])]
    pairs += [("use_media", code) for code in values["use_media"] if code in own]
    pairs += [("use_more_media", code) for code in values["use_media"] if code in more]
    pairs += [("use_places", code) for code in common] + [("use_more_places", code) for code in other]
    pairs += [("use_months", str(values["use_months"] or ENDLESS)), ("exclusivity", values["exclusivity"])]
    pairs += [(name, str(values[name])) for name in ("exclusive_months", "use_copies") if values[name]]
    return [*pairs, ("use_any_number", "on")] if values["use_copies"] == ANY_NUMBER else pairs


def use_in_address(query: Any, *, on: date) -> dict[str, Any]:
    """The fields of a use that an address carries; empty where it carries none, or not a whole one."""
    if "use_kind" not in query:
        return {}
    form = UseForm(query, use_on=on)
    return form.use_values() if form.is_valid() else {}


def fee_in_address(query: Any) -> Decimal | None:
    """The fee that whoever priced a use hands in with an address, as 240.00; anything else is none."""
    text = query.get("fee", "")
    return Decimal(text) if re.fullmatch(r"\d{1,10}(\.\d{1,2})?", text, re.ASCII) else None
