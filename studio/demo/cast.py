"""Who is in the demo: houses, people, kitchens. All invented; every address ends in .example, every number of a phone begins with 555."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import time
from typing import Any


@dataclass(frozen=True, slots=True)
class Somebody:
    """A person and what they do for the house. ``parts`` holds the first letters of orders, approves, pays, cooks."""

    name: str
    email: str = ""
    phone: str = ""
    language: str = "en"
    parts: str = "oap"
    at_the_stove: str = ""

    @property
    def said(self) -> dict[str, bool]:
        return {word: word[0] in self.parts for word in ("orders", "approves", "pays", "cooks")}


@dataclass(frozen=True, slots=True)
class House:
    """A client as the demo enters it; ``kitchen`` holds the fields of its kitchen, if pictures are taken there."""

    key: str
    name: str
    fields: dict[str, Any]
    people: tuple[Somebody, ...]
    kitchen: dict[str, Any] = field(default_factory=dict)


def _hours(*weekdays: int, first: time = time(9), last: time = time(15)) -> list[dict[str, Any]]:
    return [{"weekday": day, "from_time": first, "until_time": last} for day in weekdays]


BUSINESS: dict[str, Any] = {
    "legal_name": "Tindra Aldermoor",
    "trading_name": "Tindra Aldermoor",
    "what_we_do": "Food photography",
    "street": "Glover Yard 9",
    "postcode": "24103",
    "city": "Lindhafen",
    "country": "DE",
    "email": "tindra@aldermoor.example",
    "phone": "+49 431 5550 118",
    "website": "https://aldermoor.example",
    # Published examples of check digits, nobody's numbers: python-stdnum's description of DE numbers, and the German IBAN in
    # common use as an example by banks (from memory).
    "vat_number": "DE136695976",
    "iban": "DE02120300000000202051",
    "tax_number": "20/118/04421",
    "bank_name": "Harbour Bank (invented)",
    "account_name": "Tindra Aldermoor",
    "bic": "BYLADEM1001",
    "exemption_wording_en": "No VAT is charged: small business under section 19 UStG.",
    "exemption_wording_de": "Kein Ausweis von Umsatzsteuer: Kleinunternehmer nach § 19 UStG.",
    "payment_days": 14,
}

STUDIO: dict[str, Any] = {
    "name": "Glover Yard studio",
    "street": "Glover Yard 9",
    "postcode": "24103",
    "city": "Lindhafen",
    "latitude": "54.32000",
    "longitude": "10.14000",
    "distance_km": 0,
    "way_in": "Through the yard, second door on the left, up the outside stairs.",
    "house_rules": "No candles near the paper rolls. Shoes off on the white floor.",
    "hazards": "One step down behind the sink.",
    "windows": [{"name": "North window", "bearing_degrees": 5, "width_cm": 260, "height_cm": 210}],
    "hours": _hours(0, 1, 2, 3, 4, 5, first=time(8), last=time(20)),
}

ASSISTANT = Somebody("Jorun Fettle", "jorun@aldermoor.example", "+49 431 5550 119")
STYLIST = Somebody("Sunniva Tarrow", "sunniva@tarrow.example", "+49 431 5550 160")


# Trades the studio put on its list, beside those the program came with: what papers call them, by language.
TRADES: dict[str, dict[str, str]] = {
    "cider": {"de": "Apfelwein", "fr": "cidre", "es": "sidra", "it": "sidro", "sv": "cider"},
}
HOUSES: tuple[House, ...] = (
    House(
        "walnut",
        "Walnut Lantern",
        {
            "legal_name": "Walnut Lantern, Maro Lantadze",
            "kind": "restaurant",
            "trade": "restaurant",
            "street": "Lampwick Lane 4",
            "postcode": "24107",
            "city": "Lindhafen",
            "invoice_email": "books@walnutlantern.example",
            "notes": "Closed on Mondays and Saturday until six. Dark wood, one window, no flowers.",
        },
        (
            Somebody("Maro Lantadze", "maro@walnutlantern.example", "+49 431 5550 140", "de", "oac"),
            Somebody("Ivo Pellander", "ivo@walnutlantern.example", "+49 431 5550 141", "en", ""),
            Somebody("Neva Lantadze", "books@walnutlantern.example", "+49 431 5550 142", "en", "p"),
        ),
        {
            "name": "Lampwick Lane 4",
            "street": "Lampwick Lane 4",
            "postcode": "24107",
            "city": "Lindhafen",
            "latitude": "54.35000",
            "longitude": "10.16000",
            "distance_km": 23,
            "way_in": "Yard gate, code from Maro. Kitchen door beside the woodpile.",
            "house_rules": "Nobody behind the pass during service. No guests in the picture.",
            "hazards": "Oven mouth 250 °C on the left of the pastry board. Wet floor by the sink.",
            "calls": "“Heiß, hinten!”: somebody passes behind you with something hot\n“Klinge!”: a knife comes by\n“Ofen!”: step back from the oven door",
            "windows": [
                {"name": "Window table", "bearing_degrees": 310, "width_cm": 180, "height_cm": 150},
                {"name": "Pastry board", "bearing_degrees": 40, "width_cm": 90, "height_cm": 110},
            ],
            "hours": _hours(0, 1, 5),
            "key": "Maro Lantadze",
        },
    ),
    House(
        "mill",
        "Kvernmoor Mill",
        {
            "legal_name": "Kvernmoor Mühle GmbH",
            "kind": "brand",
            "trade": "bakery",
            "language": "de",
            "street": "Mühlendamm 1",
            "postcode": "24214",
            "city": "Kvernmoor",
            "invoice_email": "rechnung@kvernmoor.example",
        },
        (
            Somebody("Runa Tallow", "runa@kvernmoor.example", "+49 4348 5550 21", "de", "oap"),
            Somebody("Detlev Korning", "backstube@kvernmoor.example", "+49 4348 5550 22", "de", "c"),
        ),
        {
            "name": "Kvernmoor bakehouse",
            "street": "Mühlendamm 1",
            "postcode": "24214",
            "city": "Kvernmoor",
            "latitude": "54.43000",
            "longitude": "9.96000",
            "distance_km": 31,
            "way_in": "Past the weighbridge, bakehouse door with the green lamp.",
            "hazards": "Flour dust: no open flame, no hot lamps near the sifter. Deck oven 260 °C.",
            "house_rules": "Hair nets on, jewellery off.",
            "windows": [{"name": "Loading door", "bearing_degrees": 95, "width_cm": 300, "height_cm": 320}],
            "hours": _hours(0, 1, 2, 3, 4, first=time(11), last=time(17)),
            "key": "Detlev Korning",
        },
    ),
    House(
        "pantry",
        "Oystercatcher Pantry",
        {
            "legal_name": "Oystercatcher Pantry Ltd & Co. KG",
            "kind": "brand",
            "trade": "grocer",
            "street": "Tide Street 22",
            "postcode": "24149",
            "city": "Lindhafen",
            "invoice_email": "accounts@oystercatcher.example",
        },
        (Somebody("Calder Wrenfield", "calder@oystercatcher.example", "+49 431 5550 170"),),
    ),
    House(
        "spoon",
        "Spoon & Lamp",
        {
            "legal_name": "Spoon & Lamp Publishing",
            "kind": "publisher",
            "trade": "magazine",
            "street": "Composing Row 3",
            "postcode": "24105",
            "city": "Lindhafen",
            "invoice_email": "accounts@spoonandlamp.example",
            "payment_days": 30,
        },
        (
            Somebody("Ottilie Brackwater", "ottilie@spoonandlamp.example", "+49 431 5550 180", "en", "oa"),
            Somebody("Perrin Oakhollow", "accounts@spoonandlamp.example", "+49 431 5550 181", "en", "p"),
        ),
    ),
    House(
        "agency",
        "Heron & Tidewater",
        {
            "legal_name": "Heron & Tidewater Agency",
            "kind": "agency",
            "trade": "agency",
            "street": "Ropewalk 17",
            "postcode": "24103",
            "city": "Lindhafen",
            "invoice_email": "invoices@herontidewater.example",
            "payment_days": 30,
        },
        (Somebody("Lisbet Quarrel", "lisbet@herontidewater.example", "+49 431 5550 200"),),
    ),
    House(
        "cider",
        "Pebble Street Cider",
        {
            "kind": "brand",
            "trade": "cider",
            "street": "Pebble Street 40",
            "postcode": "24340",
            "city": "Applewick",
            "invoice_email": "office@pebblestreet.example",
        },
        (Somebody("Tobin Sallow", "tobin@pebblestreet.example", "+49 4351 5550 33", "en", "a"),),
    ),
    House(
        "inn",
        "Gasthaus Nebelreiher",
        {
            "kind": "restaurant",
            "trade": "restaurant",
            "language": "de",
            "street": "Am Schilfufer 8",
            "postcode": "24326",
            "city": "Nebelsee",
            "invoice_email": "buero@nebelreiher.example",
        },
        (Somebody("Hauke Brindemann", "hauke@nebelreiher.example", "+49 4521 5550 12", "de", "oapc"),),
        {
            "name": "Nebelreiher kitchen",
            "street": "Am Schilfufer 8",
            "postcode": "24326",
            "city": "Nebelsee",
            "latitude": "54.15000",
            "longitude": "10.41000",
            "distance_km": 42,
            "way_in": "Jetty side, past the boathouse.",
            "hazards": "Two-burner wok, open flame. Low beam at the pass, 178 cm.",
            "windows": [{"name": "Lake window", "bearing_degrees": 200, "width_cm": 220, "height_cm": 140}],
            "hours": _hours(1, 2, 3, first=time(8), last=time(11)),
            "key": "Hauke Brindemann",
        },
    ),
    House(
        "dairy",
        "Käserei Kupferrand",
        {
            "legal_name": "Käserei Kupferrand eG",
            "kind": "brand",
            "trade": "dairy",
            "language": "de",
            "street": "Senkenweg 5",
            "postcode": "24257",
            "city": "Hohenmarsch",
            "invoice_email": "kontor@kupferrand.example",
        },
        (Somebody("Wiebke Sandtner", "wiebke@kupferrand.example", "+49 4385 5550 9", "de"),),
    ),
    House(
        "coffee",
        "Moss & Ember Coffee",
        {
            "kind": "brand",
            "trade": "coffee",
            "street": "Kiln Court 2",
            "postcode": "24114",
            "city": "Lindhafen",
            "invoice_email": "hello@mossandember.example",
        },
        (Somebody("Idris Fallowell", "idris@mossandember.example", "+49 431 5550 220"),),
    ),
    House(
        "press",
        "Verlag Moorbirke",
        {
            "legal_name": "Verlag Moorbirke GmbH",
            "kind": "publisher",
            "trade": "book publisher",
            "language": "de",
            "street": "Setzerstieg 11",
            "postcode": "24118",
            "city": "Lindhafen",
            "invoice_email": "honorare@moorbirke.example",
        },
        (Somebody("Frauke Ellersiek", "frauke@moorbirke.example", "+49 431 5550 240", "de"),),
    ),
    House(
        "hotel",
        "Quince Harbour House",
        {
            "kind": "restaurant",
            "trade": "hotel",
            "street": "Pilot Steps 1",
            "postcode": "24159",
            "city": "Lindhafen",
            "invoice_email": "ledger@quinceharbour.example",
        },
        (
            Somebody("Averil Stonecrop", "averil@quinceharbour.example", "+49 431 5550 260", "en", "oap"),
            Somebody("Matteo Linden", "kitchen@quinceharbour.example", "+49 431 5550 261", "en", "c", "it"),
        ),
        {
            "name": "Quince Harbour kitchen",
            "street": "Pilot Steps 1",
            "postcode": "24159",
            "city": "Lindhafen",
            "latitude": "54.40000",
            "longitude": "10.18000",
            "distance_km": 12,
            "way_in": "Goods lift from the quay, ring for Averil.",
            "hazards": "Slicing machine by the cold pass. Steam from the dish lane.",
            "house_rules": "No photographs of the guests' terrace.",
            "windows": [{"name": "Quay window", "bearing_degrees": 270, "width_cm": 240, "height_cm": 180}],
            "hours": _hours(0, 2, 4, first=time(13), last=time(17)),
            "key": "Averil Stonecrop",
        },
    ),
    House(
        "bakery",
        "Fennel Yard Bakery",
        {
            "kind": "brand",
            "trade": "bakery",
            "street": "Fennel Yard 6",
            "postcode": "24116",
            "city": "Lindhafen",
            "invoice_email": "shop@fennelyard.example",
        },
        (Somebody("Bettany Crumb", "bettany@fennelyard.example", "+49 431 5550 280"),),
    ),
)
