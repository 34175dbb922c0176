from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from django.db.models import Q

from billing.costs.queries import living_rate
from billing.earnings.earned import PASSED_ON, Billed, Earned, Worked, YearEarned, earned_of, worked_by_lines, years_of
from billing.earnings.models import WorkedDays
from billing.estimates.models import Estimate, EstimateLine, EstimateState
from billing.invoices.models import Invoice, InvoiceLine
from billing.rates.queries import rates_in_force
from shoots.brief.models import Shoot, ShootState
from shoots.plan.queries import day_count

DONE = (ShootState.SHOT, ShootState.DELIVERED)
OF_COSTS_ALONE = "shoot:"  # the job of a shoot without an estimate holds nothing but costs
OF_AN_ESTIMATE = "estimate:"


@dataclass(frozen=True, slots=True)
class EarnedYear:
    """A year's shoots with what they earned a day, each currency together, and how many wait for their invoice."""

    shoots: tuple[Earned, ...]
    years: tuple[YearEarned, ...]
    waiting: int


def earned_in(year: int) -> EarnedYear:
    """What the shoots shot in a year earned a day worked. A constant number of queries."""
    first, last = date(year, 1, 1), date(year, 12, 31)
    shoots = list(
        Shoot.objects.filter(Q(shot_on__range=(first, last)) | Q(shot_on__isnull=True, first_on__range=(first, last)), state__in=DONE)
        .order_by("shot_on", "pk")
    )  # fmt: skip
    found = _earned(shoots, hours_in(first))
    return EarnedYear(tuple(found), tuple(years_of(found)), len(shoots) - len({each.key for each in found}))


def earned_by(shoot: Shoot) -> tuple[list[Earned], Worked]:
    """What one shoot earned a day worked, once for each currency, and the days worked on it."""
    hours = hours_in(shoot.shot_on or shoot.first_on or shoot.made_at.date())
    return _earned([shoot], hours), _worked([shoot], hours)[shoot.pk]


def hours_in(day: date) -> Decimal:
    """How many hours a day has: as the costs of that year say, else the rates of that day."""
    living = living_rate(day)
    if living is not None:
        return living.hours_in_day
    return rates_in_force(day).hours_in_day


def worked_days_of(shoot: Shoot) -> WorkedDays | None:
    return WorkedDays.objects.filter(shoot=shoot).first()


def _earned(shoots: list[Shoot], hours: Decimal) -> list[Earned]:
    bills, worked = _bills(shoots), _worked(shoots, hours)
    return [
        row
        for shoot in shoots
        for row in earned_of(
            shoot.pk,
            shoot.title,
            shoot.shot_on or shoot.first_on or shoot.made_at.date(),
            bills.get(shoot.pk, []),
            worked[shoot.pk],
        )
    ]


def _bills(shoots: Iterable[Shoot]) -> dict[int, list[Billed]]:
    """The standing invoices of shoots. Deposits are inside the invoice that deducts them, credited invoices and notes are out."""
    rows = Invoice.objects.filter(shoot__in=list(shoots), kind=Invoice.Kind.INVOICE, is_cancelled=False).order_by("pk")
    invoices = list(rows.values_list("pk", "shoot", "currency", "net", "job_key"))
    lines: dict[int, list[_Line]] = defaultdict(list)
    for key, *line in InvoiceLine.objects.filter(invoice__in=rows.order_by()).values_list("invoice", *_Line._fields):
        lines[key].append(_Line(*line))
    found: dict[int, list[Billed]] = {}
    for key, shoot, currency, net, job_key in invoices:
        billed = tuple((line.net, _is_passed_on(line, job_key)) for line in lines[key])
        found.setdefault(shoot, []).append(Billed(currency, net, billed))
    return found


class _Line(NamedTuple):
    """A line of an invoice with what tells whether it is passed on, named as its columns are: a year holds a thousand."""

    net: Decimal
    expense: int | None
    journey: int | None
    estimate_line: int | None
    estimate_line__is_at_cost: bool
    estimate_line__is_at_most: bool
    estimate_line__is_disbursement: bool
    estimate_line__kind: str


def _is_passed_on(line: _Line, job_key: str) -> bool:
    if line.expense or line.journey:
        return True
    if line.estimate_line is None:  # beside the agreed lines an estimate's invoice holds only costs beyond them
        return job_key.startswith((OF_COSTS_ALONE, OF_AN_ESTIMATE))
    return (
        line.estimate_line__is_at_cost
        or line.estimate_line__is_at_most
        or line.estimate_line__is_disbursement
        or line.estimate_line__kind in PASSED_ON
    )


def _worked(shoots: list[Shoot], hours: Decimal) -> dict[int, Worked]:
    """The days worked on each shoot: as typed, else by the accepted lines, else the days of the calendar."""
    typed = {row.shoot_id: row for row in WorkedDays.objects.filter(shoot__in=shoots)}
    accepted = Estimate.objects.filter(shoot__in=shoots, state=EstimateState.ACCEPTED)
    taken = EstimateLine.objects.exclude(is_optional=True, is_taken=False).order_by()
    of_options = dict(accepted.order_by().values_list("accepted_option", "shoot"))
    agreed: dict[int, list[tuple[str, Decimal, str]]] = defaultdict(list)
    for option, *line in taken.filter(option__in=of_options).values_list("option", "kind", "quantity", "unit"):
        agreed[of_options[option]].append(tuple(line))
    return {shoot.pk: _worked_on(shoot, typed.get(shoot.pk), agreed.get(shoot.pk, []), hours) for shoot in shoots}


def _worked_on(shoot: Shoot, typed: WorkedDays | None, lines: list[tuple[str, Decimal, str]], hours: Decimal) -> Worked:
    if typed is not None:
        return Worked(Fraction(typed.on_set), Fraction(typed.preparation), Fraction(typed.finishing), "typed")
    by_lines = worked_by_lines(lines, hours)
    if by_lines.days:
        return by_lines
    return Worked(Fraction(day_count(shoot)), Fraction(0), Fraction(0), "calendar")
