from shoots.plan.serving import Titled, match_pictures

SHOTS = [
    Titled(1, "Ingredients laid out", 7),
    Titled(2, "Hero, from above", 7),
    Titled(3, "Hero, from above", 8),
    Titled(4, "Lift the lid at the table", 7),
]


def test_a_promised_picture_finds_the_shot_of_its_dish_with_the_nearest_words():
    above = Titled(1, "Bean stew in clay, overhead", 7, "Bean stew in clay")
    lid = Titled(2, "Lid comes off the bean stew", 7, "Bean stew in clay")
    assert match_pictures([above, lid], SHOTS) == {1: 2, 2: 4}


def test_the_name_of_the_dish_alone_joins_nothing():
    shots = [Titled(1, "Bean stew is stirred", 7)]
    assert match_pictures([Titled(1, "Bean stew at the window", 7, "Bean stew in clay")], shots) == {}


def test_a_shot_serves_one_picture_only():
    twins = [Titled(1, "From above", 8), Titled(2, "From above, cropped", 8)]
    assert match_pictures(twins, SHOTS) == {1: 3}


def test_a_picture_of_another_dish_is_not_taken():
    assert match_pictures([Titled(1, "From above", 9)], SHOTS) == {}
