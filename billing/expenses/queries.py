from collections.abc import Iterable
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db.models import F, Q, QuerySet, Sum

from billing.estimates.adding_up import amount_of
from billing.estimates.models import EstimateLine, EstimateState
from billing.expenses.charging import Capped, ChargeKind, charge_on, under_cap
from billing.expenses.models import CapRaise, Charge, Expense, Journey
from billing.rates.mileage import MileageRow
from billing.rates.models import MileageRate
from billing.rates.queries import rate_card_on
from shared.addresses import key_in
from shared.business.models import BusinessProfile
from shared.business.queries import all_profiles, business_on, profile_on, today
from shared.dates import month_bounds
from shared.money import round_money
from shoots.brief.models import Shoot


def expenses_listed(*, text: str = "", charge: str = "", month: date | None = None) -> QuerySet[Expense]:
    """Costs whose words, supplier, shoot or client hold ``text``; newest first."""
    found = Expense.objects.select_related("shoot", "shoot__client", "receipt", "estimate_line")
    if charge:
        found = found.filter(charge=charge)
    if month is not None:
        first, until = month_bounds(month)
        found = found.filter(spent_on__gte=first, spent_on__lt=until)
    for word in text.split():
        found = found.filter(
            Q(what__icontains=word)
            | Q(supplier__icontains=word)
            | Q(shoot__title__icontains=word)
            | Q(shoot__client__name__icontains=word)
            | Q(billed_on__icontains=word)
        )
    return found


def journeys_listed(*, month: date | None = None) -> QuerySet[Journey]:
    """Own travel, newest first."""
    found = Journey.objects.select_related("shoot", "shoot__client")
    if month is not None:
        first, until = month_bounds(month)
        found = found.filter(travelled_on__gte=first, travelled_on__lt=until)
    return found


def lines_at_cost(shoot: Shoot) -> QuerySet[EstimateLine]:
    """Lines of the accepted estimate under which costs are charged: at cost, at most, or paid in the client's name."""
    return EstimateLine.objects.filter(
        Q(is_at_cost=True) | Q(is_at_most=True) | Q(is_disbursement=True),
        option__estimate__shoot=shoot,
        option__estimate__state=EstimateState.ACCEPTED,
        option=F("option__estimate__accepted_option"),
        is_taken=True,
    )


def net_charged(expense: Expense) -> Decimal:
    """What the client is charged for a cost, before VAT."""
    business = business_on(expense.spent_on)
    charged = charge_on(
        expense.gross,
        expense.tax,
        ChargeKind(expense.charge),
        markup_percent=expense.markup_percent if expense.charge == Charge.WITH_MARKUP else Decimal(0),
        reclaims_tax=business.reclaims_tax if business else True,
    )
    return charged.net if charged else Decimal(0)


def raises_of(line: EstimateLine, *, apart_from: CapRaise | None = None) -> list[Decimal]:
    """The higher sums a client has said yes to for a line marked at most."""
    agreed = [each for each in line.cap_raises.all() if each.state == CapRaise.State.AGREED]
    return [each.amount_net for each in agreed if each != apart_from]


def agreed_for(line: EstimateLine, *, apart_from: CapRaise | None = None) -> Decimal:
    """The highest sum a client has agreed to for a line marked at most, apart from what one question asks for."""
    return max([amount_of(line), *raises_of(line, apart_from=apart_from)])


def caps_of(shoot: Shoot) -> list[dict[str, Any]]:
    """Each line marked at most with its costs in the estimate's currency, and what needs the client's yes."""
    lines = lines_at_cost(shoot).filter(is_at_most=True).select_related("option__estimate")
    found = []
    for line in lines.prefetch_related("expenses", "cap_raises"):
        currency = line.option.estimate.currency
        charged = [each for each in line.expenses.all() if each.charge != Charge.NOT and each.currency == currency]
        capped: Capped = under_cap([net_charged(each) for each in charged], amount_of(line), raises_of(line))
        asked = next((each for each in line.cap_raises.all() if each.state == CapRaise.State.ASKED), None)
        found.append({"line": line, "capped": capped, "asked": asked, "currency": currency})
    return found


def costs_of(shoot: Shoot) -> dict[str, Any]:
    """What a shoot has cost so far, and how the costs marked at most stand."""
    expenses, journeys = list(shoot.expenses.all()), with_currency(shoot.journeys.all())
    net: dict[str, Decimal] = {}
    for currency, sum_ in (
        *((each.currency, each.net) for each in expenses),
        *((currency, each.allowance) for each, currency in journeys),
    ):
        net[currency] = net.get(currency, Decimal(0)) + sum_
    return {"expenses": expenses, "journeys": journeys, "net": net, "caps": caps_of(shoot)}


def mileage_rows(name: str) -> list[MileageRow]:
    """The dated rates of one name as the calculation takes them."""
    return [
        MileageRow(row.valid_from, row.rate, Decimal(row.threshold) if row.threshold else None, row.rate_above)
        for row in MileageRate.objects.filter(name=name)
    ]


def currency_on(day: date, profiles: list[BusinessProfile] | None = None) -> str:
    """The currency of the books on a day, in which mileage rates are; ``profiles`` for many days with one query."""
    business = profile_on(day, all_profiles() if profiles is None else profiles)
    return business.currency if business else "EUR"


def with_currency(journeys: Iterable[Journey]) -> list[tuple[Journey, str]]:
    """Each journey with the currency of what it counts for."""
    profiles = all_profiles()
    return [(each, currency_on(each.travelled_on, profiles)) for each in journeys]


def expense_month_totals(month: date) -> dict[str, Decimal]:
    """Net costs of a month by currency; empty when nothing was spent."""
    found = expenses_listed(month=month).order_by("currency").values_list("currency")
    sums = found.annotate(net=Sum(F("gross") - F("tax")))
    return {currency: round_money(net) for currency, net in sums}  # SQLite adds with a tail of zeros


def usual_journey(shoot_pk: str, at: datetime) -> dict[str, Any]:
    """What a new journey starts with: from the studio to the shoot's kitchen and back, at the agreed rate."""
    on = today(at)
    shoot = Shoot.objects.select_related("kitchen").filter(pk=key_in(shoot_pk)).first()
    business, card = business_on(on), rate_card_on(on)
    found: dict[str, Any] = {"travelled_on": on, "from_place": business.city if business else "", "charge": Charge.NOT}
    rate = MileageRate.objects.order_by("name").first()
    if rate:
        found["rate_name"] = rate.name
    if shoot:
        kitchen = shoot.kitchen
        found |= {"shoot": shoot, "travelled_on": shoot.first_on or on, "to_place": kitchen.name if kitchen else ""}
        found |= {"charge": Charge.AT_COST, "charge_rate": card.km_rate if card else None}
        if kitchen and kitchen.distance_km:
            found["distance"] = kitchen.distance_km * 2
    return found
