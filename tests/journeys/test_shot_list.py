"""Journey A, the other half: a pasted recipe becomes moments, a shot list to edit, order and tick, and the cook's sheet on paper."""

from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from shoots.plan.models import Shot
from tests.journeys import steps

pytestmark = pytest.mark.django_db(transaction=True)
RECIPE = """Bread boat

Serves: 4

Ingredients

- 600 g dough
- 300 g young cheese
- 4 egg yolks
- 60 g butter
- 1 tsp salt

Method

1. Shape the dough into four boats and bake at 250 °C for 12 minutes.
2. Drop a yolk into each boat and put the butter beside it.
3. Tear off an end and stir the yolk into the cheese.
"""


def test_a_recipe_becomes_a_shot_list_and_the_cooks_sheet(
    live_server: Any, watched: Any, browser: Any, watch: Any, tally: Any, read_pdf: Any, settings: Any
) -> None:
    settings.SITE_ADDRESS = live_server.url
    studio = tally(watched)
    page = studio.page
    steps.begin_books(studio, live_server.url)
    steps.add_client(studio, live_server.url, "Walnut Lantern", contact="Maro Lantadze", email=steps.COOKS_MAIL)
    steps.open_winter_menu(
        studio,
        day=timezone.now().date() + timedelta(days=40),
        dishes=("Bread boat",),
        pictures=("Bread boat from above", "The last end"),
    )
    steps.name_the_cook(studio)

    # The recipe, gone through with the cook
    studio.follow("Recipe and moments of Bread boat")
    studio.write("The recipe", RECIPE, exact=True)
    studio.press("Read the recipe")
    page.get_by_text("3 steps and 5 moments are read.").first.wait_for()
    studio.press("Talked through with the cook")
    studio.tick("Eggs, from")
    studio.write("Told by", "Maro Lantadze")
    studio.press("Write down what the cook told")

    # The list: drafted, changed, ordered, ticked
    studio.follow("Shot list", exact=True)
    studio.press("Make the shot list")
    page.get_by_text("shots are drafted").wait_for()
    rows = page.locator("#list li")
    before = list(Shot.objects.order_by("order", "pk").values_list("title", flat=True))
    studio.follow("Drop a yolk into each boat", within=rows)
    studio.write("Title", "The yolk drops", exact=True)
    studio.press("Save shot")
    studio.press("Move up", within=rows.filter(has_text="The yolk drops"), exact=False)
    rows.nth(before.index("Drop a yolk into each boat") - 1).get_by_text("The yolk drops").first.wait_for()
    studio.press("Done", within=rows.filter(has_text="Grey card, first light"), exact=False)
    rows.filter(has_text="Grey card, first light").get_by_text("Back to planned").wait_for()
    assert Shot.objects.get(title="Grey card, first light").state == "done"

    # The cook's sheet, on the cook's phone and on paper
    studio.follow("Cook’s sheet and call sheet")
    studio.press("Send the cook’s sheet")
    page.get_by_text("Not opened yet").wait_for()
    phone = steps.phone(browser)
    cook = tally(watch(phone.new_page()))
    link = steps.link_to(steps.COOKS_MAIL, "cook")
    cook.open(link)
    cook.page.get_by_text("The yolk drops").first.wait_for()
    said = read_pdf(cook.page.request.get(link + "paper/").body())
    for words in ("Bread boat", "The yolk drops", "Wait. You say now.", "Splash, hot oil.", "told by Maro Lantadze"):
        assert words in said, words
    phone.close()
