import subprocess
from datetime import UTC, date, datetime
from decimal import Decimal as D

import pytest
from django.utils import timezone

from shoots.shopping.actions import add_purchases, change_purchases, count_props, set_dish_shopping
from shoots.shopping.papers import props_pdf, shopping_pdf
from shoots.shopping.queries import prop_sheet_of, shoot_for_shopping, shopping_of, shopping_sheet_of
from tests.factories.plan import dish_read
from tests.factories.shoots import DishFactory, ShootFactory
from tests.factories.shopping import PropFactory, broth

pytestmark = pytest.mark.django_db
AT = datetime(2026, 11, 12, 8, 0, tzinfo=UTC)


def read_back(printed: bytes, tmp_path) -> str:
    path = tmp_path / "paper.pdf"
    path.write_bytes(printed)
    facts = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
    assert "Tagged: yes" in " ".join(facts.split())
    said = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout
    return " ".join(said.split())


def sheet_of(shoot, language="en"):
    return shopping_sheet_of(shopping_of(shoot_for_shopping(shoot.pk).get()), language=language, at=AT)


def shopped_for_winter():
    shoot = ShootFactory(title="Winter menu")
    dish = broth(shoot)
    values = {
        "eaters": 4,
        "garnish": "The best leaves",
        "eaten_portions": D(4),
        "eaten_by": "the staff",
        "thrown_portions": D(1),
    }
    set_dish_shopping(dish, values=values, version=1)
    DishFactory(shoot=shoot, name="Trout")
    add_purchases(shoot, words=["Ice"])
    key = next(each.key for each in shopping_of(shoot_for_shopping(shoot.pk).get()).lines if each.name == "eggs")
    bought = {"price": D("6.00"), "where": "Market", "who": "Ivo", "is_bought": True}
    change_purchases(shoot, changes={key: bought}, at=AT, by="Ivo")
    return shoot


def test_the_shopping_list_shows_its_arithmetic_and_is_tagged(tmp_path):
    sheet = sheet_of(shopped_for_winter())
    printed = shopping_pdf(sheet)
    assert printed == shopping_pdf(sheet)
    said = read_back(printed, tmp_path)
    for words in (
        "Shopping and keep-backs, Winter menu",
        "2 heroes (one spare) + 1 stand-in + 1 spare for further takes + 4 eaten = 8 portions = the recipe × 2.",
        "recipe 400 ml × 2 = 800 ml",
        "recipe 5 × 2 = 10, + 2 spare = 12",
        "Hold back 533 ml of 800 ml stock, poured in three, 267 ml a take",
        "Have 12 eggs: 10 for the dish and 2 spare",
        "as needed: see the words",
        "eggs (bought)",
        "Market, Ivo",
        "All with a price",
        "Set aside for the hero: The best leaves.",
        "Eaten: 4 portions, the staff",
        "Thrown away: 1 portion",
        "No recipe yet.",
        "Not for eating once handled on set",
        "Ice",
    ):
        assert words in said


def test_the_shopping_list_in_german_is_german_throughout(tmp_path):
    said = read_back(shopping_pdf(sheet_of(shopped_for_winter(), "de")), tmp_path)
    for words in (
        "Einkauf und Zurückgehaltenes, Winter menu",
        "= 8 Portionen = das Rezept × 2",
        "Rezept 5 × 2 = 10, + 2 Reserve = 12",
        "Von 800 ml stock 533 ml zurückhalten, in drei Gängen je 267 ml",
        "nach Bedarf",
        "Gegessen: 4 Portionen, the staff",
        "Noch kein Rezept.",
        "wird nicht gegessen",
    ):
        assert words in said
    assert not [
        word
        for word in ("To buy", "recipe ", "Hold back", "How much", "Before anybody", "spare", "eaten")
        if word in said
    ]


def test_a_list_without_anything_says_so(tmp_path):
    said = read_back(shopping_pdf(sheet_of(ShootFactory())), tmp_path)
    assert "Nothing to buy yet" in said
    assert "What it costs" not in said


def test_a_joined_line_of_two_dishes_with_one_name_is_printed(tmp_path):
    shoot = ShootFactory()
    for place in range(2):
        dish_read(shoot, name="Bean stew", order=place)
    said = read_back(shopping_pdf(sheet_of(shoot)), tmp_path)
    assert said.count("Bean stew: recipe 500 g × 0.75 = 375 g") == 2
    assert "together 750 g" in said


def test_the_prop_list_is_printed_in_both_languages(tmp_path):
    shoot = ShootFactory(title="Winter menu")
    prop = PropFactory(
        shoot=shoot, what="Black plates", count=4, source="hired", from_whom="Skerry Prop Cellar", goes_back_to="the counter",
        back_by=datetime(2026, 11, 18, tzinfo=UTC).date(),
    )  # fmt: skip
    prop.dishes.set([DishFactory(shoot=shoot, name="Leek rolls"), DishFactory(shoot=shoot, name="Stew")])
    count_props(shoot, way="out", counts={prop.pk: 4}, damages={prop.pk: "One chipped"}, name="Ivo", at=AT)
    sheet = shoot_for_shopping(shoot.pk).get()
    with timezone.override("Europe/Berlin"):
        english = read_back(props_pdf(prop_sheet_of(sheet, language="en", at=AT)), tmp_path)
    for words in (
        "Props, Winter menu",
        "4 × Black plates",
        "Hired",
        "Skerry Prop Cellar",
        "by 18 Nov 2026",
        "One chipped",
        "4, Ivo, 09:00",
        "Leek rolls, Stew",
    ):
        assert words in english
    german = read_back(props_pdf(prop_sheet_of(sheet, language="de", at=AT)), tmp_path)
    for words in ("Requisiten, Winter menu", "Gemietet", "bis 18. Nov. 2026", "Zerbricht Glas"):
        assert words in german
    assert "No prop" in read_back(
        props_pdf(prop_sheet_of(shoot_for_shopping(ShootFactory().pk).get(), language="en", at=AT)), tmp_path
    )


def test_a_shoot_of_two_days_has_both_on_its_lists(tmp_path):
    shoot = ShootFactory(first_on=date(2026, 11, 14), last_on=date(2026, 11, 15))
    seen = shoot_for_shopping(shoot.pk).get()
    for printed in (shopping_pdf(sheet_of(shoot)), props_pdf(prop_sheet_of(seen, language="en", at=AT))):
        assert "14 Nov 2026 to 15 Nov 2026" in read_back(printed, tmp_path)
