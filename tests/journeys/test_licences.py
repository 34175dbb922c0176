"""Journey C: real files come in, a licence is placed, a rival of an exclusive one is refused, an ending one renewed."""

from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from shared.business.queries import today
from shared.words import formats
from shared.words.formats import plain_spaces
from shoots.brief.models import SellingOn
from shoots.licences.models import Licence
from shoots.pictures.models import Picture
from tests.factories.clients import ClientFactory
from tests.factories.licences import agreed, kvernmoor, oystercatcher
from tests.factories.pictures import grey_jpeg
from tests.factories.releases import shoot_with_cook, signed_release

pytestmark = pytest.mark.django_db(transaction=True)


def say(day: Any) -> str:
    return plain_spaces(formats.day(day, "en"))


def text_of(page: Any) -> str:
    page.wait_for_load_state("networkidle")
    return plain_spaces(page.locator("body").inner_text())


def mark(hands: Any, deed: str, *places: int) -> None:
    """Tick frames by their place and say one thing of them."""
    for place in places:
        hands.page.locator("input[name=pictures]").nth(place).check()
        hands.presses += 1
    hands.press(deed)


def fill_in(hands: Any, client: str, *, fee: str, exclusively: bool = False) -> None:
    """Online advertising in Germany for a year."""
    hands.choose("Who may use them", client)
    hands.tick("Promotes or sells")
    for medium in ("Website", "Social media"):
        hands.page.get_by_label(medium, exact=True).uncheck()
        hands.presses += 1
    if not hands.page.get_by_label("Online advertising").is_visible():
        hands.page.get_by_text("Other media", exact=True).click()
        hands.presses += 1
    hands.tick("Online advertising")
    hands.choose("For how long", "1 year")
    hands.write("Fee before VAT", fee)
    hands.write("Who said yes for the client", "Runa Tallow")
    if exclusively:
        hands.choose("Shut out", "Nobody else", exact=True)
        hands.write("Sign the exclusive licence", "Tindra Aldermoor")


def test_who_may_use_a_picture_is_granted_refused_ended_and_renewed(
    signed_in_page: Any, live_server: Any, tally: Any
) -> None:
    shoot = shoot_with_cook(state="shot", selling_on=SellingOn.FREE)
    signed_release(shoot)
    agreed(shoot, pictures_agreed=3)
    kvernmoor()
    oystercatcher()
    ClientFactory(name="Spoon & Lamp", trade="publisher")
    on = today(timezone.now())
    studio = tally(signed_in_page)
    page = studio.page

    studio.open(f"{live_server.url}/shoots/{shoot.pk}/pictures/")
    files = [{"name": f"frame-{n}.jpg", "mimeType": "image/jpeg", "buffer": grey_jpeg(seed=n)} for n in range(3)]
    studio.hand_over("Picture files", *files)
    studio.press("Add the pictures")
    page.get_by_role("link", name="Show the pictures").wait_for()
    studio.follow("Show the pictures")
    assert Picture.objects.count() == 3
    mark(studio, "Choose", 0, 1, 2)
    mark(studio, "No place or thing recognisable", 0, 1, 2)
    mark(studio, "Name this person in the ticked ones", 0)
    mark(studio, "Nobody recognisable", 1, 2)

    studio.open(f"{live_server.url}/shoots/{shoot.pk}/")
    studio.follow("Place the licence")
    studio.press("Place the licence")
    assert "3 of 3 agreed" in text_of(page)
    assert Licence.objects.get().pictures.count() == 3

    picture = Picture.objects.order_by("number").last()
    studio.open(f"{live_server.url}/pictures/{picture.pk}/")
    studio.follow("Grant a licence", exact=True)
    fill_in(studio, "Kvernmoor Mill", fee="1,080", exclusively=True)
    page.get_by_text("Nothing stands in the way").wait_for()
    studio.press("Grant the licence")
    held = Licence.objects.get(licensee__name="Kvernmoor Mill")
    assert f"{say(on)}" in text_of(page)
    assert say(held.last_day) in text_of(page)

    studio.open(f"{live_server.url}/licences/grant/?picture={picture.pk}")
    fill_in(studio, "Oystercatcher Pantry", fee="900")
    studio.press("Grant the licence")
    refused = text_of(page)
    assert f"{held.number} holds this use exclusively until {say(held.last_day)}" in refused
    assert "Nothing was granted" in refused
    assert not Licence.objects.filter(licensee__name="Oystercatcher Pantry").exists()
    studio.press(f"Begin on {say(held.use_until)}")
    studio.press("Grant the licence")
    assert Licence.objects.get(licensee__name="Oystercatcher Pantry").use_from == held.use_until

    studio.open(f"{live_server.url}/licences/grant/?picture={picture.pk}&use=magazine")
    studio.choose("Who may use them", "Spoon & Lamp")
    studio.write("Last day of use", say(on + timedelta(days=30)))
    studio.write("Fee before VAT", "0")
    studio.write("Who said yes for the client", "Odette Brindle")
    studio.press("Grant the licence")
    studio.open(f"{live_server.url}/licences/")
    assert "1 ends within 60 days" in text_of(page)
    studio.follow("Offer a renewal")
    studio.press("Offer the renewal")
    renewal = Licence.objects.get(renews__isnull=False)
    studio.write("Who said yes for the client", "Odette Brindle")
    studio.press(f"Grant {renewal.number}")
    assert (renewal.use_from, renewal.renews.last_day) == (on + timedelta(days=31), on + timedelta(days=30))

    studio.open(f"{live_server.url}/pictures/{picture.pk}/")
    page.get_by_role("heading", name="What may still be sold").wait_for()
    answer = text_of(page)
    for name in ("Walnut Lantern", "Kvernmoor Mill", "Oystercatcher Pantry", "Spoon & Lamp"):
        assert name in answer
    assert f"Until {say(on + timedelta(days=30))}" in answer
    assert "Starts on payment" in answer
    studio.open(f"{live_server.url}/clients/{held.licensee_id}/licences/")
    assert "What Kvernmoor Mill may use" in text_of(page)
    assert say(held.last_day) in text_of(page)
