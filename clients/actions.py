"""What can be done to clients, persons, kitchens and the list of trades."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction

from clients.models import Client, ClientPerson, Kitchen, KitchenHours, KitchenWindow, Person, Trade, TradeWord
from clients.queries import trades_by_key
from clients.trades import TradeRefused, read_names, read_trade, trade_key
from shared.edits import save_edit

PARTS = ("orders", "approves", "pays", "cooks")


@transaction.atomic
def add_client(*, name: str, contact: Mapping[str, Any] | None = None, **fields: Any) -> Client:
    """A new client. ``contact`` is its first person: name, email and so on; that person orders, approves and pays until told otherwise."""
    client = Client.objects.create(name=name, **fields | _trade_of(fields.get("trade", "")))
    if contact and contact.get("name"):
        contact = {"language": client.language, **contact}
        add_person(client=client, parts={"orders": True, "approves": True, "pays": True}, **contact)
    return client


@transaction.atomic
def change_client(client: Client, *, fields: Iterable[str], version: int) -> Client:
    """Saves the changed ``fields`` already set on ``client``; a trade not on the list is added there. Raises ``EditedMeanwhile``, ``TradeRefused``."""
    fields = list(fields)
    if "trade" in fields:
        client.trade = _trade_of(client.trade)["trade"]
    return save_edit(client, fields, version=version)


def _trade_of(typed: str) -> dict[str, str]:
    return {"trade": next(iter(keep_trades([typed])), "")}


def archive_client(client: Client, *, at: datetime) -> None:
    """Takes a client off the lists; everything made for them stays."""
    Client.objects.filter(pk=client.pk, archived_at=None).update(archived_at=at)
    client.refresh_from_db()


def bring_back_client(client: Client) -> None:
    """Puts an archived client on the lists again."""
    Client.objects.filter(pk=client.pk).update(archived_at=None)
    client.refresh_from_db()


@transaction.atomic
def add_person(
    *, name: str, client: Client | None = None, parts: Mapping[str, bool] | None = None, **fields: Any
) -> Person:
    """A new person; with ``client`` also their ``parts`` there (orders, approves, pays, cooks)."""
    person = Person.objects.create(name=name, **fields)
    if client is not None:
        set_parts(client, person=person, parts=parts or {})
    return person


@transaction.atomic
def save_person(
    person: Person, *, fields: Iterable[str], version: int, parts: Mapping[Client, Mapping[str, bool]] | None = None
) -> Person:
    """Saves a person as typed, new or known; ``parts`` says anew for which clients they do what, as a whole. Raises ``EditedMeanwhile``."""
    if person.pk is None:
        person.save()
    else:
        save_edit(person, fields, version=version)
    if parts is not None:
        ClientPerson.objects.filter(person=person).exclude(client__in=parts).delete()
        for client, said in parts.items():
            set_parts(client, person=person, parts=said)
    return person


def set_parts(client: Client, *, person: Person, parts: Mapping[str, bool]) -> ClientPerson:
    """Says what a person does for a client; what is not named they don't do."""
    row, _ = ClientPerson.objects.update_or_create(
        client=client, person=person, defaults={part: bool(parts.get(part)) for part in PARTS}
    )
    return row


def leave_client(client: Client, *, person: Person) -> None:
    """The person no longer works for the client. Shoots and papers keep their name."""
    ClientPerson.objects.filter(client=client, person=person).delete()


@transaction.atomic
def add_kitchen(
    *,
    name: str,
    client: Client | None = None,
    windows: Iterable[Mapping[str, Any]] = (),
    hours: Iterable[Mapping[str, Any]] = (),
    **fields: Any,
) -> Kitchen:
    """A new kitchen with its windows and free hours; without a client it is the studio's own."""
    kitchen = Kitchen.objects.create(name=name, client=client, **fields)
    _write_lines(kitchen, windows, hours)
    return kitchen


@transaction.atomic
def save_kitchen(
    kitchen: Kitchen,
    *,
    fields: Iterable[str],
    version: int,
    windows: Iterable[Mapping[str, Any]],
    hours: Iterable[Mapping[str, Any]],
) -> Kitchen:
    """Saves a kitchen as typed, new or known, and its two lists as a whole. Raises ``EditedMeanwhile``."""
    if kitchen.pk is None:
        kitchen.save()
    else:
        save_edit(kitchen, fields, version=version)
    kitchen.windows.all().delete()
    kitchen.free_hours.all().delete()
    _write_lines(kitchen, windows, hours)
    return kitchen


def archive_kitchen(kitchen: Kitchen, *, at: datetime) -> None:
    """Takes a kitchen off the lists; the shoots there stay."""
    Kitchen.objects.filter(pk=kitchen.pk, archived_at=None).update(archived_at=at)
    kitchen.refresh_from_db()


def bring_back_kitchen(kitchen: Kitchen) -> None:
    """Puts an archived kitchen on the lists again."""
    Kitchen.objects.filter(pk=kitchen.pk).update(archived_at=None)
    kitchen.refresh_from_db()


def _write_lines(kitchen: Kitchen, windows: Iterable[Mapping[str, Any]], hours: Iterable[Mapping[str, Any]]) -> None:
    KitchenWindow.objects.bulk_create(KitchenWindow(kitchen=kitchen, **each) for each in windows)
    KitchenHours.objects.bulk_create(KitchenHours(kitchen=kitchen, **each) for each in hours)


# The list of trades


@transaction.atomic
def add_trade(name: str, *, names: Mapping[str, str] | None = None) -> Trade:
    """A trade on the list, with what it is called on papers by language. Raises ``TradeRefused`` where a name belongs to another."""
    name, names = read_trade(name), read_names(names or {})
    trade = Trade(name=name, names=names)
    try:
        with transaction.atomic():
            claim_names(trade)
    except IntegrityError:
        raise TradeRefused(
            f"“{name}” was put on the list by somebody else just now.", "Choose it from the list."
        ) from None
    return trade


@transaction.atomic
def keep_trades(typed: Iterable[str]) -> list[str]:
    """What the list calls these trades, in the order typed, each once; one not on the list is added, empty ones are passed over.

    Their rows stay locked until the transaction ends, so that none is renamed or joined meanwhile: lock shoots before, clients after.
    Raises ``TradeRefused``.
    """
    wanted: dict[str, str] = {}
    for name in typed:
        if trade_key(name):
            wanted.setdefault(trade_key(name), name)
    if not wanted:
        return []
    while True:
        known = trades_by_key(wanted.values())
        for key in sorted(wanted.keys() - known.keys()):
            _add_if_new(read_trade(wanted[key]))
        before = dict(TradeWord.objects.filter(key__in=wanted).values_list("key", "trade_id"))
        rows = Trade.objects.select_for_update(no_key=True).filter(pk__in=before.values()).order_by("pk")
        names = dict(rows.values_list("pk", "name"))
        # Joined or taken out by somebody while this one waited for its row: then it is asked anew.
        if before.keys() == wanted.keys() and before == dict(
            TradeWord.objects.filter(key__in=wanted).values_list("key", "trade_id")
        ):
            return list(dict.fromkeys(names[before[key]] for key in wanted))


def claim_names(trade: Trade) -> None:
    """Every name of the trade is its own from now on; a new one is written down. Raises ``TradeRefused`` where one belongs to another, IntegrityError in a race."""
    named = {"name": trade.name, **trade.names}
    keys = {trade_key(name): part for part, name in reversed(named.items())}
    for word in TradeWord.objects.filter(key__in=keys).select_related("trade").order_by("key"):
        if word.trade_id != trade.pk:
            part = keys[word.key]
            raise TradeRefused(
                f"“{named[part]}” is on the list already"
                + (f": it is a name of {word.trade}." if word.key != trade_key(word.trade.name) else "."),
                f"Choose {word.trade}, or use another name.",
                part=part,
            )
        del keys[word.key]
    if trade.pk is None:
        trade.save()
    TradeWord.objects.bulk_create(TradeWord(trade=trade, key=key) for key in keys)


def _add_if_new(name: str) -> None:
    try:
        with transaction.atomic():
            trade = Trade.objects.create(name=name)
            TradeWord.objects.create(trade=trade, key=trade_key(name))
    except IntegrityError:
        return  # somebody else was quicker: it is on the list, which is all that was wanted
