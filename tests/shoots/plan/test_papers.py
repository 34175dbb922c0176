import subprocess
from datetime import UTC, datetime

import pytest

from shoots.plan.papers import allergens_told, call_sheet_pdf, cook_sheet_pdf
from shoots.plan.queries import call_sheet_of, cook_sheet_of, shoot_for_sheets
from shoots.plan.snapshot import DishAllergens
from tests.factories.plan import planned_shoot

pytestmark = pytest.mark.django_db

AT = datetime(2026, 11, 12, 8, 0, tzinfo=UTC)


def read(pdf, tmp_path, tool=("pdftotext",)):
    path = tmp_path / "sheet.pdf"
    path.write_bytes(pdf)
    ends = ["-"] if tool[0] == "pdftotext" else []
    return " ".join(subprocess.run([*tool, path, *ends], capture_output=True, text=True, check=True).stdout.split())


def test_the_cooks_sheet_says_what_is_waited_for_and_said_in_both_languages(tmp_path):
    shoot = shoot_for_sheets(planned_shoot(2).pk).get()
    printed = cook_sheet_pdf(cook_sheet_of(shoot, at=AT))
    said = read(printed, tmp_path)
    for words in ("Lift the lid at the table", "Deckel ab.", "Lid off.", "Steam.", "Your call comes first."):
        assert words in said
    assert "“Stop” is everyone’s word" in said
    assert read(printed, tmp_path, ("pdfinfo",)).split("Pages: ")[1].split()[0] in ("1", "2")


def test_a_day_of_many_dishes_goes_on_over_the_page_and_leaves_no_hazard_out(tmp_path):
    shoot = shoot_for_sheets(planned_shoot(4).pk).get()
    said = read(cook_sheet_pdf(cook_sheet_of(shoot, at=AT)), tmp_path)
    assert all(f"Bean stew in clay {number}" in said for number in range(1, 5))
    assert said.count("Steam.") == 4
    assert said.count("Hold back and have ready") == 4


def test_the_call_sheet_begins_with_hazards_and_allergens_and_names_everyone(tmp_path):
    shoot = shoot_for_sheets(planned_shoot().pk).get()
    kitchen = shoot.kitchen
    kitchen.hazards, kitchen.way_in, kitchen.house_rules = (
        "Oven mouth, 250 °C",
        "Through the yard",
        "No bags on the pass",
    )
    said = read(call_sheet_pdf(call_sheet_of(shoot, language="en", at=AT)), tmp_path)
    assert said.index("Oven mouth, 250") < said.index("People")
    for words in (
        "Allergens as told",
        "Maro Lantadze",
        "+49 30 5550123",
        "Through the yard",
        "No bags on the pass",
        "Local codes",
    ):
        assert words in said


def test_nobody_asked_is_not_the_same_as_none_named():
    assert allergens_told(DishAllergens("Stew")) == "not asked yet"
    assert allergens_told(DishAllergens("Stew", (), "Maro Lantadze")) == "none named, told by Maro Lantadze"
