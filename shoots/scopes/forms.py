"""What is typed to add a medium or a region, or to rename one."""

from typing import Any

from django import forms

from shared.words.forms import SheetForm
from shoots.scopes.queries import lines_of
from shoots.uses.stored import MEDIA, CodeRefused, medium_code, region_code
from shoots.uses.trees import Tree

INDENT = "\u2003"


class NamesForm(SheetForm):
    """A name in English, and in German where papers go out in German."""

    name = forms.CharField(label="Name in English", max_length=80)
    german = forms.CharField(
        label="Name in German",
        max_length=80,
        required=False,
        help_text="Empty: the English name stands on German papers.",
    )

    def names(self) -> dict[str, str]:
        """Language and name. Only after a clean form."""
        return {"en": self.cleaned_data["name"], "de": self.cleaned_data["german"]}

    def refuse(self, refused: CodeRefused) -> None:
        """Show what cannot be at the field it is about."""
        self.add_error(refused.part if refused.part in self.fields else "name", str(refused))


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
    """A region of ISO 3166-2."""

    prefix = "region"
    code = forms.CharField(
        label="Code", max_length=10, help_text="As ISO 3166-2 has it: the country, a hyphen, the region. Bavaria is DE-BY."
    )  # fmt: skip
    field_order = ("code", "name", "german")

    def clean_code(self) -> str:
        try:
            return region_code(self.cleaned_data["code"])[0]
        except CodeRefused as refused:
            raise forms.ValidationError(str(refused)) from None
