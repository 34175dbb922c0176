"""What a journey does first, by hand and from empty books: begin them, add a client, open a shoot, have an estimate accepted."""

import re
from datetime import date
from typing import Any

from shared.access.queries import welcome_token
from shared.outbox.letters import full_text
from shared.outbox.models import Message
from tests.journeys.conftest import Hands

OWNER = ("tindra@aldermoor.example", "walnut-oil-and-slate-26")
COOKS_MAIL = "maro@walnutlantern.example"
PROFILE = (
    ("Street and number", "Glover Yard 9"),
    ("Postcode", "24103"),
    ("Town", "Lindhafen"),
    ("VAT number", "DE136695976"),
    ("Account holder", "Tindra Aldermoor"),
    ("IBAN", "DE02 1203 0000 0000 2020 51"),
)


def begin_books(hands: Hands, address: str) -> None:
    """The first visit: who the owner is, and what an invoice needs of the business."""
    hands.open(f"{address}/welcome/{welcome_token()}/")
    hands.write("Your full legal name", "Tindra Aldermoor")
    hands.write("E-mail address", OWNER[0])
    hands.write("Password", OWNER[1])
    hands.press("Begin these books")
    for label, words in PROFILE:
        hands.write(label, words)
    hands.press("Save business profile")
    hands.page.get_by_text("The business profile is saved.").wait_for()


def add_client(hands: Hands, address: str, name: str, *, contact: str = "", email: str = "", kind: str = "") -> None:
    """The short way in; it ends on the client's page."""
    hands.open(f"{address}/clients/new/")
    hands.write("Name", name, exact=True)
    hands.write("City", "Lindhafen")
    if kind:
        hands.tick(kind, exact=True)
    if contact:
        hands.write("Contact person", contact)
        hands.write("Their e-mail", email)
    hands.press("Save client")


def fill_in_billing(hands: Hands, email: str) -> None:
    """On the client's page: what a legal invoice needs of them."""
    hands.follow("Edit client")
    hands.write("Street and number", "Lampwick Lane 4")
    hands.write("Postcode", "10117")
    hands.write("E-mail for invoices", email)
    hands.press("Save client")


def open_winter_menu(hands: Hands, *, day: date, dishes: tuple[str, ...] = (), pictures: tuple[str, ...]) -> None:
    """On the client's page: a shoot for the restaurant's own promotion in Germany, the choice the form begins with."""
    hands.follow("New shoot", exact=True)
    hands.write("Title", "Winter menu")
    hands.write("Day optional", f"{day:%Y-%m-%d}", exact=True)
    if dishes:
        hands.write("Dishes, one a line", "\n".join(dishes))
    hands.write("Pictures wanted, one a line", "\n".join(pictures))
    hands.press("Open the shoot")


def name_the_cook(hands: Hands) -> None:
    """On the shoot's page: the contact of the house cooks."""
    hands.page.get_by_text("Add a person", exact=True).click()
    hands.presses += 1
    people = hands.page.locator("#people")
    hands.choose("Person", "Maro Lantadze", within=people)
    hands.choose("Part", "Cook", within=people)
    hands.press("Add the person", within=people)
    people.get_by_role("link", name="Maro Lantadze").wait_for()


def send_estimate(hands: Hands) -> str:
    """On a draft's page: send it, and return the private link that the client got."""
    hands.press("Save and send to Maro Lantadze")
    hands.press("Send to Maro Lantadze")
    hands.page.get_by_text("is on its way to Maro Lantadze").wait_for()
    return link_to(COOKS_MAIL, "offer")


def accept(hands: Hands, *, option: str, total: str, words: str = "Accept for {total}") -> None:
    """On the client's phone, an option chosen: name, role, the word that one may order, and the press."""
    words = words.format(option=option, total=total)
    hands.page.get_by_role("button", name=words).wait_for()
    hands.write("Your full name", "Maro Lantadze")
    hands.write("Your role", "Owner")
    hands.page.get_by_text("I may order for Walnut Lantern").click()
    hands.presses += 1
    hands.press(words)
    hands.page.get_by_text(f"accepted option {option} for {total}").wait_for()


def link_to(somebody: str, path: str) -> str:
    """The private link in the newest letter to somebody."""
    letter = Message.objects.filter(to=somebody).latest("pk")
    found = re.search(rf"http\S+/{path}/\S+", full_text(letter))
    assert found, full_text(letter)
    return found[0]


def phone(browser: Any, *, language: str = "en-GB") -> Any:
    """Somebody's phone, 390 pixels wide."""
    return browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, locale=language)
