from datetime import date

import pytest

from shared.words.formats import plain_spaces
from shared.words.forms import SheetForm
from shoots.uses.forms import UseFields, found_both, use_address, use_words
from shoots.uses.intended import ANY_NUMBER

OWN = {
    "use_kind": "own_promotion", "use_media": ["web.own", "web.social"], "use_places": ["DE"], "use_months": "24", "exclusivity": "none",
}  # fmt: skip


class UseForm(UseFields, SheetForm):
    """A form that asks for nothing but the use."""


def cleaned(**typed) -> UseForm:
    form = UseForm({**OWN, **typed}, use_on=date(2026, 10, 28))
    form.is_valid()
    return form


def test_own_promotion_is_the_first_choice_and_becomes_codes():
    assert UseForm()["use_kind"].value() == "own_promotion"
    assert cleaned().use_values() == {
        "is_own_promotion": True, "use_classes": ["advertising"], "use_media": ["web.own", "web.social"], "use_territories": ["DE"], "use_months": 24,
        "exclusivity": "none", "exclusive_months": None, "use_copies": None,
    }  # fmt: skip


def test_a_use_reads_as_a_sentence():
    assert plain_spaces(cleaned().use_in_words("Walnut Lantern")) == (
        "Own promotion of Walnut Lantern: website and social media, aimed at Germany, for 24 months from delivery, not exclusive."
    )
    assert use_words({**cleaned().use_values(), "use_territories": []}, "Walnut Lantern") == ""


def test_a_group_of_countries_becomes_its_members_of_the_day_and_shows_as_the_group_again():
    values = cleaned(use_places=["DACH"], use_more_places=["NL"]).use_values()
    assert set(values["use_territories"]) == {"DE", "AT", "CH", "NL"}
    again = UseForm(use=values)
    assert (again["use_places"].value(), again["use_more_places"].value()) == (["DACH"], ["NL"])


def test_a_licence_without_end_is_chosen_and_never_slipped_into():
    assert cleaned(use_months="endless").use_values()["use_months"] is None
    assert "use_months" in cleaned(use_months="").errors
    assert UseForm(use={"use_months": 18})["use_months"].value() == "18"


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"use_more_media": ["print.ad"]}, "use_more_media", "Own promotion does not reach printed advertisements"),
        ({"use_media": []}, "use_media", "Choose at least one medium"),
        ({"use_places": []}, "use_places", "at least one territory"),
        ({"use_kind": "other"}, "use_classes", "at least one class"),
        ({"use_kind": "editorial", "use_media": ["print.editorial"]}, "use_copies", "tick Any number"),
        (
            {"use_kind": "editorial", "use_media": ["print.editorial"], "use_copies": "9", "use_any_number": "on"},
            "use_copies",
            "not both",
        ),
        ({"use_kind": "editorial", "use_media": ["print.editorial"], "use_copies": "0"}, "use_copies", "1 or more"),
        ({"exclusive_months": "6"}, "exclusive_months", "Choose who is shut out"),
        ({"exclusivity": "trade", "exclusive_months": "36"}, "exclusive_months", "up to 24 months"),
        ({"use_media": ["web.telepathy"]}, "use_media", "no longer offered"),
    ],
)
def test_a_use_that_cannot_be_is_said_under_its_field(typed, field, words):
    form = cleaned(**typed)
    assert list(form.errors) == [field]
    assert words in form.errors[field][0]


def test_media_of_own_promotion_stand_first_and_the_others_are_kept_apart():
    values = cleaned(use_kind="advertising", use_more_media=["print.ad", "web.display"], use_copies="900").use_values()
    assert values["use_media"] == ["web.own", "web.social", "web.display", "print.ad"]
    again = UseForm(use=values)
    assert (again["use_media"].value(), again["use_more_media"].value()) == (
        ["web.own", "web.social"],
        ["web.display", "print.ad"],
    )


def test_other_uses_keep_their_classes():
    editorial = cleaned(use_kind="editorial", use_media=["print.editorial"], use_copies="12000").use_values()
    assert (editorial["is_own_promotion"], editorial["use_classes"], editorial["use_copies"]) == (
        False,
        ["editorial"],
        12000,
    )
    both = cleaned(use_kind="other", use_classes=["editorial", "advertising"], use_media=["web"]).use_values()
    assert both["use_classes"] == ["advertising", "editorial"]
    assert UseForm(use=both)["use_kind"].value() == "other"


def test_shutting_out_ends_with_the_licence_unless_it_is_shorter():
    assert cleaned(exclusivity="trade", exclusive_months="12").use_values()["exclusive_months"] == 12
    assert cleaned(exclusivity="picture").use_values()["exclusive_months"] is None


def test_any_number_of_copies_is_a_choice_and_comes_back_ticked():
    printed = {"use_kind": "editorial", "use_media": ["print.editorial"]}
    values = cleaned(**printed, use_any_number="on").use_values()
    assert values["use_copies"] == ANY_NUMBER
    again = UseForm(use=values)
    assert (again["use_copies"].value(), again["use_any_number"].value()) == (None, True)
    assert ("use_any_number", "on") in use_address(values)
    assert ("use_copies", "900") in use_address({**values, "use_copies": 900})


@pytest.mark.parametrize("typed", [{"use_copies": "500"}, {"use_any_number": "on"}])
def test_copies_of_what_is_not_printed_are_left_aside(typed):
    form = cleaned(**typed)
    assert form.is_valid()
    assert form.use_values()["use_copies"] is None


def test_while_a_use_is_tried_out_its_copies_may_be_missing():
    class Trying(UseForm):
        is_still_open = True

    form = Trying({**OWN, "use_kind": "editorial", "use_media": ["print.editorial"]}, use_on=date(2026, 10, 28))
    assert form.is_valid()
    assert form.use_values()["use_copies"] is None


def test_a_form_knows_a_number_and_any_number_apart():
    assert found_both({"use_copies": 5, "use_any_number": True})
    assert not found_both({"use_copies": None, "use_any_number": True})
