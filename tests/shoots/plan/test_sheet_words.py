import tomllib
from datetime import date, time
from importlib import resources

import pytest

from shoots.plan.allergens import read_allergen_words
from shoots.plan.lexicon import read_cues, read_lexicon
from shoots.plan.sheet_words import (
    InvalidSheetWords,
    allergens_in,
    day_in,
    days_in,
    drafted_in,
    hazard_in,
    hours_in,
    is_of_the_moment,
    read_sheet_words,
)
from shoots.plan.shots import draft_shots

LANGUAGES = ("en", "de", "fr", "es", "it", "sv")


def table(name):
    return tomllib.loads((resources.files("shoots.plan") / name).read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def words():
    return read_sheet_words({**table("sheet_words.toml"), **table("drafted_words.toml")})


def test_the_languages_are_those_of_the_cues_and_say_who_stands_for_them(words):
    cues = table("cues.toml")
    assert list(words.languages) == cues["languages"] == list(LANGUAGES)
    assert words.checked == cues["checked"] == "from memory, needs a native speaker"


def test_every_hazard_an_action_can_have_is_said_in_every_language(words):
    lexicon = read_lexicon(table("actions.toml"))
    hazards = {hazard for action in lexicon.actions for hazard in action.hazards}
    assert hazards <= set(words.hazards)
    for hazard in words.hazards:
        assert len({words.hazards[hazard][language] for language in LANGUAGES}) >= 4, hazard


def test_what_the_shopping_asks_for_is_read_back_with_its_figures(words):
    stock = "Hold back 533 ml of 800 ml stock, poured in three, 267 ml a take"
    assert drafted_in(stock, "de", words) == "Von 800 ml stock 533 ml zurückbehalten: 3 Aufnahmen mit je 267 ml"
    assert drafted_in(stock, "en", words) == stock
    eggs = "Hold back 6 of 10 eggs, added in three: 4, 3 and 3"
    assert drafted_in(eggs, "sv", words) == "Spara 6 av 10 eggs: 3 tagningar med 4, 3, 3"
    assert drafted_in("Cook 1 portion more: it cannot be split", "fr", words).startswith("Portions en plus : 1")
    assert drafted_in("Hold back the blue jug", "fr", words) == "Hold back the blue jug"
    assert is_of_the_moment("Have 2 more ready for the other takes", words)
    assert not is_of_the_moment(stock, words)
    assert not is_of_the_moment("second jug filled", words)


def test_what_the_house_drafts_for_the_cook_is_said_in_every_language(words):
    lexicon = read_lexicon(table("actions.toml"))
    drafted = {phrase for each in lexicon.actions for phrase in (*each.prepare, each.visible, each.note) if phrase}
    for_cooks = {"hero three-quarter", "first cut", "hands"}  # the always-wanted pictures that have cues
    always = [each for each in draft_shots([]) if each.kind in for_cooks]
    drafted |= {text for each in always for text in (each.title, each.note) if text}
    assert drafted - set(words.drafted) == set()
    assert drafted_in("second jug filled", "fr", words) == "deuxième pichet rempli"
    assert drafted_in("second jug filled", "en", words) == "second jug filled"
    assert drafted_in("second jug filled with cream", "fr", words) == "second jug filled with cream"
    assert drafted_in("", "fr", words) == ""
    both = "knife passes through; the cut face opens; hold with the knife in the cut"
    assert (
        drafted_in(both, "de", words)
        == "das Messer geht durch; die Schnittfläche öffnet sich; mit dem Messer im Schnitt so halten"
    )
    assert drafted_in("hold it open; mind the cat", "de", words) == "hold it open; mind the cat"


def test_all_fourteen_allergens_of_annex_ii_have_a_name_in_every_language(words):
    # Regulation (EU) No 1169/2011, Annex II
    assert set(words.allergens) == {each.key for each in read_allergen_words(table("allergens.toml")).allergens}
    assert allergens_in(["milk", "nuts", "pink pepper"], "fr", words) == "lait, fruits à coque, pink pepper"


def test_stop_and_now_stand_in_the_safety_lines_as_they_are_said(words):
    cues = read_cues(table("cues.toml"))
    for language in LANGUAGES:
        said = words.say("near_heat", language, now=cues["now"].words[language])
        assert cues["now"].words[language] in said
        assert cues["stop"].words[language] in words.say("stop", language, stop=cues["stop"].words[language])


def test_every_phrase_can_be_said_in_every_language(words):
    filled = dict.fromkeys(("time", "until", "said", "name", "number", "now", "stop"), "X")
    for key in words.phrases:
        said = [words.say(key, language, **filled) for language in LANGUAGES]
        assert all(said), key
        assert not any("{" in each for each in said), key
    assert words.say("time", "pl") == "Time"


@pytest.mark.parametrize(
    ("text", "language", "said"),
    [
        ("Hot oil, steam.", "de", "Heißes Öl, Dampf."),
        ("Hot food, 180 °C", "sv", "Het mat, 180 °C"),
        ("Hot food, −18 °C", "fr", "Plat brûlant, −18 °C"),
        ("Oven tray, 250 °C, on your left.", "de", "Oven tray, 250 °C, on your left."),
        ("Steam and the step by the door", "it", "Steam and the step by the door"),
        ("", "de", ""),
        ("Steam", "en", "Steam"),
    ],
)
def test_a_hazard_of_the_lexicon_is_said_in_the_cooks_language_and_a_typed_one_stays(text, language, said, words):
    assert hazard_in(text, language, words) == said


def test_days_and_hours_in_the_cooks_language(words):
    saturday = date(2026, 11, 14)
    assert day_in(saturday, "en") == "Saturday 14 November 2026"
    assert day_in(saturday, "de") == "Samstag, 14. November 2026"
    assert day_in(saturday, "fr") == "samedi 14 novembre 2026"
    assert day_in(saturday, "es") == "sábado 14 de noviembre de 2026"
    assert day_in(saturday, "it") == "sabato 14 novembre 2026"
    assert day_in(saturday, "sv") == "lördag 14 november 2026"
    assert days_in(saturday, saturday, "sv", words) == "lördag 14 november 2026"
    assert " – " in days_in(saturday, date(2026, 11, 15), "sv", words)
    assert days_in(None, None, "it", words) == "Giorno ancora da fissare"
    assert hours_in(time(9), time(15), "fr", words) == "de 09:00 à 15:00"
    assert hours_in(time(9), None, "es", words) == "desde las 09:00"
    assert hours_in(None, None, "es", words) == ""


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"languages": None}, "languages"),
        ({"checked": None}, "checked"),
        ({"hazard": {}}, "no hazard"),
        ({"allergen": {"milk": {"en": "milk", "de": "Milch"}}}, "allergen milk"),
        ({"phrase": {"title": {"en": "Sheet"}}}, "phrase title"),
    ],
)
def test_a_table_with_a_hole_is_refused_and_says_where(change, named):
    with pytest.raises(InvalidSheetWords, match=named):
        read_sheet_words({**table("sheet_words.toml"), **table("drafted_words.toml"), **change})
