from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db import transaction

from billing.cards.trying import Asked, Case, Tried
from billing.rates.models import RateCard
from billing.rates.queries import rates_in_force
from billing.rates.working import fee_data
from billing.renewals.models import PricedFee
from billing.renewals.queries import Choice, Ending, card_digest, endings_priced, renewals_on_their_way, trade_of
from clients.actions import keep_trades
from shared.business.queries import today
from shared.errors import Refusal
from shared.evidence.actions import record_evidence
from shoots.brief.actions import lock_shoots
from shoots.found.models import FoundUse
from shoots.licences.models import Licence
from shoots.life.actions import renew_licence
from shoots.pictures.models import Picture


class NothingTicked(Refusal):
    """No licence to renew was chosen."""

    def __init__(self) -> None:
        super().__init__("No licence is ticked.", "Nothing was drafted.", "Tick the licences to renew.")


class RenewedAlready(Refusal):
    """A renewal of the licence is on offer or agreed."""

    def __init__(self, licence: Licence, renewal: Licence) -> None:
        self.licence, self.renewal = licence, renewal
        super().__init__(
            f"{licence.number} is being renewed already: {renewal.number}.",
            "Nothing was drafted.",
            "Look at that renewal; decline it first if another one is to take its place.",
        )


class FeeMoved(Refusal):
    """Since the page was shown, the fee, or the pictures that can go on, became others."""

    def __init__(self, licence: Licence, ending: Ending) -> None:
        self.licence = licence
        told = ending.problem or ", ".join(f"{each.term} {each.fee}" for each in ending.choices)
        super().__init__(
            f"What going on with {licence.number} costs has changed since you looked: {told or 'none of its pictures can go on'}.",
            "Nothing was drafted.",
            "Look at the new figures and press again.",
        )


@dataclass(frozen=True, slots=True)
class Renewal:
    """One renewal wanted: for how many months (None: without end), at the fee that was shown."""

    licence: int
    months: int | None
    fee: Decimal


@transaction.atomic
def draft_renewals(wanted: Sequence[Renewal], *, write_to_client: bool = False, at: datetime) -> list[Licence]:
    """Draft the renewals of licences that end, all or none: each begins the day after its last day, at the fee of today's rate card.

    A draft is an offer the client has not been told of, unless ``write_to_client``; once they say yes it is billed by itself at the
    month's end. What was shown is reckoned again under the lock. Raises NothingTicked, RenewedAlready, FeeMoved, and what
    ``renew_licence`` raises.
    """
    if not wanted:
        raise NothingTicked
    keys = {each.licence for each in wanted}
    lock_shoots(*Picture.objects.filter(licences__in=keys).values_list("shoot", flat=True))
    list(Licence.objects.select_for_update().filter(pk__in=keys).order_by("pk").values_list("pk"))
    found = {each.pk: each for each in Licence.objects.filter(pk__in=keys).select_related("licensee", "shoot")}
    known, card = renewals_on_their_way(found.values()), rates_in_force(today(at))
    for key, renewal in known.items():
        raise RenewedAlready(found[key], renewal)
    keep_trades([trade_of(found[key]) for key in sorted(found)])  # all before the first number is taken
    endings = {each.licence.pk: each for each in endings_priced(found.values(), card)}
    return [_draft(each, endings[each.licence], card, write_to_client=write_to_client, at=at) for each in wanted]


def _draft(wanted: Renewal, ending: Ending, card: RateCard, *, write_to_client: bool, at: datetime) -> Licence:
    licence, choice = ending.licence, ending.choice(wanted.months)
    if choice is None or choice.fee != wanted.fee:
        raise FeeMoved(licence, ending)
    renewal = renew_licence(
        licence,
        months=choice.months,
        fee_net=choice.fee,
        pictures=choice.pictures,
        write_to_client=write_to_client,
        at=at,
    )
    _keep(
        card, case=Case.RENEWAL, fee=choice.fee, pictures=len(choice.pictures), months=choice.months,
        working=fee_data(choice.offered.fee), parts=_compared(choice), licence=renewal, of_licence=licence, at=at,
    )  # fmt: skip
    return renewal


def _compared(choice: Choice) -> dict[str, Any]:
    return {"times": choice.offered.times, "instead": str(choice.offered.instead)} if choice.offered.instead else {}


@transaction.atomic
def hand_on_fee(
    asked: Asked, tried: Tried, card: RateCard, *, of_licence: Licence | None = None, found: FoundUse | None = None, at: datetime
) -> PricedFee:  # fmt: skip
    """Keep a fee that was tried, with its working and the card that priced it, for the licence that is made with it next."""
    parts = {
        Case.CHANGE: {"fee": str(tried.fee.fee), "agreed_fee": str(asked.agreed_fee)},
        Case.FOUND: {"fee": str(tried.fee.fee), "late_factor": str(asked.late_factor)},
    }.get(asked.case, {})
    return _keep(
        card, case=asked.case, fee=tried.to_pay, pictures=asked.pictures,
        months=asked.more_months if asked.case == Case.RENEWAL else asked.use.months,
        working=fee_data(tried.fee), parts=parts, of_licence=of_licence, found=found, at=at,
    )  # fmt: skip


def _keep(card: RateCard, *, case: Case, at: datetime, **facts: Any) -> PricedFee:
    row = PricedFee.objects.create(
        case=case.value, currency=card.currency, card_from=card.valid_from if card.pk else None, card_sha256=card_digest(card), made_at=at, **facts
    )  # fmt: skip
    about: Iterable[tuple[str, Any]] = (("licence", row.licence), ("licence", row.of_licence), ("found", row.found))
    for noun, thing in about:
        if thing is not None:
            payload = {"fee": str(row.fee), "currency": row.currency, "case": row.case, "card": row.card_sha256}
            record_evidence("priced", subject=f"{noun}:{thing.pk}", payload=payload, at=at)
            break
    return row
