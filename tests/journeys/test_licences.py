"""Journey C, licence terms per picture: from empty books, real files come in, a licence is placed, a rival of an exclusive one is
refused, an ending one renewed, and the licence is read on paper."""

from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from shared.business.queries import today
from shared.words import formats
from shared.words.formats import plain_spaces
from shoots.licences.models import Licence
from shoots.pictures.models import Picture
from tests.factories.pictures import grey_jpeg
from tests.journeys import steps

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
    live_server: Any, watched: Any, browser: Any, watch: Any, tally: Any, worked: Any, read_pdf: Any, settings: Any
) -> None:
    settings.SITE_ADDRESS = live_server.url
    studio = tally(watched)
    page = studio.page
    steps.begin_books(studio, live_server.url)
    on = today(timezone.now())  # by the time zone just chosen
    for name in ("Kvernmoor Mill", "Oystercatcher Pantry"):
        steps.add_client(studio, live_server.url, name, kind="Brand")
    steps.add_client(studio, live_server.url, "Spoon & Lamp", kind="Publisher")
    steps.add_client(studio, live_server.url, "Walnut Lantern", contact="Maro Lantadze", email=steps.COOKS_MAIL)
    steps.open_winter_menu(studio, day=on, pictures=("Bread boat 1", "Bread boat 2", "Bread boat 3"))
    steps.name_the_cook(studio)
    shoot_url = page.url

    # They may be sold on; the estimate is accepted, the shoot is shot
    studio.follow("Write down what they said")
    studio.tick("To anybody, at once")
    studio.write("Who said so, when and how", "Maro Lantadze, on the phone")
    studio.press("Write it down")
    studio.open(shoot_url)
    studio.press("New estimate")
    phone = steps.phone(browser)
    client = tally(watch(phone.new_page()))
    client.open(steps.send_estimate(studio))
    # By hand: 260.00 + 780.00 + 75.00 + 875.00 = 1,990.00; 19% is 378.10
    steps.accept(client, option="A", total="€2,368.10")
    phone.close()
    worked(timezone.now())
    licence = Licence.objects.get()
    assert (licence.is_placed, licence.pictures_agreed) == (False, 3)
    studio.open(shoot_url)
    studio.press("Mark as shot")

    # Real files; nobody and nothing to be recognised in them
    studio.follow("Add pictures")
    files = [{"name": f"frame-{n}.jpg", "mimeType": "image/jpeg", "buffer": grey_jpeg(seed=n)} for n in range(3)]
    studio.hand_over("Picture files", *files)
    studio.press("Add the pictures")
    page.get_by_role("link", name="Show the pictures").wait_for()
    studio.follow("Show the pictures")
    assert Picture.objects.count() == 3
    mark(studio, "Choose", 0, 1, 2)
    mark(studio, "No place or thing recognisable", 0, 1, 2)
    mark(studio, "Nobody recognisable", 0, 1, 2)

    studio.open(shoot_url)
    studio.follow("Place the licence")
    studio.press("Place the licence")
    assert "3 of 3 agreed" in text_of(page)
    assert licence.pictures.count() == 3

    # Exclusive, then the rival: refused with the reason, and the free day one press away
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

    # One that ends soon, and its renewal
    studio.open(f"{live_server.url}/licences/grant/?picture={picture.pk}&use=magazine")
    studio.choose("Who may use them", "Spoon & Lamp")
    studio.write("Last day of use", say(on + timedelta(days=30)))
    studio.write("Copies at most", "5000")
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

    # The picture's answer, and the client's
    studio.open(f"{live_server.url}/pictures/{picture.pk}/")
    page.get_by_role("heading", name="What may still be sold").wait_for()
    answer = text_of(page)
    for name in ("Walnut Lantern", "Kvernmoor Mill", "Oystercatcher Pantry", "Spoon & Lamp"):
        assert name in answer
    assert f"Until {say(on + timedelta(days=30))}" in answer
    studio.open(f"{live_server.url}/clients/{held.licensee_id}/licences/")
    assert "What Kvernmoor Mill may use" in text_of(page)
    assert say(held.last_day) in text_of(page)

    # The paper in the hand
    said = read_pdf(page.request.get(f"{live_server.url}/licences/{held.pk}/paper/").body())
    for words in (held.number, "Kvernmoor Mill", "online advertising", say(on), say(held.last_day), "Tindra Aldermoor"):
        assert plain_spaces(words) in said, words
