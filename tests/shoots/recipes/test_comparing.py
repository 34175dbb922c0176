from shoots.recipes.comparing import Change, RecipeWords, changes_between


def test_the_same_words_change_nothing():
    words = RecipeWords("Stew", "4", ("beans",), ("Fry.",), ("Fry",))
    assert changes_between(words, words) == ()


def test_what_goes_and_what_comes_is_said_part_by_part():
    before = RecipeWords("Stew", "", ("beans", "salt"), ("Fry.", "Bake."))
    after = RecipeWords("Bean stew", "for 4", ("beans", "pepper"), ("Fry.", "Bake."))
    assert changes_between(before, after) == (
        Change("Title", ("Stew",), ("Bean stew",)),
        Change("Yield", (), ("for 4",)),
        Change("Ingredients", ("salt",), ("pepper",)),
    )


def test_another_order_is_said_as_such():
    assert changes_between(RecipeWords(steps=("a", "b")), RecipeWords(steps=("b", "a"))) == (
        Change("Steps", (), (), is_order=True),
    )


def test_a_line_that_stands_twice_and_goes_once_is_said_once():
    [change] = changes_between(RecipeWords(steps=("Stir.", "Stir.")), RecipeWords(steps=("Stir.",)))
    assert change.before == ("Stir.",)


def test_a_long_list_shows_its_first_lines_and_counts_the_rest():
    [change] = changes_between(RecipeWords(), RecipeWords(steps=tuple(str(n) for n in range(20))))
    assert (len(change.after), change.more_after, change.more_before) == (8, 12, 0)
