import subprocess
from datetime import UTC, datetime

import pytest

from shoots.plan.actions import tell_allergens
from shoots.plan.models import Recipe
from shoots.plan.queries import dish_allergens
from shoots.safety.papers import safety_pdf
from shoots.safety.queries import safety_sheet_of, shoot_for_safety
from tests.factories.safety import safe_shoot

pytestmark = pytest.mark.django_db

AT = datetime(2026, 11, 12, 8, 0, tzinfo=UTC)


def printed(shoot, language, tmp_path):
    path = tmp_path / "safety.pdf"
    path.write_bytes(safety_pdf(safety_sheet_of(shoot_for_safety(shoot.pk).get(), language=language, at=AT)))

    def run(*tool):
        return subprocess.run(tool, capture_output=True, text=True, check=True).stdout

    return " ".join(run("pdftotext", "-layout", path, "-").split()), run("pdfinfo", path)


def test_the_kitchens_page_is_one_a4_with_allergens_hazards_and_calls(tmp_path):
    shoot = safe_shoot(4)
    dish = shoot.dishes.first()
    tell_allergens(dish, allergens=["celery", "pink pepper"], told_by="Maro Lantadze", version=dish.version)
    said, facts = printed(shoot, "en", tmp_path)
    assert "Pages: 1" in " ".join(facts.split())
    for words in (
        "Read from the recipe by a word list. Check with the cook and the labels. Not a declaration.", "celery, pink pepper", "not asked yet", "Hot oil", "Oven mouth, 250 °C",
        "“Heiß!”: von hinten", "Not for eating once handled on set, unless the cook says so.", "FDA Food Code 3-501.19(B)", "local codes decide",
    ):  # fmt: skip
        assert words in said, words


@pytest.mark.parametrize(
    ("language", "words", "untold"),
    [
        ("en", "US: nuts", "Named by recipe or dish, not told: nuts"),
        ("de", "US: Schalenfrüchte", "Schalenfrüchte. Fragen"),
    ],
)
def test_pine_nuts_hang_in_the_kitchen_and_stand_on_both_sheets(language, words, untold, tmp_path):
    """A US tree nut that Annex II does not name."""
    shoot = safe_shoot(1)
    dish = shoot.dishes.first()
    Recipe.objects.filter(dish=dish).update(ingredients=[{"text": "50 g pine nuts"}])
    tell_allergens(dish, allergens=["celery"], told_by="Maro Lantadze", version=dish.version)
    said, _ = printed(shoot, language, tmp_path)
    assert words in said
    assert untold in said
    [(_, told)] = dish_allergens(shoot)
    assert "nuts" in told.untold


def test_the_same_page_in_german(tmp_path):
    shoot = safe_shoot(2)
    dish = shoot.dishes.first()
    tell_allergens(dish, allergens=[], told_by="Maro Lantadze", version=dish.version)
    said, facts = printed(shoot, "de", tmp_path)
    assert "Pages: 1" in " ".join(facts.split())
    for words in (
        "Sicherheit und Allergene",
        "Milch",
        "keine genannt",
        "Heißes Öl",
        "Keine Deklaration.",
        "noch nicht gefragt",
    ):
        assert words in said, words
    for word in ("Contains", "Told by", "Hazards", "Usual cautions"):
        assert word not in said
