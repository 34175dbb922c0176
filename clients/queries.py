from django.db.models import Count, Prefetch, Q, QuerySet

from clients.models import Client, ClientPerson, Kitchen, Person

ARCHIVED, ALL = "archived", "all"


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
    return found.prefetch_related(_parts()).annotate(shoots_count=Count("shoots", distinct=True))


def clients_to_choose() -> QuerySet[Client]:
    """Clients that a form offers: those not archived."""
    return Client.objects.filter(archived_at__isnull=True)


def client_in_full(pk: int) -> QuerySet[Client]:
    """One client with persons and kitchens, in three queries."""
    kitchens = (
        Kitchen.objects.select_related("key_holder")
        .prefetch_related("windows", "free_hours")
        .order_by("archived_at", "name")
    )
    return Client.objects.filter(pk=pk).prefetch_related(_parts(), Prefetch("kitchens", queryset=kitchens))


def kitchens_to_choose() -> QuerySet[Kitchen]:
    """Kitchens that a form offers: the studio's own first."""
    return Kitchen.objects.filter(archived_at__isnull=True).select_related("client").order_by("client__name", "name")


def kitchens_listed(*, text: str = "") -> QuerySet[Kitchen]:
    """Kitchens whose name, address or client holds ``text``."""
    found = (
        Kitchen.objects.select_related("client")
        .prefetch_related("windows")
        .order_by("archived_at", "client__name", "name")
    )
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
