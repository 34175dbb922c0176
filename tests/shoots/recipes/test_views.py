import html
import re

import pytest
from django.urls import reverse

from shoots.plan.models import Moment, Recipe
from shoots.plan.moments import HOW_OFTEN
from shoots.plan.queries import kitchen_lexicon
from shoots.recipes.models import OwnKind, OwnWord
from tests.factories.plan import BEAN_STEW, MomentFactory, dish_read
from tests.factories.releases import shoot_with_cook
from tests.factories.shoots import DishFactory

pytestmark = pytest.mark.django_db


def test_a_recipe_is_pasted_talked_through_and_becomes_a_shot_list(client_for, owner):
    studio, dish = client_for(owner), DishFactory(shoot=shoot_with_cook())
    page = reverse("dish_recipe", args=[dish.pk])
    assert studio.post(page, {"text": BEAN_STEW}).url == page
    assert b"Lift the lid at the table" in studio.get(page).content
    studio.post(reverse("talk_recipe_through", args=[dish.pk]))
    studio.post(reverse("make_shot_list", args=[dish.shoot_id]))
    assert b"Lift the lid at the table" in studio.get(reverse("shot_list", args=[dish.shoot_id])).content
    assert b"At the heat" in studio.get(reverse("shoot_plan_panel", args=[dish.shoot_id])).content


def test_a_text_that_is_no_recipe_is_said_and_kept(client_for, owner):
    dish = DishFactory()
    answer = client_for(owner).post(reverse("dish_recipe", args=[dish.pk]), {"text": '{"@type": "Recipe", "na'})
    assert answer.status_code == 422
    assert b"breaks off or is damaged" in answer.content


def test_a_second_paste_asks_what_becomes_of_the_edits(client_for, owner):
    studio, dish = client_for(owner), dish_read()
    studio.post(reverse("keep_moment", args=[dish.moments.first().pk]))
    page, text = reverse("dish_recipe", args=[dish.pk]), BEAN_STEW.replace("15 minutes", "25 minutes")
    answer = studio.post(page, {"text": text})
    assert answer.status_code == 422
    shown = html.unescape(answer.content.decode())
    assert "What becomes of what you did by hand?" in shown
    assert "Fry the onions in the oil for 25 minutes, until golden." in shown  # after, and in the field
    assert "Fry the onions in the oil for 15 minutes, until golden." in shown  # before
    assert text in shown.replace("\r\n", "\n")
    unchosen = studio.post(page, {"text": text, "edits": ""})
    assert unchosen.status_code == 422
    assert "Nothing was read yet. Choose what becomes of it." in unchosen.content.decode()
    mine = studio.post(page, {"text": text, "edits": "mine"})
    assert (mine.status_code, dish.recipe.steps.first().minutes_from) == (200, 15)
    assert text in html.unescape(mine.content.decode()).replace("\r\n", "\n")
    assert studio.post(page, {"text": text, "edits": "keep"}).status_code == 302
    assert Recipe.objects.get(dish=dish).steps.first().minutes_from == 25
    assert b"Have the text before back" in studio.get(page).content
    studio.post(reverse("bring_reading_back", args=[dish.pk]))
    assert Recipe.objects.get(dish=dish).steps.first().minutes_from == 15
    assert studio.post(page, {"text": text, "edits": "replace"}).status_code == 302


def test_the_question_says_when_the_new_text_is_no_recipe(client_for, owner):
    studio, dish = client_for(owner), dish_read()
    studio.post(reverse("keep_moment", args=[dish.moments.first().pk]))
    broken = '{"@type": "Recipe", "na'
    answer = studio.post(reverse("dish_recipe", args=[dish.pk]), {"text": broken, "edits": "keep"})
    assert answer.status_code == 422
    assert "breaks off or is damaged" in answer.content.decode()
    assert broken in html.unescape(answer.content.decode())


@pytest.mark.parametrize("has_edits", [False, True])
def test_two_megabytes_are_refused_and_not_sent_back_whole(client_for, owner, has_edits):
    studio, dish = client_for(owner), dish_read()
    if has_edits:
        studio.post(reverse("keep_moment", args=[dish.moments.first().pk]))
    novel = "It was a dark and stormy night. " * 65_000
    answer = studio.post(reverse("dish_recipe", args=[dish.pk]), {"text": novel, "edits": "keep"})
    assert answer.status_code == 422
    assert len(answer.content) < 400_000
    shown = answer.content.decode()
    assert "more than a recipe has" in shown
    assert "holds the first 200,000 characters" in shown
    assert dish.recipe.steps.count() == 3


ODD = """Stew <script>alert(1)</script>

Serves: 0

Ingredients

- 4-2 onions <img src=x onerror=alert(1)>

Method

1. Fry the onions for 80 hours at 900 °F.
2. Rest for 20 to 10 minutes.
"""


def test_odd_figures_are_said_beside_their_line_and_corrected_there(client_for, owner):
    studio, dish = client_for(owner), DishFactory()
    page = reverse("dish_recipe", args=[dish.pk])
    assert studio.post(page, {"text": ODD}).status_code == 302
    shown = html.unescape(studio.get(page).content.decode())
    for words in ("longer than three days", "hotter than an oven goes", "runs backwards", "No number of portions"):
        assert words in shown
    first = Recipe.objects.get(dish=dish).steps.first()
    typed = {"text": first.text, "version": 1, "minutes_from": "15", "minutes_to": "", "temperature_c": "180"}
    assert studio.post(reverse("edit_step", args=[first.pk]), typed).status_code == 302
    done = [line["done"] for line in Recipe.objects.get(dish=dish).unread if line["step"] == first.text]
    assert set(done) == {"right"}


def test_what_was_pasted_never_runs(client_for, owner):
    studio, dish = client_for(owner), DishFactory()
    page = reverse("dish_recipe", args=[dish.pk])
    studio.post(page, {"text": ODD})
    studio.post(reverse("keep_moments", args=[dish.pk]))
    recipe = Recipe.objects.get(dish=dish)
    paths = [page, *(reverse(name, args=[dish.pk]) for name in ("edit_recipe", "edit_steps"))]
    answers = [studio.get(path) for path in paths] + [studio.post(page, {"text": f"{ODD}3. Bake it."})]
    for answer in answers:
        assert b"<script>alert" not in answer.content
        assert b"<img src=x" not in answer.content
    assert "script" in recipe.source


def test_two_dishes_with_one_name_have_pages_of_their_own(client_for, owner):
    studio, one = client_for(owner), dish_read()
    other = DishFactory(shoot=one.shoot, name=one.name)
    studio.post(reverse("remove_moment", args=[one.moments.first().pk]))
    assert b"No recipe yet" in studio.get(reverse("dish_recipe", args=[other.pk])).content
    studio.post(reverse("dish_recipe", args=[other.pk]), {"text": BEAN_STEW})
    assert other.moments.count() == one.moments.count() + 1


def test_an_empty_text_is_told(client_for, owner):
    answer = client_for(owner).post(reverse("dish_recipe", args=[DishFactory().pk]), {"text": "  "})
    assert answer.status_code == 422
    assert b"No recipe was pasted" in answer.content


def test_moments_are_added_changed_moved_and_taken_out(client_for, owner):
    studio, dish = client_for(owner), dish_read()
    studio.post(reverse("add_moment", args=[dish.pk]), {"m-what": "Maro tastes", "m-action": "", "m-step": ""})
    moment = Moment.objects.get(what="Maro tastes")
    typed = {"what": "Maro nods", "repeat": "free", "interest": 4, "cues": ["wait"], "hazards": "steam", "prepare": "", "version": 1}  # fmt: skip
    assert studio.post(reverse("edit_moment", args=[moment.pk]), typed).status_code == 302
    assert studio.post(reverse("edit_moment", args=[moment.pk]), typed).status_code == 422  # the version is old
    answer = studio.post(reverse("move_moment", args=[moment.pk]), {"way": "up"})
    assert answer.url.endswith(f"#moment-{moment.pk}")
    moment.refresh_from_db()
    assert (moment.what, moment.hazards, moment.cues) == ("Maro nods", ["steam"], ["wait"])
    studio.post(reverse("remove_moment", args=[moment.pk]))
    assert not Moment.objects.filter(pk=moment.pk).exists()
    assert b"Put back" in studio.get(reverse("dish_recipe", args=[dish.pk])).content
    studio.post(reverse("bring_moments_back", args=[dish.put_by.get().pk]))
    assert Moment.objects.get(pk=moment.pk).what == "Maro nods"
    assert studio.post(reverse("add_moment", args=[dish.pk]), {"m-what": ""}).status_code == 422


def test_moments_are_accepted_one_a_step_or_all(client_for, owner):
    studio, dish = client_for(owner), dish_read()
    page = reverse("dish_recipe", args=[dish.pk])
    assert f"{dish.moments.count()} still to go through" in studio.get(page).content.decode()
    step = dish.moments.get(action="uncover").step
    studio.post(reverse("keep_moments", args=[dish.pk]), {"step": step.pk})
    assert not step.moments.filter(is_draft=True).exists()
    assert dish.moments.filter(is_draft=True).exists()
    assert studio.post(reverse("keep_moments", args=[dish_read().pk]), {"step": step.pk}).status_code == 404
    studio.post(reverse("keep_moments", args=[dish.pk]))
    assert "still to go through" not in studio.get(page).content.decode()


def test_the_page_says_of_a_moment_what_the_cook_and_the_camera_need(client_for, owner):
    shown = html.unescape(client_for(owner).get(reverse("dish_recipe", args=[dish_read().pk])).content.decode())
    ladle = kitchen_lexicon().action("plate")
    for words in ("Draft", HOW_OFTEN["free"], "Camera: ", "Light: ", "Have ready: ", "Said: ", *ladle.prepare):
        assert words in shown


def test_moments_are_joined_and_split_and_both_can_be_undone(client_for, owner):
    studio, dish = client_for(owner), dish_read()
    first, second = dish.moments.all()[:2]
    before = [moment.what for moment in dish.moments.all()]
    assert studio.post(reverse("join_moments", args=[second.pk]), {"j-other": ""}).status_code == 422
    studio.post(reverse("join_moments", args=[second.pk]), {"j-other": first.pk})
    assert dish.moments.count() == len(before) - 1
    studio.post(reverse("bring_moments_back", args=[dish.put_by.get().pk]))
    assert [moment.what for moment in dish.moments.all()] == before
    split = reverse("split_moment", args=[first.pk])
    assert studio.post(split, {"p-first": "Fry", "p-second": ""}).status_code == 422
    studio.post(split, {"p-first": "Fry", "p-second": "Turn"})
    assert [moment.what for moment in dish.moments.all()][:2] == ["Fry", "Turn"]


def test_an_order_is_kept_and_nonsense_is_refused(client_for, owner):
    studio, dish = client_for(owner), dish_read()
    keys = [moment.pk for moment in dish.moments.all()][::-1]
    path = reverse("order_moments", args=[dish.pk])
    assert studio.post(path, {"order": ",".join(map(str, keys))}).status_code == 204
    assert [moment.pk for moment in dish.moments.all()] == keys
    assert studio.post(path, {"order": "up"}).status_code == 422


def test_ingredients_are_corrected_on_one_page(client_for, owner):
    studio, dish = client_for(owner), dish_read()
    page = reverse("edit_recipe", args=[dish.pk])
    opened = studio.get(page)
    form = opened.context["lines"]
    for name in ("text", "quantity", "unit", "name", "section", "place", "DELETE"):
        assert f'name="i-0-{name}"' in opened.content.decode()
    data = {
        "title": "Stew",
        "yields": "for 6",
        "servings": "6",
        "version": "1",
        "i-TOTAL_FORMS": "6",
        "i-INITIAL_FORMS": "5",
    }
    for number, row in enumerate(form.initial):
        data |= {f"i-{number}-{name}": "" if value is None else str(value) for name, value in row.items()}
    data |= {"i-0-quantity": "450", "i-5-text": "2 lemons", "i-4-DELETE": "on"}
    assert studio.post(page, {**data, "i-0-quantity": "much"}).status_code == 422
    assert studio.post(page, {**data, "servings": "0"}).status_code == 422
    assert studio.post(page, data).status_code == 302
    recipe = Recipe.objects.get(dish=dish)
    assert (recipe.title, recipe.servings) == ("Stew", 6)
    assert [line["text"] for line in recipe.ingredients][-1] == "2 lemons"
    assert (recipe.ingredients[0]["quantity"], len(recipe.ingredients)) == ("450", 5)
    assert studio.post(page, data).status_code == 422  # somebody was quicker: the version is old


def test_what_was_not_read_is_settled_on_the_page(client_for, owner):
    studio, dish = client_for(owner), dish_read()
    path = reverse("settle_unread", args=[dish.pk])
    studio.post(path, {"place": 0, "what": "1 c salt", "way": "right"})
    assert Recipe.objects.get(dish=dish).unread[0]["done"] == "right"
    assert "You have gone through all of them." in studio.get(reverse("dish_recipe", args=[dish.pk])).content.decode()
    studio.post(path, {"place": 7, "what": "1 c salt", "way": "open"})
    assert Recipe.objects.get(dish=dish).unread[0]["done"] == "right"


def test_steps_are_split_joined_moved_taken_out_and_written(client_for, owner):
    studio, dish = client_for(owner), dish_read()
    step = dish.recipe.steps.last()
    split = reverse("split_step", args=[step.pk])
    assert studio.post(split, {"p-lines": "Lift the lid."}).status_code == 422
    studio.post(split, {"p-lines": "Lift the lid.\nSprinkle with parsley."})
    assert dish.recipe.steps.count() == 4
    studio.post(reverse("join_step", args=[step.pk]))
    studio.post(reverse("join_step", args=[step.pk]))  # it is the last one now
    assert dish.recipe.steps.count() == 3
    studio.post(reverse("move_step", args=[step.pk]), {"way": "up"})
    studio.post(reverse("remove_step", args=[step.pk]))
    assert dish.recipe.steps.count() == 2
    page, version = reverse("edit_steps", args=[dish.pk]), Recipe.objects.get(dish=dish).version
    assert studio.post(page, {"lines": " ", "version": version}).status_code == 422
    old = studio.post(page, {"lines": "Stir.", "version": 0})
    assert old.status_code == 422
    assert "Someone changed this" in old.content.decode()
    assert studio.post(page, {"lines": "Stir.\nServe.", "version": version}).status_code == 302
    assert [step.text for step in dish.recipe.steps.all()] == ["Stir.", "Serve."]


def test_a_recipe_without_steps_opens_with_its_text_to_be_split(client_for, owner):
    studio, dish = client_for(owner), dish_read()
    dish.recipe.steps.all().delete()
    assert "500 g red beans" in studio.get(reverse("edit_steps", args=[dish.pk])).content.decode()
    dish.recipe.steps.create(text="Fry the onions. Bake the bread.", order=1)
    assert "Fry the onions.\nBake the bread." in studio.get(reverse("edit_steps", args=[dish.pk])).content.decode()
    assert "All of it is one step." in studio.get(reverse("dish_recipe", args=[dish.pk])).content.decode()
    dish.recipe.steps.all().delete()
    assert "Write the steps" in studio.get(reverse("dish_recipe", args=[dish.pk])).content.decode()


def test_a_word_is_taught_beside_its_step_and_asked_about_when_it_means_another(client_for, owner):
    studio, dish = client_for(owner), dish_read(text=BEAN_STEW + "4. Flash the lot.\n")
    step = dish.recipe.steps.last()
    assert "Teach a word" in studio.get(reverse("dish_recipe", args=[dish.pk])).content.decode()
    typed = {"word": "flash", "action": "sear", "step": step.pk}
    assert studio.post(reverse("learn_word"), typed).url.endswith(f"#step-{step.pk}")
    assert step.moments.get().action == "sear"
    asked = studio.post(reverse("learn_word"), {**typed, "action": "pour"})
    assert asked.status_code == 409
    assert "Shall it mean pour from now on?" in asked.content.decode()
    studio.post(reverse("learn_word"), {**typed, "action": "pour", "sure": "on"})
    assert OwnWord.objects.get().action == "pour"
    for bad in ("", "the", "12", "x" * 200):
        assert studio.post(reverse("learn_word"), {**typed, "word": bad}).status_code == 422
    again = studio.post(reverse("learn_word"), {**typed, "action": "pour"})
    assert again.status_code == 422
    assert "already" in again.content.decode()
    assert "flash" in studio.get(reverse("own_words")).content.decode()
    studio.post(reverse("forget_word", args=[OwnWord.objects.get().pk]))
    assert not OwnWord.objects.exists()


def test_a_moment_with_a_new_kind_teaches_its_word(client_for, owner):
    studio, dish = client_for(owner), dish_read()
    moment = dish.moments.get(action="fry")
    typed = {"what": "Flash the onions", "action": "sear", "repeat": "free", "interest": 4, "version": 1}
    studio.post(reverse("edit_moment", args=[moment.pk]), {**typed, "learn": "crinkle"})
    assert OwnWord.objects.get().word == "crinkle"
    assert "Learn: “flash” means sear" in studio.get(reverse("dish_recipe", args=[dish.pk])).content.decode()
    for _ in range(2):
        studio.post(reverse("learn_word_of_moment", args=[moment.pk]))
    assert sorted(OwnWord.objects.values_list("word", "action")) == [("crinkle", "sear"), ("flash", "sear")]


def test_own_kinds_are_added_changed_and_taken_out(client_for, owner):
    studio = client_for(owner)
    typed = {"version": 1, "name": "frizzle", "repeat": "once", "interest": 5, "peak_seconds": 2, "cues": ["now"]}
    assert studio.post(reverse("add_own_kind"), {**typed, "name": "the"}).status_code == 422
    assert studio.post(reverse("add_own_kind"), typed).status_code == 302
    assert studio.post(reverse("add_own_kind"), typed).status_code == 422
    kind = OwnKind.objects.get()
    page = reverse("edit_own_kind", args=[kind.pk])
    assert studio.post(page, {**typed, "light": "back"}).status_code == 302
    assert studio.post(page, {**typed, "light": "side"}).status_code == 422  # the version is old
    kind.refresh_from_db()
    assert (kind.light, kind.cues) == ("back", ["now"])
    studio.post(reverse("remove_own_kind", args=[kind.pk]))
    assert not OwnKind.objects.exists()


def test_a_step_is_corrected_and_a_backward_range_is_said(client_for, owner):
    step = dish_read().recipe.steps.first()
    page, typed = reverse("edit_step", args=[step.pk]), {"text": step.text, "version": 1, "minutes_from": "12"}
    assert client_for(owner).post(page, {**typed, "minutes_to": "10"}).status_code == 422
    assert client_for(owner).post(page, {**typed, "minutes_to": "14"}).status_code == 302


def test_allergens_are_a_question_until_the_cook_answers(client_for, owner):
    studio, dish = client_for(owner), dish_read()
    assert b"The cook must confirm" in studio.get(reverse("dish_recipe", args=[dish.pk])).content
    path = reverse("tell_allergens", args=[dish.pk])
    assert studio.post(path, {"a-version": 1, "a-others": "milk", "a-allergens_told_by": ""}).status_code == 422
    studio.post(path, {"a-version": 1, "a-others": "milk", "a-allergens_told_by": "Maro Lantadze"})
    dish.refresh_from_db()
    assert (dish.allergens, dish.allergens_told_by) == (["milk"], "Maro Lantadze")


# In a browser


def whats(dish):
    return [moment.what for moment in dish.moments.all()]


@pytest.fixture
def moments_page(signed_in_page, live_server):
    """The recipe page of a dish with four moments, open in a browser."""
    dish = DishFactory(shoot=shoot_with_cook())
    for place, what in enumerate(("One", "Two", "Three", "Four")):
        MomentFactory(dish=dish, what=what, order=place)
    signed_in_page.set_default_timeout(10_000)
    signed_in_page.goto(live_server.url + reverse("dish_recipe", args=[dish.pk]))
    return signed_in_page, dish


def act(page, word, what, role="button"):
    """A button or link of a row; its name goes on with the moment's own words."""
    return page.get_by_role(role, name=re.compile(f"^{word} ?: {what}$"))


def grip(page, what):
    return act(page, "Move", what)


def press(page, key):
    with page.expect_response("**/order/"):
        page.keyboard.press(key)


@pytest.mark.django_db(transaction=True)
def test_moments_are_ordered_by_arrow_keys_and_the_focus_stays(moments_page):
    page, dish = moments_page
    grip(page, "Three").focus()
    press(page, "ArrowUp")
    assert whats(dish) == ["One", "Three", "Two", "Four"]
    assert page.locator("[data-order-said]").inner_text() == "Three: 2 of 4"
    assert grip(page, "Three").evaluate("grip => grip === document.activeElement")
    press(page, "End")
    assert whats(dish) == ["One", "Two", "Four", "Three"]
    page.keyboard.press("ArrowDown")  # it is the last
    assert page.locator("[data-order-said]").inner_text() == "Three: 4 of 4"
    page.reload()
    assert page.locator("[data-order] > li").first.get_attribute("data-name") == "One"
    assert whats(dish) == ["One", "Two", "Four", "Three"]


@pytest.mark.django_db(transaction=True)
def test_an_order_that_could_not_be_kept_goes_back_and_is_said(moments_page):
    page, dish = moments_page
    page.route("**/order/", lambda route: route.abort())
    grip(page, "Three").focus()
    page.keyboard.press("ArrowUp")
    page.get_by_text("could not be kept").wait_for(state="attached")
    rows = page.locator("[data-order] > li")
    assert [rows.nth(place).get_attribute("data-name") for place in range(4)] == ["One", "Two", "Three", "Four"]
    assert whats(dish) == ["One", "Two", "Three", "Four"]


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("kind", ["mouse", "touch"])
def test_moments_are_ordered_by_dragging_their_grip(moments_page, kind):
    page, dish = moments_page
    if kind == "touch":
        page.set_viewport_size({"width": 390, "height": 844})
    grip(page, "Three").scroll_into_view_if_needed()
    start, end = grip(page, "Three").bounding_box(), page.locator("[data-order] > li").nth(1).bounding_box()
    x, y, until = start["x"] + start["width"] / 2, start["y"] + start["height"] / 2, end["y"] + 5
    with page.expect_response("**/order/"):
        if kind == "mouse":
            page.mouse.move(x, y)
            page.mouse.down()
            page.mouse.move(x, until, steps=8)
            page.mouse.up()
        else:
            finger = page.context.new_cdp_session(page)

            def touch(what, at):
                points = [] if what == "touchEnd" else [{"x": x, "y": at}]
                finger.send("Input.dispatchTouchEvent", {"type": what, "touchPoints": points})

            touch("touchStart", y)
            for part in range(1, 9):
                touch("touchMove", y + (until - y) * part / 8)
            touch("touchEnd", until)
    assert whats(dish) == ["One", "Three", "Two", "Four"]
    assert grip(page, "Three").evaluate("grip => grip === document.activeElement")


@pytest.mark.django_db(transaction=True)
def test_plain_buttons_move_a_moment_and_the_focus_stays_in_its_row(moments_page):
    page, dish = moments_page
    up = act(page, "Up", "Two")
    up.focus()
    with page.expect_response("**/recipe/"):
        page.keyboard.press("Enter")
    page.wait_for_function("document.activeElement.closest('li')?.dataset.name === 'Two'")
    assert whats(dish) == ["Two", "One", "Three", "Four"]
    assert not up.is_visible()  # it is the first, so Up leads nowhere


@pytest.mark.django_db(transaction=True)
def test_a_moment_taken_out_on_the_page_is_put_back_there(moments_page):
    page, dish = moments_page
    act(page, "Take out", "Two").click()
    page.get_by_text("“Two” is out; it can be had back").wait_for()
    act(page, "Put back", "Two").click()
    grip(page, "Two").wait_for()
    assert whats(dish) == ["One", "Two", "Three", "Four"]


@pytest.mark.django_db(transaction=True)
def test_two_moments_are_joined_from_the_page(moments_page):
    page, dish = moments_page
    act(page, "Join or split", "Two", "link").click()
    page.get_by_label("Join it with").select_option(label="Three")
    page.get_by_role("button", name="Join the two", exact=True).click()
    act(page, "Undo", "Two, then three").wait_for()
    assert whats(dish) == ["One", "Two, then three", "Four"]


@pytest.mark.django_db(transaction=True)
def test_without_script_the_plain_buttons_order_and_lead_back_to_the_row(
    moments_page, browser, live_server, sign_in, owner
):
    _, dish = moments_page
    context = browser.new_context(java_script_enabled=False)
    page = sign_in(context.new_page(), owner)
    page.goto(live_server.url + reverse("dish_recipe", args=[dish.pk]))
    act(page, "Up", "Two").click()
    moment = Moment.objects.get(what="Two")
    assert page.url.endswith(f"#moment-{moment.pk}")
    assert whats(dish) == ["Two", "One", "Three", "Four"]
    assert not grip(page, "Two").is_visible()
    context.close()


def test_notes_of_a_recipe_are_kept_and_shown_and_come_back_with_the_reading(client_for, owner):
    dish, studio = DishFactory(), client_for(owner)
    page = reverse("dish_recipe", args=[dish.pk])
    studio.post(page, {"text": BEAN_STEW + "\nNotes\n\nThe stew is better on the second day.\n"})
    assert "The stew is better on the second day." in studio.get(page).content.decode()
    studio.post(page, {"text": BEAN_STEW})
    assert "second day" not in studio.get(page).content.decode()
    studio.post(reverse("bring_reading_back", args=[dish.pk]))
    assert "The stew is better on the second day." in studio.get(page).content.decode()
