from datetime import date
from typing import Any

from django.db.models import Case, DateField, F, Prefetch, Q, QuerySet, Value, When

from clients.models import Client, Kitchen, Person
from shared.related import number_of
from shoots.brief.models import AgreedPicture, Dish, IntendedUse, Shoot, ShootPerson, ShootState

OPEN = (ShootState.ENQUIRY, ShootState.PENCILLED, ShootState.CONFIRMED, ShootState.SHOT, ShootState.POSTPONED)
HOLDING = (ShootState.PENCILLED, ShootState.CONFIRMED)
COMING = (ShootState.ENQUIRY, ShootState.PENCILLED, ShootState.CONFIRMED)


def shoots_listed(on: date, *, text: str = "", state: str = "", client: Client | None = None) -> QuerySet[Shoot]:
    """Shoots whose title, client, place, order number, dish or person holds ``text``; coming ones first, nearest first, then the past, newest first.

    ``state`` may also be ``open``. ``on`` is the day that parts coming from past.
    """
    found = Shoot.objects.select_related("client", "kitchen")
    if state == "open":
        found = found.filter(state__in=OPEN)
    elif state:
        found = found.filter(state=state)
    if client is not None:
        found = found.filter(Q(client=client) | Q(billing_party=client) | Q(licensee=client))
    for word in text.split():
        found = found.filter(
            Q(title__icontains=word)
            | Q(client__name__icontains=word)
            | Q(kitchen__name__icontains=word)
            | Q(kitchen__city__icontains=word)
            | Q(order_number__icontains=word)
            | Q(pk__in=Dish.objects.filter(name__icontains=word).values("shoot"))
            | Q(pk__in=ShootPerson.objects.filter(person__name__icontains=word).values("shoot"))
        )
    is_coming = _ends_on_or_after(on) & Q(state__in=COMING)
    return found.annotate(
        dishes_count=number_of(Shoot.dishes),
        pictures_count=number_of(Shoot.agreed_pictures, where=~Q(state=AgreedPicture.State.LEFT_OUT)),
        is_coming=Case(When(is_coming, then=Value(True)), default=Value(False)),
        coming_on=Case(When(is_coming, then=F("first_on")), output_field=DateField()),
    ).order_by("-is_coming", F("coming_on").asc(nulls_last=True), F("first_on").desc(nulls_first=True), "-pk")


def use_of(shoot: Shoot) -> dict[str, Any]:
    """The fields of the shoot's intended use."""
    return {field.name: getattr(shoot, field.name) for field in IntendedUse._meta.get_fields()}


def shoots_coming(on: date) -> QuerySet[Shoot]:
    """Shoots that end on ``on`` or later and are not over, nearest first; those without a date come last."""
    return (
        Shoot.objects.filter(_ends_on_or_after(on), state__in=COMING)
        .select_related("client", "kitchen")
        .order_by(F("first_on").asc(nulls_last=True), "from_time", "pk")
    )


def shoots_past(on: date) -> QuerySet[Shoot]:
    """Shoots not among the coming ones, newest first."""
    return Shoot.objects.exclude(pk__in=shoots_coming(on).order_by().values("pk")).select_related("client", "kitchen")


def shoots_clashing(first_on: date, last_on: date | None = None, *, apart_from: Shoot | None = None) -> QuerySet[Shoot]:
    """Pencilled or confirmed shoots on one of the days from ``first_on`` to ``last_on``, both inclusive."""
    last_on = last_on or first_on
    ends_late_enough = Q(last_on__gte=first_on) | Q(last_on__isnull=True, first_on__gte=first_on)
    found = Shoot.objects.filter(ends_late_enough, first_on__lte=last_on, state__in=HOLDING).select_related("client")
    if apart_from is not None and apart_from.pk:
        found = found.exclude(pk=apart_from.pk)
    return found.order_by("first_on", "pk")


def shoot_in_full(pk: int) -> QuerySet[Shoot]:
    """One shoot with its parties, people, dishes, pictures and history, in a constant number of queries."""
    return (
        Shoot.objects.filter(pk=pk)
        .select_related("client", "billing_party", "licensee", "kitchen__client")
        .prefetch_related(
            Prefetch("people", queryset=ShootPerson.objects.select_related("person").order_by("pk")),
            "dishes",
            Prefetch("agreed_pictures", queryset=AgreedPicture.objects.select_related("dish")),
            "moves",
        )
    )


def shoots_of_client(client: Client) -> QuerySet[Shoot]:
    """Shoots a client ordered, pays for or may use."""
    return (
        Shoot.objects.filter(Q(client=client) | Q(billing_party=client) | Q(licensee=client))
        .select_related("client", "kitchen")
        .distinct()
    )


def shoots_in_kitchen(kitchen: Kitchen) -> QuerySet[Shoot]:
    """Shoots in a kitchen, newest first."""
    return Shoot.objects.filter(kitchen=kitchen).select_related("client", "kitchen")


def parts_of_person(person: Person) -> QuerySet[ShootPerson]:
    """A person's parts in shoots, newest shoot first."""
    return (
        ShootPerson.objects.filter(person=person)
        .select_related("shoot__client")
        .order_by(F("shoot__first_on").desc(nulls_first=True), "-pk")
    )


def _ends_on_or_after(on: date) -> Q:
    return Q(last_on__gte=on) | Q(last_on__isnull=True, first_on__gte=on) | Q(first_on__isnull=True)
