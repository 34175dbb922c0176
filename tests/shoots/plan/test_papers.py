import re
import subprocess
from datetime import UTC, date, datetime, time

import pytest

from clients.models import Kitchen, Person
from shoots.brief.models import Dish
from shoots.plan.actions import choose_cook_sheet
from shoots.plan.models import Shot
from shoots.plan.papers import (
    allergens_told,
    call_sheet_pdf,
    cook_sheet_length,
    cook_sheet_parts,
    cook_sheet_pdf,
    cook_sheet_words,
    print_cook_sheet,
)
from shoots.plan.queries import call_sheet_of, cook_sheet_of, sheet_words, shoot_for_sheets
from shoots.plan.snapshot import DishAllergens
from tests.factories.plan import planned_shoot

pytestmark = pytest.mark.django_db

AT = datetime(2026, 11, 12, 8, 0, tzinfo=UTC)


def read(pdf, tmp_path, tool=("pdftotext",)):
    path = tmp_path / "sheet.pdf"
    path.write_bytes(pdf)
    ends = ["-"] if tool[0] == "pdftotext" else []
    return " ".join(subprocess.run([*tool, path, *ends], capture_output=True, text=True, check=True).stdout.split())


def cooks(dishes, *, language="", studio="", **also):
    """A shoot as the sheets read it, whose cook is spoken to in a language, in a kitchen with a hazard and a call of its own."""
    shoot = planned_shoot(dishes)
    Person.objects.filter(name="Maro Lantadze").update(kitchen_language=language)
    Kitchen.objects.filter(pk=shoot.kitchen_id).update(
        hazards="Oven mouth, 250 °C, at hip height", calls="“Heiß!”: von hinten"
    )
    for place, shot in enumerate(shoot.shots.all()):
        Shot.objects.filter(pk=shot.pk).update(planned_time=time(9 + place // 6, place % 6 * 10))
    Dish.objects.filter(shoot=shoot).update(portions=8, **also)
    return shoot_for_sheets(shoot.pk).get()


def sizes_in(pdf, tmp_path):
    """The sizes of all letters in points, as poppler reads them."""
    path = tmp_path / "sizes.pdf"
    path.write_bytes(pdf)
    out = subprocess.run(
        ["pdftohtml", "-xml", "-i", "-stdout", "-zoom", "1", path], capture_output=True, text=True, check=True
    )
    return [int(size) for size in re.findall(r'<fontspec [^>]*size="(\d+)"', out.stdout)]


def test_the_cooks_sheet_says_what_is_waited_for_and_said_in_both_languages(tmp_path):
    printed = print_cook_sheet(cook_sheet_of(cooks(1), at=AT))
    said = read(printed.pdf, tmp_path)
    for words in (
        "Lift the lid at the table", "Deckel ab.", "Lid off.", "Dampf.", "Ihr Wort, Ihre Küchenregeln", "Your word, your kitchen’s rules", "Beginn für Sie / First call 09:00",
        "Portionen / Portions", "Oven mouth, 250 °C, at hip height.", "“Heiß!”: von hinten", "„Stopp“ darf jeder sagen", "sagen „jetzt“", "Keine Deklaration.",
    ):  # fmt: skip
        assert words in said, words
    assert said.index("Zurückbehalten, bereithalten") < said.index("Fry the onions")
    assert printed.pages <= 2
    assert not printed.is_too_long


def test_what_is_held_back_is_said_in_the_cooks_language_and_for_which_moment(tmp_path):
    shoot = cooks(1, language="fr")
    first, second = shoot.shots.filter(moment__isnull=False)[:2]
    for shot, typed in ((first, "; the blue jug"), (second, "")):
        text = f"Have 1 more ready for the other take{typed}"
        Shot.objects.filter(pk=shot.pk).update(title=f"Moment {shot.pk}", keep_back=text)
    sheet = cook_sheet_of(shoot, at=AT)
    [(_, held, *_), *_] = cook_sheet_words(sheet)["dishes"]
    for shot in (first, second):
        assert ("fr", f"En avoir 1 de plus pour refaire la prise (Moment {shot.pk})") in held
    assert ("en", "the blue jug") in held
    assert f"pour refaire la prise (Moment {second.pk})" in read(cook_sheet_pdf(sheet), tmp_path)


def two_days(language="fr"):
    """A shoot of two dishes: the first is made on the second day, at times before those of the other."""
    shoot = cooks(2, language=language)
    Shot.objects.filter(shoot=shoot).update(planned_time=time(11))
    Shot.objects.filter(dish=shoot.dishes.first()).update(planned_time=time(9, 30), planned_day=2)
    type(shoot).objects.filter(pk=shoot.pk).update(first_on=date(2026, 11, 14), last_on=date(2026, 11, 15))
    return shoot_for_sheets(shoot.pk).get()


def test_a_dish_of_the_second_day_stands_under_its_day_on_both_sheets(tmp_path):
    shoot = two_days()
    later, sooner = (dish.name for dish in shoot.dishes.all())
    said = read(cook_sheet_pdf(cook_sheet_of(shoot, at=AT)), tmp_path)
    assert f"{sooner}, samedi 11:00" in said
    assert f"{later}, dimanche 09:30" in said
    first, second = "samedi 14 novembre 2026 / Saturday 14 November 2026", "dimanche 15 novembre 2026 / Sunday 15 November 2026"  # fmt: skip
    assert said.index(first) < said.index(second)
    called = read(call_sheet_pdf(call_sheet_of(shoot, language="en", at=AT)), tmp_path)
    times = called[called.index("Times") :]
    assert times.index("Saturday 14 November 2026") < times.index("11:00") < times.index("Sunday 15 November 2026")
    assert times.index("Sunday 15 November 2026") < times.index("09:30")


@pytest.mark.parametrize(
    ("hazard", "said"),
    [
        ("Flame.", "Warten. Sie sagen jetzt. Wait. You say now."),
        ("hot oil, splash", "Warten. Sie sagen jetzt. Wait. You say now."),
        ("Die Klinge ist scharf", "Warten. Sie sagen jetzt. Wait. You say now."),
        ("Steam.", "Warten. Jetzt. Wait. Now."),
    ],
)
def test_near_flame_oil_and_blades_the_cook_says_now(hazard, said, tmp_path):
    """[CP: common practice, no source]. Elsewhere the camera does."""
    shoot = cooks(1)
    Shot.objects.filter(shoot=shoot).update(cues=["wait", "now"], hazard=hazard)
    assert said in read(cook_sheet_pdf(cook_sheet_of(shoot, at=AT)), tmp_path)


def overlapping(pdf, tmp_path):
    """Words of the first page that stand one upon the other, as poppler sees their boxes."""
    path = tmp_path / "boxes.pdf"
    path.write_bytes(pdf)
    out = subprocess.run(
        ["pdftotext", "-bbox", "-l", "1", path, "-"], capture_output=True, text=True, check=True
    ).stdout
    found = re.findall(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>', out)
    boxes = [(*map(float, box[:4]), box[4]) for box in found]
    assert len(boxes) > 20
    return [
        (one[4], other[4])
        for place, one in enumerate(boxes)
        for other in boxes[place + 1 :]
        if min(one[2], other[2]) - max(one[0], other[0]) > 1
        and min(one[3], other[3]) - max(one[1], other[1]) > 14  # lines stand 19 apart
    ]


@pytest.mark.parametrize("language", ["de", "fr", "es", "it", "sv"])
def test_two_days_leave_room_for_the_first_call(language, tmp_path):
    assert overlapping(cook_sheet_pdf(cook_sheet_of(two_days(language), at=AT)), tmp_path) == []


def test_a_shoot_that_has_one_day_only_names_no_day_beside_the_times(tmp_path):
    shoot = two_days()
    type(shoot).objects.filter(pk=shoot.pk).update(last_on=None)
    sheet = cook_sheet_of(shoot_for_sheets(shoot.pk).get(), at=AT)
    assert not sheet.has_days
    assert "dimanche" not in read(cook_sheet_pdf(sheet), tmp_path)


@pytest.mark.parametrize("language", ["de", "fr", "es", "it", "sv", "en"])
def test_nothing_on_the_cooks_sheet_is_smaller_than_16_points(language, tmp_path):
    shoot = cooks(1, language=language, allergens=["butter", "pink pepper"], allergens_told_by="Maro Lantadze")
    printed = print_cook_sheet(cook_sheet_of(shoot, at=AT))
    assert min(sizes_in(printed.pdf, tmp_path)) >= 16
    assert printed.pages <= 2


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("fr", ("Feuille du chef / Cook’s sheet", "Vapeur.", "Ôtez le couvercle.", "samedi 14 novembre 2026", "Page 1 sur 2", "lait, pink pepper")),
        ("es", ("Hoja de cocina / Cook’s sheet", "Vapor.", "Quita la tapa.", "sábado 14 de noviembre", "Página 1 de 2", "leche, pink pepper")),
        ("it", ("Foglio per la cucina / Cook’s sheet", "Vapore.", "Togli il coperchio.", "sabato 14 novembre", "Pagina 1 di 2", "latte, pink pepper")),
        ("sv", ("Blad till köket / Cook’s sheet", "Het ånga.", "Av med locket.", "lördag 14 november", "Sida 1 av 2", "mjölk, pink pepper")),
    ],
)  # fmt: skip
def test_a_cook_of_another_language_reads_the_fixed_words_in_it_and_typed_words_as_typed(language, words, tmp_path):
    shoot = cooks(1, language=language, allergens=["butter", "pink pepper"], allergens_told_by="Maro Lantadze")
    said = read(cook_sheet_pdf(cook_sheet_of(shoot, at=AT)), tmp_path)
    for each in (*words, "Lift the lid at the table", "milk, pink pepper, told by Maro Lantadze"):
        assert each in said, each


def test_an_allergen_the_recipe_names_and_nobody_told_is_asked(tmp_path):
    shoot = cooks(1, allergens=["celery"], allergens_told_by="Maro Lantadze")
    said = read(cook_sheet_pdf(cook_sheet_of(shoot, at=AT)), tmp_path)
    assert "Sellerie, laut Maro Lantadze" in said
    assert "Das Rezept nennt auch: Milch. Stimmt das?" in said


def test_who_told_everything_stands_once_and_dishes_with_the_same_answer_together(tmp_path):
    shoot = cooks(3)
    for dish, told in zip(shoot.dishes.all(), (["milk"], ["milk", "eggs"], ["milk"]), strict=True):
        Dish.objects.filter(pk=dish.pk).update(allergens=told, allergens_told_by="Maro Lantadze")
    said = read(cook_sheet_pdf(cook_sheet_of(shoot_for_sheets(shoot.pk).get(), at=AT)), tmp_path)
    assert "Allergene, laut Maro Lantadze / Allergens, told by Maro Lantadze" in said
    assert "Bean stew in clay 1, Bean stew in clay 3: Milch / milk" in said
    assert "Bean stew in clay 2: Milch, Eier / milk, eggs" in said


def test_the_length_is_that_of_the_print_and_measured_once(monkeypatch):
    shoot = cooks(2)
    printed = print_cook_sheet(cook_sheet_of(shoot, at=AT))
    length = cook_sheet_length(cook_sheet_of(shoot, at=AT))
    assert (length.pages, length.too_far, length.is_too_long) == (printed.pages, printed.too_far, True)
    monkeypatch.setattr("shoots.plan.papers.print_paper", None)
    assert cook_sheet_length(cook_sheet_of(shoot, at=datetime(2026, 11, 13, tzinfo=UTC))) is length


def test_a_long_day_is_handed_over_as_sheets_of_two_pages(tmp_path):
    sheet = cook_sheet_of(cooks(4), at=AT)
    parts = cook_sheet_parts(sheet)
    assert 2 <= len(parts) <= 4
    assert [dish for part in parts for dish in part.dishes] == list(
        sheet.dishes
    )  # none twice, none lost, as the day brings them
    for part in parts:
        printed = print_cook_sheet(part)
        assert printed.pages <= 2
        said = read(printed.pdf, tmp_path)
        assert "Heiß!" in said  # calls and safety stand on each
        assert [dish.name in said for dish in sheet.dishes] == [dish in part.dishes for dish in sheet.dishes]
    short = cook_sheet_of(cooks(1), at=AT)
    assert cook_sheet_parts(short) == (short,)


def test_a_day_of_many_dishes_goes_on_over_the_page_and_leaves_no_hazard_out(tmp_path):
    printed = print_cook_sheet(cook_sheet_of(cooks(4), at=AT))
    said = read(printed.pdf, tmp_path)
    assert all(f"Bean stew in clay {number}" in said for number in range(1, 5))
    assert said.count("Dampf.") == 4
    assert said.count("Zurückbehalten, bereithalten") == 4
    assert printed.is_too_long
    assert printed.too_far[-1] == "First cut or spoon"
    on_later_pages = said[said.index("Seite 2 von") :]
    in_german = {"First cut or spoon": "Erster Schnitt", "Hero, three-quarter": "Hauptbild, schräg"}
    for what in printed.too_far:
        assert in_german.get(what, what.split(" the ")[0]) in on_later_pages, what


def test_the_must_haves_alone_are_shorter_and_name_the_hazards_of_what_is_left_off(tmp_path):
    shoot = cooks(2)
    shoot.shots.filter(title__startswith="Fry the onions").update(is_must=False)
    everything = print_cook_sheet(cook_sheet_of(shoot, at=AT))
    choose_cook_sheet(shoot, is_musts_only=True)
    sheet = cook_sheet_of(shoot, at=AT)
    musts = print_cook_sheet(sheet)
    said = read(musts.pdf, tmp_path)
    assert musts.pages <= 2 < everything.pages
    assert "Fry the onions" not in said
    assert f"{sheet.left_out} weitere Bilder, wenn Zeit bleibt." in said
    assert "Heißes Öl, Spritzer. / Hot oil, splash." in said
    choose_cook_sheet(shoot, is_musts_only=False)
    assert cook_sheet_of(shoot, at=AT).left_out == 0


def test_the_call_sheet_begins_with_hazards_and_allergens_and_names_everyone(tmp_path):
    shoot = shoot_for_sheets(planned_shoot().pk).get()
    kitchen = shoot.kitchen
    kitchen.hazards, kitchen.way_in, kitchen.house_rules = (
        "Oven mouth, 250 °C",
        "Through the yard",
        "No bags on the pass",
    )
    kitchen.calls = "“Hot behind”: somebody passes"
    said = read(call_sheet_pdf(call_sheet_of(shoot, language="en", at=AT)), tmp_path)
    assert said.index("Oven mouth, 250") < said.index("People")
    for words in (
        "Allergens as told",
        "Maro Lantadze",
        "+49 30 5550123",
        "Through the yard",
        "No bags on the pass",
        "Local codes",
        "Called in this kitchen",
        "“Hot behind”: somebody passes",
    ):
        assert words in said


def test_nobody_asked_is_not_the_same_as_none_named():
    words = sheet_words()
    assert allergens_told(DishAllergens("Stew"), "en", words) == "not asked yet"
    assert allergens_told(DishAllergens("Stew", (), "Maro"), "en", words) == "none named, told by Maro"
    told = DishAllergens("Stew", ("butter", "pink pepper"), "Maro", ("milk", "pink pepper"), ("nuts",))
    assert (
        allergens_told(told, "de", words)
        == "Milch, pink pepper, laut Maro. Das Rezept nennt auch: Schalenfrüchte. Stimmt das?"
    )
