from datetime import date

from django.db import transaction

from billing.cards.queries import Import, read_file, what_import_does
from billing.rates.actions import set_rates, set_usage_card
from billing.rates.models import RateCard
from shared.errors import Refusal


class RatesAreInUse(Refusal):
    """The rates and fees of the file count from that day on already: it was taken before, or nothing differs."""

    def __init__(self, found: Import) -> None:
        since = f"{found.current.valid_from:%-d %b %Y}"
        super().__init__(
            f"These rates and fees count since {since} already.",
            "Nothing was saved, and nothing is missing.",
            "Choose another file, or go back to the rates.",
        )


class RatesChangedMeanwhile(Refusal):
    """Somebody saved other rates after the changes were shown."""

    def __init__(self) -> None:
        super().__init__(
            "Someone changed the rates after you looked.",
            "Nothing was saved. What would change now is shown below.",
            "Look again, then take the file.",
        )


@transaction.atomic
def import_rates(content: bytes, *, valid_from: date, seen: str) -> RateCard:
    """Takes the rates and usage fees of a file from a day on, wholly or not at all. Estimates already drafted keep theirs.

    A card of that very day is corrected. ``seen`` is ``Import.seen`` of what the person looked at. Raises ``InvalidCardFile``,
    ``RatesAreInUse``, ``RatesChangedMeanwhile``.
    """
    list(
        RateCard.objects.select_for_update().order_by("valid_from")
    )  # two at once: the second waits, and finds what the first saved
    found = what_import_does(read_file(content), valid_from)
    if found.is_known:
        raise RatesAreInUse(found)
    if found.seen != seen:
        raise RatesChangedMeanwhile
    values = {**found.file.rates, "currency": found.file.currency, "valid_from": valid_from}
    card = set_rates(values, card=found.correct, version=found.correct.version if found.correct else 0)
    return set_usage_card(card, found.file.usage, version=card.version)
