from collections.abc import Mapping
from contextlib import suppress
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any, TypeVar

from django.db import transaction
from django.db.models import ProtectedError

from billing.estimates.models import EstimateLine
from billing.expenses import queries
from billing.expenses.models import CapRaise, Expense, Journey
from billing.rates.mileage import BRITISH_TAX_YEAR, CALENDAR_YEAR, Leg, NoMileageRate, allowances, tax_year_start
from clients.models import Person
from shared.business.queries import current_business, today
from shared.dates import add_months
from shared.edits import save_edit
from shared.errors import Refusal
from shared.evidence.actions import conceal, record_evidence
from shared.files.actions import RECEIPTS, keep_file
from shared.links.actions import call_back_links, make_link
from shared.outbox.actions import queue_mail, tell_fact
from shared.states import move
from shoots.brief.actions import lock_shoots

CAP_MOVES: Mapping[str, frozenset[str]] = {
    "asked": frozenset({"agreed", "refused", "called_back"}),
    "agreed": frozenset(),
    "refused": frozenset(),
    "called_back": frozenset(),
}
LINK_DAYS = 30
Cost = TypeVar("Cost", Expense, Journey)


class CostIsBilled(Refusal):
    """A cost that stands on an invoice does not change."""

    def __init__(self, number: str) -> None:
        self.number = number
        super().__init__(
            f"This cost stands on invoice {number}.",
            "Cost and invoice are kept as they are.",
            "Cancel the invoice by a credit note first, then correct the cost.",
        )


class CostWasBilled(Refusal):
    """A cost that stood on a cancelled invoice stays in the books: the invoice keeps naming it."""

    def __init__(self, cost: Expense | Journey) -> None:
        super().__init__(
            f"“{cost}” stood on an invoice that was cancelled since.",
            "It is kept, because that invoice still names it.",
            "If the client is not to pay it, open it and choose Not charged on."
            if isinstance(cost, Expense)
            else "Ask your accountant how to put it right.",
        )


class CapRaiseRefused(Refusal):
    """A client cannot be asked for this."""


@transaction.atomic
def record_expense(*, receipt: bytes | None = None, receipt_name: str = "", at: datetime, **what: Any) -> Expense:
    """Record money spent, with its receipt if there is one. Raises the refusals of ``keep_file`` for a bad receipt."""
    expense = Expense(**what)
    lock_shoots(expense.shoot_id)
    if receipt is not None:
        expense.receipt = keep_file(receipt, name=receipt_name, kind="receipt", at=at, accepts=RECEIPTS)
    expense.save()
    return expense


@transaction.atomic
def change_expense(
    expense: Expense,
    changed: Mapping[str, Any],
    *,
    version: int,
    receipt: bytes | None = None,
    receipt_name: str = "",
    at: datetime,
) -> Expense:
    """Correct a cost that no invoice holds. Raises CostIsBilled, EditedMeanwhile."""
    meant_for = changed["shoot"].pk if changed.get("shoot") else None
    _must_not_be_billed(_locked(expense, meant_for))
    for name, value in changed.items():
        setattr(expense, name, value)
    fields = list(changed)
    if receipt is not None:
        expense.receipt = keep_file(receipt, name=receipt_name, kind="receipt", at=at, accepts=RECEIPTS)
        fields.append("receipt")
    return save_edit(expense, fields, version=version)


@transaction.atomic
def remove_expense(expense: Expense, *, at: datetime) -> None:
    """Take a cost off the books that was recorded by mistake; what it was stays in the evidence. Raises CostIsBilled, CostWasBilled."""
    expense = _locked(expense)
    _must_not_be_billed(expense)
    payload = {"what": expense.what, "gross": str(expense.gross), "spent_on": f"{expense.spent_on}"}
    record_evidence("removed", subject=f"expense:{expense.pk}", payload=payload, at=at)
    _delete(expense)


@transaction.atomic
def record_journey(*, at: datetime, **what: Any) -> Journey:
    """Record own travel; what it counts for follows from the dated rate of that day and the distance so far in the tax year.

    Journeys of that year that come after it are reckoned anew. Raises Refusal when no rate is set for the day.
    """
    lock_shoots(what["shoot"].pk if what.get("shoot") else None)
    journey = Journey.objects.create(**what)
    try:
        _reckon_year(journey.rate_name, journey.travelled_on, today(at))
    except NoMileageRate as none:
        raise Refusal(
            f"No mileage rate is set for {none.day:%d %b %Y}.",
            "The journey is not recorded yet.",
            "Enter the rate and the day it began under Rates, then record the journey.",
        ) from none
    journey.refresh_from_db()
    return journey


@transaction.atomic
def remove_journey(journey: Journey, *, at: datetime) -> None:
    """Take a journey off the books that was recorded by mistake; later ones are reckoned anew. Raises CostIsBilled, CostWasBilled."""
    journey = _locked(journey)
    _must_not_be_billed(journey)
    payload = {"distance": str(journey.distance), "travelled_on": f"{journey.travelled_on}"}
    record_evidence("removed", subject=f"journey:{journey.pk}", payload=payload, at=at)
    _delete(journey)
    with suppress(NoMileageRate):  # a rate that was taken away since: what was reckoned by it stays
        _reckon_year(journey.rate_name, journey.travelled_on, today(at))


@transaction.atomic
def ask_for_more(line: EstimateLine, *, amount_net: Decimal, why: str, at: datetime) -> CapRaise:
    """Ask the client to agree to more than a cost marked at most, by private link. An earlier question is called back.

    ``amount_net`` is the new highest sum before VAT. Raises CapRaiseRefused when it is no more than what is agreed.
    """
    lock_shoots(line.option.estimate.shoot_id)
    line = EstimateLine.objects.select_for_update().get(pk=line.pk)
    estimate = line.option.estimate
    if not line.is_at_most or amount_net <= queries.agreed_for(line):
        raise CapRaiseRefused(
            "This sum is agreed already.", "Nobody was asked.", "Ask only for more than the line allows."
        )
    person = orderer_of(estimate.shoot.client_id)
    if not (estimate.sent_to or (person and person.email)):
        raise CapRaiseRefused(
            "There is no e-mail address to ask.",
            "Nobody was asked.",
            "Add the address of the person who orders to the client.",
        )
    for earlier in line.cap_raises.filter(state=CapRaise.State.ASKED):
        move(earlier, CapRaise.State.CALLED_BACK, moves=CAP_MOVES, noun="question", decided_at=at)
        call_back_links(f"cap_raise:{earlier.pk}", purpose="cap_raise", at=at)
    asked = CapRaise.objects.create(estimate=estimate, line=line, amount_net=amount_net, why=why, asked_at=at)
    link = make_link(
        "cap_raise", subject=f"cap_raise:{asked.pk}", expires_at=at + timedelta(days=LINK_DAYS), at=at, person=person
    )
    queue_mail(
        to=estimate.sent_to or (person.email if person else ""),
        to_name=person.name if person else "",
        template="cost_above_cap",
        language=estimate.language,
        context={"asked": asked, "estimate": estimate, "business": current_business(today(at)), "link": link},
        at=at,
        about=f"cap_raise:{asked.pk}",
    )
    payload = {"line": line.pk, "amount_net": str(amount_net)}
    record_evidence("asked", subject=f"cap_raise:{asked.pk}", payload=payload, at=at)
    return asked


@transaction.atomic
def answer_for_more(asked: CapRaise, *, is_agreed: bool, name: str, at: datetime) -> CapRaise:
    """The client's yes or no to a higher sum; it is answered once."""
    lock_shoots(asked.estimate.shoot_id)
    to = CapRaise.State.AGREED if is_agreed else CapRaise.State.REFUSED
    move(asked, to, moves=CAP_MOVES, noun="question", decided_at=at, decided_by=name)
    payload = {"amount_net": str(asked.amount_net), "person": conceal(name)}
    record_evidence("accepted" if is_agreed else "refused", subject=f"cap_raise:{asked.pk}", payload=payload, at=at)
    tell_fact("cap_raise_answered", at=at, cap_raise=asked.pk)
    return asked


def orderer_of(client_pk: int) -> Person | None:
    """The person of a client who orders, or pays, or anybody with an address."""
    parts = Person.objects.filter(parts__client=client_pk).exclude(email="")
    return parts.order_by("-parts__orders", "-parts__pays", "pk").first()


def _locked(cost: Cost, *shoots: int | None) -> Cost:
    """The cost as it is now, locked after its shoot and ``shoots``."""
    model = type(cost)
    lock_shoots(model._default_manager.values_list("shoot", flat=True).get(pk=cost.pk), *shoots)
    return model._default_manager.select_for_update().get(pk=cost.pk)


def _must_not_be_billed(cost: Expense | Journey) -> None:
    if cost.billed_on:
        raise CostIsBilled(cost.billed_on)


def _delete(cost: Expense | Journey) -> None:
    try:
        cost.delete()
    except ProtectedError as named:
        raise CostWasBilled(cost) from named


def _reckon_year(name: str, travelled_on: date, on: date) -> None:
    """What the journeys of a tax year from a day on count for: bands fill in the order of the days, whenever a journey was recorded.

    Raises NoMileageRate when a journey of that year has none.
    """
    if not name:
        return
    begins = BRITISH_TAX_YEAR if current_business(on).country == "GB" else CALENDAR_YEAR
    since = tax_year_start(travelled_on, begins)
    year = Journey.objects.select_for_update().filter(
        rate_name=name, travelled_on__gte=since, travelled_on__lt=add_months(since, 12)
    )
    journeys = list(year.order_by("travelled_on", "pk"))
    legs = [Leg(each.travelled_on, each.distance) for each in journeys]
    for journey, counts_for in zip(journeys, allowances(legs, queries.mileage_rows(name), begins), strict=True):
        if journey.travelled_on >= travelled_on and journey.allowance != counts_for:
            Journey.objects.filter(pk=journey.pk).update(allowance=counts_for)
