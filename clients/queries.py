from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.db.models import F, Prefetch, Q, QuerySet
from django.db.models.functions import Lower

from clients.buyers import missing_for_billing
from clients.models import Client, ClientPerson, Kitchen, Person, Trade, TradeWord
from clients.trades import trade_key
from shared.business.particulars import InvoiceBuyer, Missing
from shared.business.queries import business_or_none
from shared.related import number_of

ARCHIVED, ALL = "archived", "all"
# Those in use before the archived ones, the studio's own first.
KITCHENS_IN_ORDER = (
    F("archived_at").asc(nulls_first=True),
    F("client__name").asc(nulls_first=True),
    Lower("name"),
    "pk",
)


def clients_listed(*, text: str = "", kind: str = "", archived: str = "") -> QuerySet[Client]:
    """Clients whose name, city, VAT number, invoice e-mail or persons hold ``text``, or whose client number it is."""
    found = Client.objects.all()
    if archived == ARCHIVED:
        found = found.filter(archived_at__isnull=False)
    elif archived != ALL:
        found = found.filter(archived_at__isnull=True)
    if kind:
        found = found.filter(kind=kind)
    for word in text.split():
        wanted = (
            Q(name__icontains=word)
            | Q(legal_name__icontains=word)
            | Q(city__icontains=word)
            | Q(vat_number__icontains=word)
            | Q(invoice_email__icontains=word)
            | Q(
                pk__in=ClientPerson.objects.filter(
                    Q(person__name__icontains=word) | Q(person__email__icontains=word)
                ).values("client")
            )
        )
        if word.isdecimal() and len(word) < 10:
            wanted |= Q(pk=int(word))
        found = found.filter(wanted)
    return (
        found.prefetch_related(_parts()).annotate(shoots_count=number_of(Client.shoots)).order_by(Lower("name"), "pk")
    )


def clients_to_choose() -> QuerySet[Client]:
    """Clients that a form offers: those not archived."""
    return Client.objects.filter(archived_at__isnull=True)


def client_in_full(pk: int) -> QuerySet[Client]:
    """One client with persons and kitchens, in three queries."""
    kitchens = (
        Kitchen.objects.select_related("key_holder")
        .prefetch_related("windows", "free_hours")
        .order_by(*KITCHENS_IN_ORDER)
    )
    return Client.objects.filter(pk=pk).prefetch_related(_parts(), Prefetch("kitchens", queryset=kitchens))


def missing_for_invoices(client: Client, at: datetime) -> tuple[Missing, ...]:
    """What has to be filled in before this client can be billed, in plain sentences."""
    profile = business_or_none(at)
    buyer = InvoiceBuyer(
        name=client.legal_name or client.name,
        street=client.street,
        postcode=client.postcode,
        city=client.city,
        country=client.country,
        vat_number=client.vat_number,
    )
    seller_country = profile.country if profile else client.country
    return missing_for_billing(
        buyer, seller_country=seller_country, is_business=client.is_business, invoice_email=client.invoice_email
    )


def trades_to_choose() -> tuple[str, ...]:
    """The names on the list of trades, in their order."""
    return tuple(Trade.objects.values_list("name", flat=True))


def trades_by_key(names: Iterable[str]) -> dict[str, str]:
    """What the list calls these trades today, by ``trade_key``; a name it does not know is left out."""
    keys = {trade_key(name) for name in names}
    return dict(TradeWord.objects.filter(key__in=keys).values_list("key", "trade__name"))


def trade_names(name: str) -> dict[str, str]:
    """What a trade is called on papers, by language; empty where the studio named it in none, or the list does not know it."""
    found = Trade.objects.filter(words__key=trade_key(name)).values_list("names", flat=True).first() if name else None
    return found or {}


def person_in_full(pk: int) -> QuerySet[Person]:
    """One person with the clients they work for and the kitchens whose key they hold."""
    parts = Prefetch("parts", queryset=ClientPerson.objects.select_related("client").order_by("pk"))
    return Person.objects.filter(pk=pk).prefetch_related(parts, "kitchens_held")


def kitchen_in_full(pk: int) -> QuerySet[Kitchen]:
    """One kitchen with its owner, key holder, windows and free hours."""
    return (
        Kitchen.objects.filter(pk=pk).select_related("client", "key_holder").prefetch_related("windows", "free_hours")
    )


def kitchen_defaults(kitchen: Kitchen, owner: Client | None, at: datetime) -> dict[str, Any]:
    """What a new kitchen's form begins with: the owner's address and the business's time zone. Nothing for a known one."""
    if kitchen.pk:
        return {}
    profile = business_or_none(at)
    found: dict[str, Any] = {"time_zone": profile.time_zone if profile else "Europe/Berlin"}
    if owner is not None:
        names = ("street", "postcode", "city", "country")
        found |= {
            "client": owner.pk,
            "name": owner.street or owner.name,
            **{name: getattr(owner, name) for name in names},
        }
    return found


def window_lines(kitchen: Kitchen) -> list[dict[str, Any]]:
    """The windows as lines of a form."""
    return list(kitchen.windows.values("bearing_degrees", "name", "width_cm", "height_cm")) if kitchen.pk else []


def hour_lines(kitchen: Kitchen) -> list[dict[str, Any]]:
    """The free hours as lines of a form."""
    return list(kitchen.free_hours.values("weekday", "from_time", "until_time")) if kitchen.pk else []


def kitchens_to_choose() -> QuerySet[Kitchen]:
    """Kitchens that a form offers: the studio's own first."""
    return Kitchen.objects.filter(archived_at__isnull=True).select_related("client").order_by(*KITCHENS_IN_ORDER)


def kitchens_listed(*, text: str = "") -> QuerySet[Kitchen]:
    """Kitchens whose name, address or client holds ``text``."""
    found = Kitchen.objects.select_related("client").prefetch_related("windows").order_by(*KITCHENS_IN_ORDER)
    for word in text.split():
        found = found.filter(
            Q(name__icontains=word)
            | Q(street__icontains=word)
            | Q(city__icontains=word)
            | Q(client__name__icontains=word)
        )
    return found


def persons_of_client(client: Client) -> QuerySet[Person]:
    """The persons who work for a client."""
    return Person.objects.filter(parts__client=client)


def persons_listed(*, text: str = "") -> QuerySet[Person]:
    """Persons whose name, e-mail, phone or client holds ``text``."""
    found = Person.objects.prefetch_related(Prefetch("parts", queryset=ClientPerson.objects.select_related("client")))
    for word in text.split():
        found = found.filter(
            Q(name__icontains=word)
            | Q(email__icontains=word)
            | Q(phone__icontains=word)
            | Q(pk__in=ClientPerson.objects.filter(client__name__icontains=word).values("person"))
        )
    return found


def _parts() -> Prefetch:
    return Prefetch("parts", queryset=ClientPerson.objects.select_related("person").order_by("pk"))
