"""What waits on a client or on an answer to one, and what the accepted terms ask when a shoot is called off."""

from datetime import date

from django.db.models import QuerySet

from billing.estimates.models import CancellationFee, ClientQuestion, Estimate, EstimateState, FeeKind
from billing.estimates.terms import CancellationTerms, NoticeFee, cancellation_fee, postponement_fee
from shared.money import ZERO
from shoots.brief.models import Shoot, ShootState


def estimates_waiting() -> QuerySet[Estimate]:
    """Sent and not decided, of shoots that are still to be, the oldest first."""
    waiting = Estimate.objects.filter(state=EstimateState.SENT).exclude(shoot__state=ShootState.CANCELLED)
    return waiting.select_related("shoot__client").order_by("sent_at")


def open_questions() -> QuerySet[ClientQuestion]:
    """Questions of clients that nobody has answered, the oldest first."""
    return (
        ClientQuestion.objects.filter(answered_at=None).select_related("estimate__shoot__client").order_by("asked_at")
    )


def other_agreed(estimate: Estimate) -> QuerySet[Estimate]:
    """Accepted estimates of the same shoot under another number: a job beside this one, not a version of it."""
    agreed = Estimate.objects.filter(shoot=estimate.shoot_id, state=EstimateState.ACCEPTED)
    return agreed.exclude(number=estimate.number)


def fee_by_terms(estimate: Estimate, shoot: Shoot, *, kind: str, on: date) -> NoticeFee:
    """What the accepted terms ask on a day for cancelling or postponing the shoot, of the day rate for each of its days.

    A shoot without a day costs nothing: the terms count back from a day.
    """
    terms = CancellationTerms(
        estimate.cancellation_free_days,
        estimate.cancellation_percent,
        estimate.cancellation_day_percent,
        estimate.is_weather_free_once,
    )
    if shoot.first_on is None:
        return NoticeFee(0, ZERO, ZERO, ZERO)  # put off to no day: none is near
    first = shoot.first_on
    fee_net = estimate.day_rate * (((shoot.last_on or first) - first).days + 1)
    if kind == FeeKind.CANCELLED:
        return cancellation_fee(terms, shoot_on=first, notice_on=on, fee_net=fee_net)
    used = 0 if is_weather_free(estimate) else 1
    return postponement_fee(
        terms, shoot_on=first, notice_on=on, fee_net=fee_net, is_for_weather=kind == FeeKind.WEATHER, weather_used=used
    )


def is_weather_free(estimate: Estimate) -> bool:
    """Whether postponing for weather is still free: once a job, if the terms say so."""
    return (
        estimate.is_weather_free_once
        and not CancellationFee.objects.filter(estimate__number=estimate.number, kind=FeeKind.WEATHER).exists()
    )
