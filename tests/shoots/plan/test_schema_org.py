import json

import pytest

from shoots.plan.schema_org import duration_minutes, looks_like_a_page, looks_structured, sort_structured


def recipe(**fields):
    return {"@context": "https://schema.org", "@type": "Recipe", "name": "Leek rolls", **fields}


def steps_of(instructions):
    return sort_structured(json.dumps(recipe(recipeInstructions=instructions))).steps


@pytest.mark.parametrize(
    "wrapped",
    [
        recipe(),
        [{"@type": "WebPage"}, recipe()],
        {"@context": "https://schema.org", "@graph": [{"@type": "Person", "name": "Maro"}, recipe()]},
        recipe() | {"@type": ["Thing", "Recipe"]},
        {"@type": "WebPage", "mainEntity": recipe()},
    ],
)
def test_the_recipe_is_found_wherever_it_stands(wrapped):
    assert sort_structured(json.dumps(wrapped)).title == "Leek rolls"


@pytest.mark.parametrize(
    ("instructions", "steps"),
    [
        ("Wash the leeks.\nCut them.", [("", "Wash the leeks."), ("", "Cut them.")]),
        (["1. Wash.", "2. Cut."], [("", "Wash."), ("", "Cut.")]),
        ([{"@type": "HowToStep", "text": "Wash."}, {"@type": "HowToStep", "name": "Cut."}], [("", "Wash."), ("", "Cut.")]),
        (
            [{"@type": "HowToSection", "name": "Paste", "itemListElement": [{"@type": "HowToStep", "text": "Pound."}]}, {"@type": "HowToStep", "text": "Roll."}],
            [("Paste", "Pound."), ("", "Roll.")],
        ),
        ({"@type": "ItemList", "itemListElement": [{"@type": "HowToStep", "text": "Wash."}]}, [("", "Wash.")]),
        ([{"@type": "HowToStep", "itemListElement": [{"@type": "HowToDirection", "text": "Wash."}, {"@type": "HowToDirection", "text": "Cut."}]}], [("", "Wash."), ("", "Cut.")]),
        ("<p>Wash &amp; dry.</p><p>Cut<br>thinly.</p>", [("", "Wash & dry."), ("", "Cut"), ("", "thinly.")]),
    ],
)  # fmt: skip
def test_instructions_are_read_in_every_shape(instructions, steps):
    assert steps_of(instructions) == steps


def test_a_tip_is_a_note_and_a_section_name_a_heading():
    inner = [
        {"@type": "HowToDirection", "text": "Wash."},
        {"@type": "HowToTip", "text": "Sand hides between the leaves."},
    ]
    pasted = sort_structured(json.dumps(recipe(recipeInstructions=[{"@type": "HowToStep", "itemListElement": inner}])))
    assert pasted.steps == [("", "Wash.")]
    assert pasted.notes == ["Sand hides between the leaves."]


@pytest.mark.parametrize(
    ("yields", "read"), [("6", "6"), (6, "6"), (["a plateful", "6 portions"], "6 portions"), ("", "")]
)
def test_the_yield_is_the_first_that_holds_a_number(yields, read):
    assert sort_structured(json.dumps(recipe(recipeYield=yields))).yields == read


def test_older_pages_call_their_list_ingredients():
    assert sort_structured(json.dumps(recipe(ingredients=["2 leeks"]))).ingredients == [("", "2 leeks")]


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("PT1H30M", 90),
        ("PT90M", 90),
        ("PT1.5H", 90),
        ("P0DT0H45M", 45),
        ("P1D", 1440),
        ("PT30S", 1),
        ("PT0H", None),
        ("PT0S", None),
    ],
)
def test_a_duration_is_read_also_when_untidy(text, minutes):
    assert duration_minutes(text) == minutes


@pytest.mark.parametrize("text", ["PT90", "", "P", "PT", "90 minutes", "1:30"])
def test_a_duration_without_a_unit_is_refused(text):
    with pytest.raises(ValueError):
        duration_minutes(text)


def test_a_bad_duration_never_costs_the_recipe():
    pasted = sort_structured(json.dumps(recipe(prepTime="PT90", cookTime="PT0H", totalTime="PT1H")))
    assert [text for text, _ in pasted.unread] == ["Preparation: PT90"]
    assert pasted.headings == ["Cooking: not known (PT0H)", "In all: 60 minutes"]


def test_a_pages_source_gives_the_recipe_among_its_scripts():
    page = f'<!doctype html><script>var a=1</script><script type="application/ld+json">{{broken</script>\n<script type="application/ld+json">{json.dumps(recipe())}</script>'
    assert looks_structured(page)
    assert looks_like_a_page(page)
    assert sort_structured(page).title == "Leek rolls"


def test_data_without_a_recipe_gives_none_and_broken_data_an_error():
    assert sort_structured('{"@type": "Person"}') is None
    with pytest.raises(ValueError):
        sort_structured('{"@type": "Recipe", "name": ')


def test_what_is_neither_words_nor_a_step_is_kept_as_unread():
    pasted = sort_structured(json.dumps(recipe(recipeInstructions=[7, {"@type": "HowToStep", "image": "a.jpg"}])))
    assert len(pasted.unread) == 2
