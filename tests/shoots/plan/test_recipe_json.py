import json

from shoots.plan.queries import allergen_words, kitchen_lexicon
from shoots.plan.recipe import read_recipe
from shoots.plan.recipe_json import recipe_as_json, recipe_as_lines

DUMPLINGS = """Plum dumplings
Serves 4-6
Ingredients
- 1 1/2 cups potato flour, sifted
- 2-3 eggs
- 12 plums
- salt
- 1 c sugar
Method
1. Mix the flour with the eggs and knead for 5 to 10 minutes.
2. Cook at 95 °C.
3. Enjoy.
Notes
Best the day after.
"""


def answer(text):
    return recipe_as_json(read_recipe(text), kitchen_lexicon(), allergen_words())


def test_a_recipe_is_answered_key_by_key():
    assert answer(DUMPLINGS) == {
        "title": "Plum dumplings",
        "servings": 4,
        "ingredients": [
            {"text": "1 1/2 cups potato flour, sifted", "quantity": 1.5, "unit": "cup", "name": "potato flour"},
            {"text": "2-3 eggs", "quantity": 2, "unit": None, "name": "eggs"},
            {"text": "12 plums", "quantity": 12, "unit": None, "name": "plums"},
            {"text": "salt", "quantity": None, "unit": None, "name": "salt"},
            {"text": "1 c sugar", "quantity": 1, "unit": "c", "name": "sugar"},
        ],
        "steps": [
            {
                "number": 1,
                "text": "Mix the flour with the eggs and knead for 5 to 10 minutes.",
                "actions": ["mix", "knead"],
                "minutes": [5, 10],
                "celsius": None,
            },
            {"number": 2, "text": "Cook at 95 °C.", "actions": ["cook"], "minutes": None, "celsius": 95},
            {"number": 3, "text": "Enjoy.", "actions": [], "minutes": None, "celsius": None},
        ],
        "allergens": [
            {"key": "gluten", "level": "contains", "from": ["flour"]},
            {"key": "eggs", "level": "contains", "from": ["eggs"]},
        ],
        "unread": ["1 c sugar", "Best the day after."],
    }


def test_a_whole_quantity_is_a_whole_number_in_the_file():
    assert '"quantity": 12,' in json.dumps(answer(DUMPLINGS))


def test_what_is_missing_is_no_word_of_the_text():
    assert answer("Soup")["unread"] == []


def test_the_lines_for_a_person_give_the_reasons_and_the_caution():
    lines = list(recipe_as_lines(read_recipe(DUMPLINGS), kitchen_lexicon(), allergen_words()))
    assert lines[:2] == ["Plum dumplings", "Portions: 4"]
    assert "     mix, knead, 5 to 10 min" in lines
    assert "     cook, 95 °C" in lines
    assert "     no action read" in lines
    assert "  1 c sugar: “c” may mean cup. Ask the cook." in lines
    assert any("Not a declaration." in line for line in lines)


def test_a_terminal_is_not_told_what_to_do():
    lines = recipe_as_lines(read_recipe("Soup\x1b[2J\nMethod\nStir \x9b2J it."), kitchen_lexicon(), allergen_words())
    assert not any(sign in line for line in lines for sign in "\x1b\x9b")
