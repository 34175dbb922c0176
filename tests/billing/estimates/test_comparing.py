from dataclasses import replace
from decimal import Decimal

import pytest

from billing.estimates import actions
from billing.estimates.comparing import TEXTS, compared, uses_told
from billing.estimates.models import EstimateLine
from billing.estimates.queries import estimate_in_full, estimate_shown
from shared.business.queries import current_business
from shared.words.phrases import LICENCE_LANGUAGES
from shoots.uses.intended import ANY_NUMBER
from tests.billing.estimates.pages import MENU
from tests.factories.billing import AT, drafted


def shown_of(estimate):
    row = estimate_in_full(estimate.pk)
    return estimate_shown(row, business=current_business(AT.date()), on=AT.date())


def two(**of_b):
    estimate = drafted()
    actions.add_option(estimate, copied_from="A")
    estimate.options.filter(letter="B").update(title="The whole table", **of_b)
    return estimate


def facts(column):
    return {fact.name: fact.values for fact in column.facts}


@pytest.mark.django_db
def test_what_differs_stands_under_each_option_and_what_is_the_same_is_said_once():
    estimate = two(use_territories=["DE", "AT"], use_months=36, pictures_count=9)
    b = estimate.options.get(letter="B")
    b.lines.filter(kind="shooting_day").update(quantity=2)
    EstimateLine.objects.create(option=b, what="Stylist", unit_price=Decimal(420), order=40)
    EstimateLine.objects.create(option=b, what="Portrait", unit_price=Decimal(150), is_optional=True, order=41)
    found = compared(shown_of(estimate))
    left, right = (facts(column) for column in found.columns)
    assert list(left) == list(right)  # a row of the one is the same row of the other
    assert (left["Pictures"], right["Pictures"]) == (("6",), ("9",))
    assert (left["On set"], right["On set"]) == (("1\u00a0day",), ("2\u00a0days",))
    assert (left["Countries"], right["Countries"]) == (("Germany",), ("Austria and Germany",))
    assert (left["For how long"], right["For how long"]) == (("24\u00a0months",), ("36\u00a0months",))
    assert (left["Also in it"], right["Also in it"]) == (("none",), ("Stylist",))
    assert (left["You may add"], right["You may add"]) == (("none",), ("Portrait, €150.00",))
    same = {fact.name: fact.values for fact in found.same}
    assert same["Where shown"] == ("Website and social media",)
    assert same["What for"] == ("Own promotion of Walnut Lantern",)
    assert not same.keys() & left.keys()


@pytest.mark.django_db
def test_any_number_of_copies_is_not_told_as_none():
    estimate = two(use_copies=ANY_NUMBER)
    estimate.options.update(use_media=["print.brochure"])
    estimate.options.filter(letter="A").update(use_copies=900)
    left, right = (facts(column) for column in compared(shown_of(estimate)).columns)
    assert (left["Copies printed"], right["Copies printed"]) == (("900",), ("any number of copies",))


@pytest.mark.django_db
def test_a_long_list_says_its_first_and_how_many_more():
    estimate = two()
    b = estimate.options.get(letter="B")
    EstimateLine.objects.bulk_create(
        EstimateLine(option=b, what=f"Plate {number}", unit_price=10, order=40 + number) for number in range(1, 9)
    )
    told = facts(compared(shown_of(estimate)).columns[1])["Also in it"]
    assert told == ("Plate 1", "Plate 2", "Plate 3", "Plate 4", "Plate 5", "and 3 more")


@pytest.mark.django_db
def test_of_one_option_everything_is_said_once():
    found = compared(shown_of(drafted()))
    assert [column.facts for column in found.columns] == [()]
    assert {fact.name for fact in found.same} >= {"On set", "Pictures", "Countries", "Deposit"}


@pytest.mark.django_db
def test_a_use_that_all_options_have_is_said_once_and_the_others_under_their_option():
    estimate = drafted()
    actions.add_item(estimate, letter="A", use=MENU)
    actions.add_option(estimate, copied_from="A")
    actions.add_item(estimate, letter="B", use=MENU | {"use_media": ["print.packaging"], "use_copies": 5000})
    found = compared(shown_of(estimate))
    same = {fact.name: fact.values for fact in found.same}
    assert len(same["Uses"]) == 2
    assert facts(found.columns[0])["Further uses"] == ("none",)
    assert "packaging" in facts(found.columns[1])["Further uses"][0]


@pytest.mark.django_db
def test_sentences_that_hold_for_all_uses_of_an_option_are_said_once():
    estimate = drafted()
    actions.add_item(estimate, letter="A", use=MENU)
    option = shown_of(estimate).options[0]
    told = uses_told(option)
    every = [*option.use.sentences, *option.further_uses[0].sentences]
    said = " ".join([*(f"{use.heading}: {use.rest}" for use in told.each), told.common])
    assert all(each.removeprefix(f"{option.use.heading}: ") in said for each in every)  # nothing is lost
    assert said.count("It covers 6 pictures.") == 1
    alone = uses_told(replace(option, further_uses=()))
    assert (alone.common, len(alone.each)) == ("", 1)


@pytest.mark.parametrize("language", LICENCE_LANGUAGES)
def test_every_language_has_every_word(language):
    assert TEXTS[language].keys() == TEXTS["en"].keys()
    assert all(TEXTS[language].values())
