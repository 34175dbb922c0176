from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

from django.db.models import Case, Exists, F, Model, OuterRef, Prefetch, QuerySet, Sum, When
from django.utils.timezone import make_aware

from billing.estimates.models import ClientQuestion, Estimate, EstimateState
from billing.expenses.models import CapRaise
from billing.expenses.queries import expense_month_totals
from billing.invoices.models import Invoice
from billing.invoices.queries import owed_rows, papers_named, standing_of, total_left
from billing.orders.queries import estimates_waiting, open_questions
from billing.payments.queries import received_in
from shared.access.models import Role, User
from shared.business.models import BusinessProfile
from shared.business.queries import business_or_none, today
from shared.dates import month_bounds
from shared.money import round_money
from shared.outbox.queries import messages_waiting_for_you, parked_jobs
from shared.related import number_of
from shoots.brief.models import Part, Shoot, ShootPerson
from shoots.brief.queries import shoots_coming
from shoots.delivery.models import Delivery
from shoots.found.queries import found_waiting
from shoots.licences.models import Licence
from shoots.licences.queries import licences_ending
from shoots.pictures.models import Picture
from shoots.plan.models import Shot
from shoots.releases.models import Release, ReleaseState
from shoots.releases.queries import releases_waiting, withdrawals_open
from studio.today.sentence import opening

ROWS = 6
# A row shows a name, a day and a link: fetching whole clients, shoots and estimates for it took half of the page's time.
OF_RELEASE = ("kind", "person__name", "kitchen__name", "property_description")
ON_THE_RAIL = 3


def shoots_on_the_rail(on: date) -> list[Shoot]:
    """The next shoots, nearest first, with what stands open in each: three at most."""
    return list(
        shoots_coming(on)
        .filter(first_on__isnull=False)
        .prefetch_related(
            Prefetch(
                "people",
                ShootPerson.objects.filter(part=Part.COOK).select_related("person").only("shoot", "person__name"),
                to_attr="cooks",
            ),
            Prefetch(
                "releases",
                Release.objects.filter(state__in=(ReleaseState.DRAFT, ReleaseState.OFFERED))
                .select_related("person", "kitchen")
                .only("shoot", *OF_RELEASE),
                to_attr="unsigned",
            ),
        )
        .annotate(
            dish_count=number_of(Shoot.dishes),
            shot_count=number_of(Shoot.shots),
            is_signed=_has(Release, ReleaseState.SIGNED),
            is_accepted=_has(Estimate, EstimateState.ACCEPTED),
            is_offered=_has(Estimate, EstimateState.SENT),
        )
        .only(
            *("title", "first_on", "last_on", "from_time", "until_time"),
            *("client__name", "kitchen__name", "kitchen__distance_km"),
        )[:ON_THE_RAIL]
    )


def _has(rows: type[Model], state: str) -> Exists:
    return Exists(rows._default_manager.filter(shoot=OuterRef("pk"), state=state))


def money_owed(on: date) -> dict[str, Any]:
    """What is owed: the papers due longest ago, their total by currency, and how many are late."""
    owed = owed_rows()
    rows = [(invoice, standing_of(invoice, on)) for invoice in papers_named(row.pk for row in owed[:ROWS])]
    late = sum(row.due_on < on for row in owed)
    return {"rows": rows, "count": len(owed), "totals": sorted(total_left(owed).items()), "late": late}


def month_in_figures(on: date, currency: str) -> dict[str, dict[str, Decimal]]:
    """What was invoiced, received and spent this month so far, before VAT where there is a choice: by currency, the business's own first."""
    first, until = month_bounds(on)
    nothing = {currency: Decimal(0)}
    papers = Invoice.objects.filter(issued_on__gte=first, issued_on__lt=until)
    signed = Case(When(kind=Invoice.Kind.CREDIT_NOTE, then=-F("net")), default=F("net"))
    invoiced = papers.order_by("currency").values_list("currency").annotate(sum=Sum(signed))
    return {
        "invoiced": nothing | {code: round_money(sum_) for code, sum_ in invoiced},
        "received": nothing | received_in(first, until),
        "spent": nothing | expense_month_totals(on),
    }


def work_of_the_month(on: date) -> dict[str, int]:
    """Shoots, shots done and pictures taken in this month."""
    first, until = month_bounds(on)
    last = until - timedelta(days=1)
    # As moments, which an index finds: asked for by its calendar day, each picture of the archive would be turned into one.
    begins, ends = (make_aware(datetime.combine(day, time())) for day in (first, until))
    return {
        "shoots": Shoot.objects.filter(shot_on__range=(first, last)).count(),
        "shots": Shot.objects.filter(state=Shot.State.DONE, shoot__shot_on__range=(first, last)).count(),
        "pictures": Picture.objects.filter(received_at__gte=begins, received_at__lt=ends).count(),
    }


def _questions() -> QuerySet[ClientQuestion]:
    return open_questions().only("kind", "text", "estimate__shoot__client__name")


def _ending(on: date) -> QuerySet[Licence]:
    return licences_ending(on).select_related(None).select_related("licensee").only("use_until", "licensee__name")


def day_at_a_glance(user: User, at: datetime) -> dict[str, Any]:
    """All that Today shows, for the eyes of this person: money for owner and accountant, the set for owner and assistant."""
    on = today(at)
    sees_money = user.role in (Role.OWNER, Role.ACCOUNTANT)
    sees_work = user.role in (Role.OWNER, Role.ASSISTANT)
    found: dict[str, Any] = {
        "on": on,
        "sees_money": sees_money,
        "sees_work": sees_work,
        "business": (business := business_or_none(at)),
        "currency": business.currency if business else BusinessProfile._meta.get_field("currency").default,
    }
    rail = shoots_on_the_rail(on) if sees_work else []
    releases = (
        list(releases_waiting().only("shoot__client__name", "shoot__title", "shoot__first_on", *OF_RELEASE)[:ROWS])
        if sees_work
        else []
    )
    questions = list(_questions()[:ROWS]) if sees_work else []
    ending = [(each, each.ends - timedelta(days=1)) for each in _ending(on)[:ROWS]] if sees_work else []
    money = money_owed(on) if sees_money else {}
    if sees_work:
        found |= {
            "rail": rail,
            "releases": releases,
            "withdrawals": list(
                withdrawals_open().only("shoot__client__name", "shoot__title", "withdrawn_at", *OF_RELEASE)[:ROWS]
            ),
            "found": list(
                found_waiting(on).only("place", "seen_on", "state", "client__name", "user_name", "licence__state")[
                    :ROWS
                ]
            ),
            "questions": questions,
            "estimates": list(estimates_waiting().only("valid_until", "shoot__client__name")[:ROWS]),
            "deliveries": list(
                Delivery.objects.filter(state=Delivery.State.SENT)
                .select_related("shoot__client")
                .only("sent_at", "shoot__title", "shoot__client__name")[:ROWS]
            ),
            "ending": ending,
            "work": work_of_the_month(on),
        }
    if sees_money:
        found |= {"money": money, "figures": month_in_figures(on, found["currency"])}
    if user.is_owner:
        found |= {
            "raises": list(
                CapRaise.objects.filter(state=CapRaise.State.ASKED)
                .select_related("line", "estimate__shoot")
                .only("amount_net", "line__what", "estimate__currency", "estimate__shoot__title")[:ROWS]
            ),
            "kept_messages": messages_waiting_for_you().count(),
            "parked": parked_jobs().count(),
        }
    found["sentence"] = opening(
        shoots_today=sum(shoot.first_on <= on <= (shoot.last_on or shoot.first_on) for shoot in rail),
        next_on=next((shoot.first_on for shoot in rail if shoot.first_on > on), None),
        on=on,
        unsigned=len(releases),
        late=money.get("late") if sees_money else None,
        ending=len(ending),
        questions=len(questions),
    )
    return found
