from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from django.db.models import Model, QuerySet
from django.urls import reverse

from billing.estimates.queries import estimates_listed
from billing.invoices.queries import invoices_listed
from clients.queries import clients_listed, kitchens_listed, persons_listed
from shared.access.models import Role
from shoots.brief.queries import shoots_listed
from shoots.found.queries import found_listed
from shoots.licences.queries import licences_listed
from shoots.pictures.queries import pictures_listed
from shoots.releases.queries import releases_listed

Row = TypeVar("Row", bound=Model)

MOST = 8
STUDIO = (Role.OWNER, Role.ASSISTANT)
BOOKS = (Role.OWNER, Role.ACCOUNTANT)


@dataclass(frozen=True, slots=True)
class Hit:
    """One thing found: its name, a second line, where it is."""

    name: str
    detail: str
    url: str


@dataclass(frozen=True, slots=True)
class Found:
    """What was found in one place; ``has_more`` when the list was cut."""

    place: str
    hits: tuple[Hit, ...]
    has_more: bool


def find_everywhere(text: str, *, role: str, on: date) -> list[Found]:
    """Clients, people, kitchens, shoots, pictures, releases, licences, uses found, estimates and invoices that hold every word of ``text``.

    Only places that this role may open are searched; one query a place, eight hits each.
    """
    if not text.strip():
        return []
    found = [
        _found(
            "Clients",
            (
                (each, each.get_kind_display(), "client_page")
                for each in _lean(clients_listed(text=text), "", "name kind")
            ),
        )
    ]
    if role in STUDIO:
        found += [
            _found(
                "Shoots",
                (
                    (each, f"{each.client}, {each.get_state_display().lower()}", "shoot_page")
                    for each in _lean(shoots_listed(on, text=text), "client", "title state client__name")
                ),
            ),
            _found(
                "People",
                (
                    (each, each.email or each.phone, "person_page")
                    for each in _lean(persons_listed(text=text), "", "name email phone")
                ),
            ),
            _found(
                "Kitchens",
                (
                    (each, each.address, "kitchen_page")
                    for each in _lean(kitchens_listed(text=text), "", "name street postcode city")
                ),
            ),
            _found(
                "Pictures",
                (
                    (each, f"{each.number}, {each.shoot}", "picture_page")
                    for each in _lean(pictures_listed(text=text), "shoot", "title number shoot__title")
                ),
            ),
            _found(
                "Releases",
                (
                    (each, each.get_state_display(), "release_page")
                    for each in _lean(
                        releases_listed(text=text),
                        "person kitchen",
                        "number state kind property_description person__name kitchen__name",
                    )
                ),
            ),
            _found(
                "Licences",
                (
                    (each, each.get_state_display(), "licence_page")
                    for each in _lean(licences_listed(on, text=text), "licensee", "number state licensee__name")
                ),
            ),
            _found(
                "Uses found",
                (
                    (each, each.user or each.get_state_display(), "found_page")
                    for each in _lean(
                        found_listed(text=text), "client", "number place state user_name seen_on client__name"
                    )
                ),
            ),
            _found(
                "Estimates",
                (
                    (each, f"{each.shoot}, {each.get_state_display().lower()}", "estimate")
                    for each in _lean(estimates_listed(text=text), "shoot", "number issue state shoot__title")
                ),
            ),
        ]
    if role in BOOKS:
        found.append(
            _found(
                "Invoices",
                (
                    (each, f"{each.client}", "invoice_page")
                    for each in _lean(invoices_listed(on=on, text=text), "client", "number client__name")
                ),
            )
        )
    return [each for each in found if each.hits]


def _lean(rows: QuerySet[Row], beside: str, columns: str) -> QuerySet[Row]:
    """The first rows with only the columns that a hit shows: a row of a list has five times as many."""
    plain = rows.select_related(None).prefetch_related(None)
    return (plain.select_related(*beside.split()) if beside else plain).only(*columns.split())[: MOST + 1]


def _found(place: str, rows: Iterable[tuple[object, str, str]]) -> Found:
    hits = [Hit(str(row), detail, reverse(name, args=[row.pk])) for row, detail, name in rows]  # type: ignore[attr-defined]
    return Found(place, tuple(hits[:MOST]), len(hits) > MOST)
