"""Journey A, quote a restaurant job: from empty books to the paper in the hand, on a desk and on the client's phone."""

from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from billing.estimates.models import Estimate
from shoots.brief.models import Shoot
from shoots.licences.models import Licence
from tests.journeys import steps

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_restaurant_job_is_quoted_accepted_on_a_phone_and_read_on_paper(
    live_server: Any, watched: Any, browser: Any, watch: Any, tally: Any, worked: Any, read_pdf: Any, settings: Any
) -> None:
    settings.SITE_ADDRESS = live_server.url
    studio = tally(watched)
    steps.begin_books(studio, live_server.url)
    steps.add_client(studio, live_server.url, "Walnut Lantern", contact="Maro Lantadze", email=steps.COOKS_MAIL)
    pictures = tuple(f"Bread boat {n}" for n in range(1, 7))
    steps.open_winter_menu(studio, day=timezone.now().date() + timedelta(days=40), pictures=pictures)

    # The estimate: two options, the second with an optional line
    studio.press("New estimate")
    studio.press("Add an option like A")
    b = studio.page.locator("#option-B")
    studio.write("Name of the option", "Six pictures with a portrait", within=b)
    row = b.locator("table tbody tr").last
    studio.write("What", "Portrait of the cook", within=row, exact=True)
    studio.write("Rate", "150", within=row, exact=True)
    row.get_by_text("Kind and conditions").click()
    row.get_by_text("The client may add this line (optional)").click()
    studio.presses += 2
    link = steps.send_estimate(studio)
    worked(timezone.now())
    estimate = Estimate.objects.get()
    assert Shoot.objects.get().state == "pencilled"

    # The client's phone
    phone = steps.phone(browser)
    client = tally(watch(phone.new_page()))
    client.open(link)
    client.page.get_by_role("radio", name="B:").click()
    client.page.get_by_label("Portrait of the cook").check()
    client.presses += 2
    # By hand: 260.00 + 780.00 + 150.00 + 1,710.00 + 150.00 = 3,050.00; 19% is 579.50; in all 3,629.50
    steps.accept(client, option="B", total="€3,629.50", words="Accept option {option} for {total}")

    assert Shoot.objects.get().state == "confirmed"
    licence = Licence.objects.get()
    assert (licence.state, licence.is_placed, licence.pictures_agreed) == ("accepted", False, 6)

    # The paper, read: 2,900.00 before VAT without the optional line, 551.00 VAT, 40% of 3,451.00 is 1,380.40
    said = read_pdf(client.page.request.get(link + "paper/").body())
    wanted = (
        estimate.number, "Winter menu", "Walnut Lantern", "2,900.00", "551.00", "€3,451.00", "Portrait of the cook: €150.00", "€1,380.40"
    )  # fmt: skip
    for words in wanted:
        assert words in said, words
    phone.close()
