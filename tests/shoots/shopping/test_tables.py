import csv
from datetime import UTC, datetime
from decimal import Decimal as D

import pytest

from shared.tables import BYTE_ORDER_MARK
from shoots.shopping.actions import add_purchases, change_purchases
from shoots.shopping.queries import prop_sheet_of, shoot_for_shopping, shopping_of, shopping_sheet_of
from shoots.shopping.tables import PROP_COLUMNS, SHOPPING_COLUMNS, prop_table, shopping_table
from tests.factories.shopping import PropFactory, broth, shopped

pytestmark = pytest.mark.django_db
AT = datetime(2026, 11, 12, 8, 0, tzinfo=UTC)


def read_back(text: str) -> list[dict[str, str]]:
    assert text.startswith(BYTE_ORDER_MARK)
    return list(csv.DictReader(text.removeprefix(BYTE_ORDER_MARK).splitlines(keepends=True)))


def sheet_of(shoot):
    return shopping_sheet_of(shopping_of(shoot_for_shopping(shoot.pk).get()), language="en", at=AT)


def test_the_list_is_read_back_with_its_figures_and_its_arithmetic():
    shoot = shopped()
    key = next(each.key for each in shopping_of(shoot_for_shopping(shoot.pk).get()).lines if each.name == "eggs")
    change_purchases(shoot, changes={key: {"price": D("6.00"), "where": "Market", "is_bought": True}}, at=AT, by="Ivo")
    rows = read_back(shopping_table(sheet_of(shoot)))
    assert tuple(rows[0]) == SHOPPING_COLUMNS
    eggs = next(row for row in rows if row["list"] == "buy" and row["what"] == "eggs")
    assert (eggs["quantity"], eggs["unit"], eggs["price"], eggs["currency"], eggs["bought"]) == (
        "12",
        "",
        "6.00",
        "EUR",
        "yes",
    )
    assert eggs["arithmetic"] == "recipe 5 × 2 = 10, + 2 spare = 12"
    stock = next(row for row in rows if row["list"] == "dish" and row["what"] == "stock")
    assert (stock["quantity"], stock["unit"], stock["dish"], stock["recipe_line"]) == (
        "800",
        "ml",
        "Egg broth 1",
        "400 ml stock",
    )
    salt = next(row for row in rows if row["what"] == "salt")
    assert (salt["quantity"], salt["arithmetic"]) == ("", "as needed: see the words “salt”")
    assert next(row for row in rows if row["what"] == "Ice 1")["bought"] == "no"


def test_a_name_that_a_spreadsheet_would_run_is_only_a_name():
    shoot = shopped()
    add_purchases(shoot, words=["=SUM(A1:A9)", "@evil"])
    whats = [row["what"] for row in read_back(shopping_table(sheet_of(shoot)))]
    assert {"'=SUM(A1:A9)", "'@evil"} <= set(whats)


def test_the_props_are_read_back():
    prop = PropFactory(what="+plates", count=4, counted_out=4, out_by="Ivo", out_at=AT, damage="a, b")
    sheet = prop_sheet_of(shoot_for_shopping(prop.shoot_id).get(), language="de", at=AT)
    (row,) = read_back(prop_table(sheet))
    assert tuple(row) == PROP_COLUMNS
    assert (row["what"], row["count"], row["counted_out"], row["counted_back"], row["damage"]) == (
        "'+plates",
        "4",
        "4",
        "",
        "a, b",
    )
    assert row["out_at"] == "2026-11-12T08:00:00+00:00"


def test_a_recipe_that_begins_like_a_formula_is_harmless_in_both_lists():
    dish = broth(text="=Pie\n\nServes: 2\n\nIngredients\n\n- =cmd|x\n- 2 eggs\n\nMethod\n\n1. Crack the eggs.\n")
    assert not [
        cell for row in read_back(shopping_table(sheet_of(dish.shoot))) for cell in row.values() if cell.startswith("=")
    ]
