import pytest

from shoots.plan.languages import NAMES, language_of, said


@pytest.mark.parametrize(
    ("text", "language"),
    [
        ("Mélanger la farine et les œufs. Ajouter le lait et le sel.", "fr"),
        ("Die Zwiebeln schneiden und in der Butter dünsten.", "de"),
        ("Cortar la cebolla y freír en el aceite hasta que esté dorada. Añadir los huevos.", "es"),
        ("Mescolare la farina con le uova e aggiungere il latte. Cuocere per 10 minuti.", "it"),
        ("Corte a cebola e frite no azeite até dourar. Adicione os ovos.", "pt"),
        ("Snijd de uien en bak ze in de boter met het zout.", "nl"),
        ("Skär löken och stek den i smör tills den är mjuk. Tillsätt ägg.", "sv"),
        ("Pokroić cebulę i smażyć na maśle przez 5 minut. Dodać jajka.", "pl"),
        ("煮沸水，加盐。把面条放入锅中煮十分钟直到变软然后沥干再加酱油", ""),
        ("Cut the leeks and boil them.", "en"),
        ("Crème brûlée au lait. Heat the cream and pour it over the yolks.", "en"),
        ("Leeks", "en"),
        ("", "en"),
    ],
)
def test_a_language_is_known_by_its_small_words(text, language):
    assert language_of(text) == language


def test_what_a_page_declares_counts_only_where_the_words_say_nothing():
    assert language_of("200 g Mehl", "de-DE") == "de"
    assert language_of("Cut the leeks and boil them.", "de") == "en"
    assert language_of("Leeks", "tlh") == "en"


def test_the_person_is_told_in_words():
    assert all(name in said(language) for language, name in NAMES.items())
