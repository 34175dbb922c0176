"""What is typed to add a medium or a region, or to rename one."""

from collections.abc import Mapping
from typing import Any

from django import forms

from shared.words.forms import SheetForm
from shoots.scopes.queries import lines_of, own_regions
from shoots.uses.stored import MEDIA, CodeRefused, medium_code, region_code, region_parent
from shoots.uses.trees import Tree

INDENT = "\u2003"
FIELDS = {"en": "name", "de": "german", "fr": "french", "es": "spanish", "it": "italian", "sv": "swedish"}


class NamesForm(SheetForm):
    """A name in English, and in German where papers go out in German; in the other languages of a licence it is given later."""

    name = forms.CharField(label="Name in English", max_length=80)
    german = forms.CharField(
        label="Name in German",
        max_length=80,
        required=False,
        help_text="Empty: the English name stands on German papers. Other languages: press the name afterwards.",
    )

    def names(self) -> dict[str, str]:
        """Language and name. Only after a clean form."""
        return {"en": self.cleaned_data["name"], "de": self.cleaned_data["german"]}

    def refuse(self, refused: CodeRefused) -> None:
        """Show what cannot be at the field it is about."""
        self.add_error(refused.part if refused.part in self.fields else "name", str(refused))


class RenameForm(NamesForm):
    """The name in every language a licence can be in."""

    french = forms.CharField(label="Name in French", max_length=80, required=False)
    spanish = forms.CharField(label="Name in Spanish", max_length=80, required=False)
    italian = forms.CharField(label="Name in Italian", max_length=80, required=False)
    swedish = forms.CharField(label="Name in Swedish", max_length=80, required=False)

    def __init__(self, *args: Any, names: Mapping[str, str], **kwargs: Any) -> None:
        fields = {field: names.get(language, "") for language, field in FIELDS.items()}
        super().__init__(*args, initial=fields, **kwargs)
        self.fields["german"].help_text = ""

    def names(self) -> dict[str, str]:
        """Language and name. Only after a clean form."""
        return {language: self.cleaned_data[field] for language, field in FIELDS.items()}


class MediumForm(NamesForm):
    """A medium below another."""

    prefix = "medium"
    parent = forms.ChoiceField(label="Part of")
    is_own_promotion = forms.BooleanField(
        label="A house shows itself there", required=False, help_text="Then it counts as own promotion, like a website or a menu."
    )  # fmt: skip
    field_order = ("parent", "name", "german", "is_own_promotion")

    def __init__(self, *args: Any, tree: Tree, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["parent"].choices = [  # type: ignore[attr-defined]
            (line.code, INDENT * line.depth + line.name) for line in lines_of(MEDIA, tree)
        ]

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        if "name" in found and "parent" in found:
            try:
                medium_code(found["parent"], found["name"])
            except CodeRefused as refused:
                self.refuse(refused)
        return found


class RegionForm(NamesForm):
    """A region of ISO 3166-2: below its country, or below a region of the studio's own."""

    prefix = "region"
    parent = forms.ChoiceField(label="Lies in", required=False)
    code = forms.CharField(
        label="Code", max_length=10, help_text="As ISO 3166-2 has it: the country, a hyphen, the region. Bavaria is DE-BY."
    )  # fmt: skip
    field_order = ("code", "parent", "name", "german")

    def __init__(self, *args: Any, tree: Tree, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.tree = tree
        regions = [(line.code, INDENT * (line.depth + 1) + line.name) for line in own_regions(tree)]
        self.fields["parent"].choices = [("", "Its country, directly"), *regions]  # type: ignore[attr-defined]
        if not regions:
            del self.fields["parent"]

    def clean_code(self) -> str:
        try:
            return region_code(self.cleaned_data["code"])[0]
        except CodeRefused as refused:
            raise forms.ValidationError(str(refused)) from None

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        if found.get("parent") and "code" in found:
            try:
                region_parent(self.tree, found["code"], found["parent"])
            except CodeRefused as refused:
                self.refuse(refused)
        return found
