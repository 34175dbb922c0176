"""Fees from one plain value (a parsed JSON file), without a database: the studio's card or the shipped one, and requests.

A key that may be null may be left out, save ``months`` of an item. Unknown keys, unknown codes, wrong types and a card that breaks its own
rules are refused with the path of the faulty value, as ``requests[0].items[0].media[0]`` or ``card.term[3]``.
"""

import re
from decimal import Decimal
from typing import Any

from billing.rates.card import Card, InvalidCard, Remark, check_card, read_card
from billing.rates.fees import UNLIMITED, CannotPrice, Exclusive, InvalidItem, UseItem, change_fee, usage_fee
from billing.rates.starting_card import STARTING_CARD
from billing.rates.working import fee_data
from shoots.licences.scenarios import Fields, InvalidScenario, Part

MOST = 999_999_999
MONEY = re.compile(r"[0-9]{1,12}(\.[0-9]{1,2})?")
NAMES_IN_FILE = {"use_from": "from", "exclusive_months": "exclusivity.months"}


def price_scenario(data: object) -> dict[str, Any]:
    """``{"fees": {id: {"total", "fee", "lines", "change_fee" of a change} | {"error": code}}}``. Raises InvalidScenario."""
    fields = Part(data, "").fields("requests", "card")
    given = fields.maybe("card")
    card = STARTING_CARD if given is None else _card(given)
    fees: dict[str, Any] = {}
    for part in fields.part("requests").items():
        request = part.fields("id pictures items", "agreed_fee")
        name = request.part("id").text()
        if name in fees:
            raise request.part("id").refuse(f"The id “{name}” is there twice.")
        fees[name] = _answer(card, request)
    return {"fees": fees}


def _card(part: Part) -> Card:
    try:
        card = read_card(part.value)
    except InvalidCard as wrong:
        raise InvalidScenario(wrong.path, wrong.sentence) from wrong
    errors = check_card(card).errors
    if errors:
        raise InvalidScenario(place_in_file(card, errors[0]), errors[0].sentence)
    return card


def place_in_file(card: Card, remark: Remark) -> str:
    """The path in the file of what a remark is about: the point or the band it names, the factor of a code."""
    if "." in remark.path:
        return f"card.{remark.path}.factor"
    if remark.at is not None:
        limits = [limit for limit, _ in getattr(card, remark.path)]
        return f"card.{remark.path}[{limits.index(remark.at)}]"
    return f"card.{remark.path}"


def _answer(card: Card, request: Fields) -> dict[str, Any]:
    pictures = _from_one(request.part("pictures"))
    items = [_item(card, part) for part in request.part("items").items()]
    agreed = request.maybe("agreed_fee")
    agreed_fee = None if agreed is None else _money(agreed)
    try:
        fee = usage_fee(card, pictures, items)
    except CannotPrice as wrong:
        return {"error": str(wrong.why)}
    except InvalidItem as wrong:
        raise request.part("items").refuse(str(wrong)) from wrong
    answer = fee_data(fee)
    if agreed_fee is not None:
        answer["change_fee"] = str(change_fee(card, fee.fee, agreed_fee))
    return answer


def _item(card: Card, part: Part) -> UseItem:
    fields = part.fields("classes media territories from months", "copies exclusivity")
    kind, exclusive_months = Exclusive.NONE, None
    exclusivity = fields.maybe("exclusivity")
    if exclusivity is not None:
        inner = exclusivity.fields("kind", "months")
        kind = Exclusive(inner.part("kind").one_of([str(each) for each in Exclusive]))
        exclusive_months = inner.count_or_none("months")
    copies = fields.maybe("copies")
    try:
        return UseItem(
            fields.part("classes").codes(card.classes.tree),
            fields.part("media").codes(card.media.tree),
            fields.part("territories").codes(card.territories.tree),
            fields.part("from").day(),
            fields.count_or_none("months"),
            None if copies is None else UNLIMITED if copies.value == UNLIMITED else _from_one(copies),
            kind,
            exclusive_months,
        )
    except InvalidItem as wrong:
        raise InvalidScenario(f"{part.path}.{NAMES_IN_FILE.get(wrong.field, wrong.field)}", str(wrong)) from wrong


def _from_one(part: Part) -> int:
    number = part.count()
    if not 1 <= number <= MOST:
        raise part.refuse(f"A whole number from 1 to {MOST:,} is wanted here.")
    return number


def _money(part: Part) -> Decimal:
    if not isinstance(part.value, str) or not MONEY.fullmatch(part.value):
        raise part.refuse("A sum is wanted here as text, as “6730.00”.")
    return Decimal(part.value)
