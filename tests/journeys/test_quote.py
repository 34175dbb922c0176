"""Journey A, quote a restaurant job: from a new client to the paper in the hand, on a desk and on the client's phone."""

import re
from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from billing.estimates.models import Estimate
from shared.outbox.letters import full_text
from shared.outbox.models import Message
from shoots.brief.models import Shoot
from shoots.licences.models import Licence
from tests.factories.shared import BusinessProfileFactory

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_restaurant_job_is_quoted_accepted_on_a_phone_and_read_on_paper(
    live_server: Any,
    signed_in_page: Any,
    browser: Any,
    watch: Any,
    tally: Any,
    worked: Any,
    read_pdf: Any,
    settings: Any,
) -> None:
    settings.SITE_ADDRESS = live_server.url
    BusinessProfileFactory()
    day = timezone.now().date() + timedelta(days=40)
    studio = tally(signed_in_page)
    page = studio.page

    # A client
    studio.open(live_server.url + "/clients/new/")
    studio.write("Name", "Walnut Lantern", exact=True)
    studio.write("City", "Lindhafen")
    studio.write("Contact person", "Maro Lantadze")
    studio.write("Their e-mail", "maro@walnutlantern.example")
    studio.press("Save client")

    # The shoot with its pictures and use
    house = re.search(r"/clients/(\d+)/", page.url)[1]
    studio.open(f"{live_server.url}/shoots/new/?client={house}")
    page.locator("[name=title]").fill("Winter menu")
    page.locator("[name=first_on]").fill(f"{day:%Y-%m-%d}")
    page.locator("[name=pictures]").fill("\n".join(f"Bread boat {n}" for n in range(1, 7)))
    studio.typed += 3
    page.locator("[name=use_places][value=DE]").check()
    studio.presses += 1
    studio.press("Open the shoot")

    # The estimate: two options, the second with an optional line
    studio.press("New estimate")
    studio.press("Add an option like A")
    b = page.locator("#option-B")
    studio.write("Name of the option", "Six pictures with a portrait", within=b)
    row = b.locator("table tbody tr").last
    studio.write("What", "Portrait of the cook", within=row, exact=True)
    studio.write("Rate", "150", within=row, exact=True)
    row.get_by_text("Kind and conditions").click()
    row.get_by_text("The client may add this line (optional)").click()
    studio.presses += 2
    studio.press("Save and send to Maro Lantadze")
    studio.press("Send to Maro Lantadze")
    worked(timezone.now())
    estimate = Estimate.objects.get()
    assert Shoot.objects.get().state == "pencilled"

    # The client's phone
    letter = Message.objects.get(to="maro@walnutlantern.example")
    link = re.search(r"http\S+/offer/\S+", full_text(letter))[0]
    phone = browser.new_context(viewport={"width": 390, "height": 800}, locale="en-GB")
    client = tally(watch(phone.new_page()))
    client.open(link)
    client.page.locator("label.choice").nth(1).click()
    client.page.get_by_text("Portrait of the cook").first.click()
    client.presses += 2
    # By hand: 260.00 + 780.00 + 150.00 + 1,710.00 + 150.00 = 3,050.00; 19% is 579.50; in all 3,629.50
    client.page.get_by_role("button", name="Accept option B for €3,629.50").wait_for()
    client.write("Your full name", "Maro Lantadze")
    client.write("Your role", "Owner")
    client.page.get_by_text("I may order for Walnut Lantern").click()
    client.presses += 1
    client.press("Accept option B for €3,629.50")
    client.page.get_by_text("accepted option B for €3,629.50").wait_for()

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
