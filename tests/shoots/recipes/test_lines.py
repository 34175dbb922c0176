from shoots.recipes.lines import carried_on, place_of_words, sentence_lines, step_lines


def test_a_line_is_a_step_without_number_bullet_and_empty_lines():
    assert step_lines("1. Fry the  onions.\n\n   \n- Bake.\n2.5 kg of dough rest") == [
        "Fry the onions.",
        "Bake.",
        "2.5 kg of dough rest",
    ]
    assert step_lines(" \n ") == []


def test_each_sentence_gets_a_line_of_its_own():
    text = "Zwiebeln mit z. B. Butter anbraten, ca. 20 Min. rühren. Den Teig\nausrollen! Bei 180 °C backen."
    assert sentence_lines(text) == [
        "Zwiebeln mit z. B. Butter anbraten, ca. 20 Min. rühren.",
        "Den Teig ausrollen!",
        "Bei 180 °C backen.",
    ]
    assert sentence_lines(" ") == []


def test_the_same_words_carry_on_wherever_they_stand():
    assert carried_on(["a stew", "b bake"], ["b bake", "new words here", "a stew"]) == [1, None, 0]


def test_a_part_carries_on_the_whole_and_a_whole_its_part():
    assert carried_on(["Fry the onions. Bake the bread."], ["Fry the onions.", "Bake the bread."]) == [0, None]
    assert carried_on(["Fry the onions.", "Bake the bread."], ["Fry the onions. Bake the bread."]) == [0]


def test_a_corrected_line_carries_on_the_old_one_and_another_does_not():
    assert carried_on(["Fry the onions for 15 minutes."], ["Fry the onions for 20 minutes."]) == [0]
    assert carried_on(["Fry the onions for 15 minutes."], ["Whip the cream."]) == [None]


def test_two_steps_with_the_same_words_carry_on_one_each():
    assert carried_on(["Stir.", "Stir."], ["Stir.", "Stir.", "Stir."]) == [0, 1, None]


def test_words_stand_in_the_first_text_that_has_them():
    assert place_of_words("bake the Bread", ["Fry.", "Then bake the bread."]) == 1
    assert place_of_words("Maro tastes", ["Fry."]) is None
    assert place_of_words("", ["Fry."]) is None
