from shoots.plan.time_left import ShotTime, minutes_together
from shoots.run.activities import (
    CAMERA,
    COOK,
    OVEN,
    STYLIST,
    Change,
    DishOf,
    ShotOf,
    StepOf,
    Terms,
    breaks_for,
    day_of,
    done_by,
    draft_day,
    lit,
    minutes_by_sentence,
    with_breaks,
)
from shoots.run.day_plan import Need
from shoots.run.scheduling import plan_day

ROAST = DishOf(1, "Roast roots", (StepOf(1, "Chop the roots.", ("cut",), 10), StepOf(2, "Roast them.", ("bake",), 40)))
SOUP = DishOf(2, "Cold soup", (StepOf(3, "Mix it.", ("mix",), 15),))


def drafted(dishes, shots=(), **terms):
    draft = draft_day(dishes, shots, Terms(**terms))
    return {each.key: each for each in draft.activities}, draft


def needs(draft, key, **terms):
    day = day_of(draft, Terms(**terms), {})
    return {need.resource: (need.start, need.end) for each in day.activities if each.id == key for need in each.needs}


def test_the_hand_checked_day_with_the_defaults_is_done_by_133():
    terms = Terms()
    draft = with_breaks(draft_day([ROAST, SOUP], [], terms), terms, {})
    plan = plan_day(day_of(draft, terms, {}))
    assert "break:1" not in plan.starts
    assert (plan.finish, plan.bound, plan.starts["strike"]) == (115, 115, 85)
    assert done_by(plan.finish, 15) == 133  # 15 % of 115 = 17.25, rounded up
    assert plan.cautions == ()


def test_plating_and_hero_are_one_activity_set_up_before_the_food_is_ready():
    by_key, draft = drafted([SOUP])
    assert (by_key["hero:2"].minutes, by_key["hero:2"].lead) == (20, 6)
    assert needs(draft, "hero:2") == {CAMERA: (0, 20), COOK: (6, 10), "kitchen": (0, 20)}


def test_more_pictures_a_stylist_and_a_client_make_the_hero_longer():
    shots = (
        ShotOf(1, "Empty set", "plated", kind="empty set"),
        ShotOf(2, "Hero", "plated", kind="hero"),
        ShotOf(3, "From above", "plated", kind="hero above"),
    )
    by_key, draft = drafted([DishOf(2, "Soup", (), shots)], has_stylist=True, has_client=True)
    hero = by_key["hero:2"]
    assert hero.minutes == 12 + 10 + 6 + 2
    assert hero.shots == ((1, 10), (2, 12), (3, 26))
    found = needs(draft, "hero:2", has_stylist=True, has_client=True)
    assert (found[STYLIST], found["client"]) == ((8, 12), (28, 30))
    assert COOK not in found


def test_an_oven_needs_the_cook_for_two_minutes_and_a_pan_all_the_time():
    fry = StepOf(9, "Fry.", ("fry",), 6)
    _, draft = drafted([ROAST, DishOf(3, "Egg", (fry,))])
    assert needs(draft, "step:2") == {COOK: (0, 2), OVEN: (0, 40), "kitchen": (0, 40)}
    assert needs(draft, "step:9") == {COOK: (0, 6), "burner": (0, 6), "kitchen": (0, 6)}


def test_a_filmed_step_has_the_camera_for_set_up_and_take_and_the_cook_from_its_set_up_on():
    step = StepOf(1, "Mix.", ("mix",), 5, (ShotOf(7, "Stir"),))
    by_key, draft = drafted([DishOf(1, "Dough", (step,))])
    assert needs(draft, "step:1") == {CAMERA: (0, 6), COOK: (4, 9), "kitchen": (0, 9)}
    assert by_key["step:1"].shots == ((7, 4),)
    assert "first" in by_key["step:1"].after


def test_minutes_say_where_they_come_from():
    steps = (
        StepOf(1, "Whisk.", ("whisk",)),
        StepOf(2, "Wait a bit."),
        StepOf(3, "Whisk, bake.", ("whisk", "bake"), 30),
    )
    by_key, _ = drafted([DishOf(1, "Cake", steps)])
    said = [(by_key[f"step:{key}"].minutes, by_key[f"step:{key}"].why) for key in (1, 2, 3)]
    assert said == [
        (4, "usual for whisk"),
        (2, "usual, nothing is named"),
        (34, "4 before, then 30 from the recipe"),
    ]
    assert by_key["step:3"].hold == 20  # cake


def test_what_waits_over_three_hours_and_all_before_it_is_for_the_day_before():
    steps = (
        StepOf(1, "Mix.", ("mix",), 5, (ShotOf(4, "Stir", "hands"),)),
        StepOf(2, "Chill overnight.", ("chill",), 720),
        StepOf(3, "Chill.", ("chill",), 180),
    )
    by_key, draft = drafted([DishOf(1, "Parfait", steps)])
    assert [(each.text, each.minutes) for each in draft.day_before] == [("Mix.", 5), ("Chill overnight.", 720)]
    assert {"step:3", "shot:4"} <= set(by_key)
    assert "step:2" not in by_key


def test_ingredients_come_first_the_portrait_last_and_strike_after_all():
    shots = (
        ShotOf(1, "Grey card, first light", kind="grey card"),
        ShotOf(2, "The room", kind="room"),
        ShotOf(3, "Maro Lantadze", kind="portrait"),
    )
    dish = DishOf(2, "Soup", SOUP.steps, (ShotOf(4, "Ingredients laid out", "ready"),))
    by_key, _ = drafted([dish], shots)
    assert by_key["first"].shots == ((1, 43),)
    assert by_key["step:3"].after == ("ready:2",)
    assert set(by_key["shot:3"].after) == {"hero:2", "shot:2"}
    assert by_key["strike"].after == ("shot:3",)


def test_a_safety_frame_takes_a_take_only_and_the_list_says_the_same():
    """A step back, same angle. The list before the run reckons with the same minutes, or the two contradict each other."""
    kinds = ("empty set", "hero", "safety", "hero above", "safety above", "detail", "first cut")
    shots = tuple(ShotOf(place, kind, "plated", kind=kind) for place, kind in enumerate(kinds))
    ready = ShotOf(9, "Ingredients laid out", "ready", kind="ingredients")
    by_key, _ = drafted([DishOf(2, "Soup", (), (ready, *shots))])
    hero = by_key["hero:2"]
    assert hero.minutes == 2 + 20 + 2 + 6 + 2 + 6 + 6
    assert hero.shots == ((0, 10), (1, 12), (2, 22), (3, 28), (4, 30), (5, 36), (6, 42))
    assert hero.why == "set-up 12, hero 10, 3 more at 6, 2 safety frames at 2"
    assert by_key["ready:2"].minutes == 12
    assert minutes_together(ShotTime(kind) for kind in (*kinds, "ingredients")) == hero.minutes + 12


def test_a_grey_card_is_taken_right_before_the_shot_whose_light_it_is():
    stir = ShotOf(7, "Stir", "hands", cards=(70,))
    hero = ShotOf(8, "Hero", "plated", kind="hero", cards=(80,))
    by_key, draft = drafted([DishOf(1, "Dough", (StepOf(1, "Mix.", ("mix",), 5, (stir,)),), (hero,))])
    assert by_key["step:1"].shots == ((70, 0), (7, 6))
    assert needs(draft, "step:1") == {CAMERA: (0, 8), COOK: (6, 11), "kitchen": (0, 11)}
    assert by_key["hero:1"].shots == ((80, 10), (8, 12))
    assert by_key["hero:1"].minutes == 22
    loose, _ = drafted([DishOf(1, "Dough", (), (ShotOf(7, "Stir", "hands", cards=(70,)),))])
    assert (loose["shot:7"].shots, loose["shot:7"].minutes) == (((70, 0), (7, 6)), 8)


def test_each_five_hours_have_a_break_before_they_are_over():
    assert [each.window for each in breaks_for(650, Terms())] == [(210, 330), (510, 630)]
    assert breaks_for(299, Terms()) == ()
    many = [DishOf(key, f"Dish {key}", (StepOf(key, "Cut.", ("cut",), 30),)) for key in range(1, 16)]
    terms = Terms(cooks=2)
    draft = with_breaks(draft_day(many, [], terms), terms, {})
    plan = plan_day(day_of(draft, terms, {}), seconds=0)
    assert 210 <= plan.starts["break:1"] <= 300
    assert plan.starts["strike"] >= plan.starts["break:1"] + 30
    assert "break:1" not in {
        each.key for each in with_breaks(draft_day(many, [], Terms()), Terms(break_minutes=0), {}).activities
    }


def test_a_change_by_hand_reaches_the_plan():
    _, draft = drafted([ROAST])
    changes = {"step:2": Change(minutes=25, hold=7, pinned=50), "hero:1": Change(window=(60, 90))}
    by_id = {each.id: each for each in day_of(draft, Terms(), changes).activities}
    assert (by_id["step:2"].minutes, by_id["step:2"].hold, by_id["step:2"].pinned) == (25, 7, 50)
    assert Need(OVEN, 0, 25) in by_id["step:2"].needs
    assert by_id["hero:1"].window == (60, 90)


def test_a_step_of_two_times_takes_both_and_the_cook_for_the_first():
    text = "Knead for 10 minutes, until it springs back. Cover and leave to rise for 1 hour."
    parts = minutes_by_sentence(text)
    assert parts == (10, 60)
    by_key, draft = drafted([DishOf(1, "Dough", (StepOf(1, text, ("knead", "cover", "rest"), 10, (), parts),))])
    assert (by_key["step:1"].minutes, by_key["step:1"].why) == (70, "10 and 60 from the recipe")
    assert needs(draft, "step:1") == {COOK: (0, 10), "kitchen": (0, 70)}


def test_heroes_get_the_longest_stretch_of_the_light_they_want_unless_a_window_was_typed():
    draft = draft_day([ROAST, SOUP], [], Terms())
    roast, soup = f"hero:{ROAST.key}", f"hero:{SOUP.key}"
    stretches = {"soft": [(0, 60), (200, 420)], "hard": []}
    found, without = lit(draft, {}, stretches, usual="soft")
    assert {key: change.window for key, change in found.items()} == {roast: (200, 420), soup: (200, 420)}
    assert without == ()
    typed = {roast: Change(window=(10, 30)), soup: Change(light="lamp")}
    assert lit(draft, typed, stretches, usual="soft") == (typed, ())
    _, without = lit(draft, {soup: Change(light="hard")}, stretches)
    assert without == (soup,)
    assert lit(draft, {}, stretches) == ({}, ())  # nobody asked for light
