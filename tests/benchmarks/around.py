"""What stands around the licences of a lifetime: offers, dishes, people with releases, deliveries, costs, payments, letters, uses found.

How many of each: a house of one person, from memory. Written in bulk like `tests/benchmarks/lifetime.py`, and as whole: an estimate that
was taken has its option, a picture that shows somebody a person whose release was signed, an old invoice its money.
"""

import random
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

from django.db.models import OuterRef, Subquery

from billing.estimates.models import Estimate, EstimateLine, EstimateOption
from billing.expenses.models import Charge, Expense
from billing.invoices.models import Invoice
from billing.payments.models import Payment
from clients.models import Kitchen, Person
from shared.outbox.models import Message
from shoots.brief.models import AgreedPicture, Dish, Part, Shoot, ShootPerson
from shoots.delivery.models import Delivery
from shoots.found.models import FoundState, FoundUse
from shoots.pictures.models import Assessment, Picture, PicturePerson
from shoots.releases.models import Release, ReleaseState
from tests.benchmarks.bulk import write

DISHES, AGREED, COSTS, LETTERS, SHOOTS_A_PERSON = 4, 8, 3, 2, 4
SHOWS_SOMEBODY, SHOOTS_A_FOUND_USE = 0.2, 10
SHORT_OF_MONEY, STILL_OPEN, OPEN_DAYS = 0.01, 0.04, 30


def add_around(shoots: list[Shoot], pictures: list[Picture], invoices: list[Invoice], *, on: date) -> None:
    """Writes all of it, estimates apart, for shoots that were delivered."""
    lot = random.Random(2)
    _work(shoots, lot)
    _people(shoots, pictures, lot)
    _deliveries(shoots, pictures)
    write(Expense, _costs(shoots, lot))
    write(Payment, _payments(invoices, on, lot))
    write(Message, _letters(shoots))
    _found(shoots, pictures, on, lot)


def _work(shoots: list[Shoot], lot: random.Random) -> None:
    kitchens = {client.pk: Kitchen(client=client, name=f"Kitchen of {client}") for client in {each.client for each in shoots}}  # fmt: skip
    write(Kitchen, iter(kitchens.values()))
    for shoot in shoots:
        shoot.kitchen = kitchens[shoot.client_id]
    Shoot.objects.bulk_update(shoots, ["kitchen"], batch_size=500)
    dishes = write(
        Dish,
        (Dish(shoot=shoot, name=f"Course {place + 1}", order=place, portions=lot.randint(1, 4)) for shoot in shoots for place in range(DISHES)),
    )  # fmt: skip
    write(
        AgreedPicture,
        (
            AgreedPicture(
                shoot_id=dish.shoot_id, dish=dish, title=f"{dish.name}, {look}", order=dish.order, state="agreed"
            )
            for dish in dishes
            for look in ("from above", "at the table")[: AGREED // DISHES]
        ),
    )


def add_estimates(shoots: list[Shoot], offered: Estimate) -> dict[int, Estimate]:
    """Writes an accepted estimate a shoot, each with one option like that of ``offered``; by the key of the shoot."""
    like = offered.accepted_option or offered.options.first()
    lines = list(like.lines.all())

    def estimate_of(place: int, shoot: Shoot) -> Estimate:
        at = _noon(shoot.first_on - timedelta(days=30))
        return _as(
            offered, number=f"LT-{place + 1:06}", issue=1, shoot=shoot, state="sent", supersedes=None, accepted_option=None, made_at=at,
            sent_at=at, decided_at=at + timedelta(days=3),
        )  # fmt: skip

    made = write(Estimate, (estimate_of(place, shoot) for place, shoot in enumerate(shoots)))
    options = write(EstimateOption, (_as(like, estimate=estimate) for estimate in made))
    write(EstimateLine, (_as(line, option=option) for option in options for line in lines))
    taken = EstimateOption.objects.filter(estimate=OuterRef("pk")).values("pk")[:1]
    Estimate.objects.filter(number__startswith="LT-").update(state="accepted", accepted_option=Subquery(taken))
    return {estimate.shoot_id: estimate for estimate in made}


def _as(row: Any, **other: Any) -> Any:
    values = {each.attname: getattr(row, each.attname) for each in row._meta.concrete_fields if not each.primary_key}
    return type(row)(**{name: value for name, value in values.items() if name.removesuffix("_id") not in other}, **other)  # fmt: skip


def _people(shoots: list[Shoot], pictures: list[Picture], lot: random.Random) -> None:
    count = max(len(shoots) // SHOOTS_A_PERSON, 1)
    persons = write(Person, (Person(name=f"Cook {place + 1:05}", email=f"cook{place}@house.example") for place in range(count)))  # fmt: skip
    cook_of = {shoot.pk: lot.choice(persons) for shoot in shoots}
    write(ShootPerson, (ShootPerson(shoot=shoot, person=cook_of[shoot.pk], part=Part.COOK) for shoot in shoots))

    def release_of(place: int, shoot: Shoot) -> Release:
        cook, at = cook_of[shoot.pk], _noon(shoot.first_on)
        return Release(
            number=f"LT-{place + 1:06}", shoot=shoot, kind=Release.Kind.MODEL, person=cook, signer=cook, state=ReleaseState.SIGNED,
            capacity=Release.Capacity.SELF, signer_name=cook.name, typed_name=cook.name, made_at=at, signed_at=at,
        )  # fmt: skip

    write(Release, (release_of(place, shoot) for place, shoot in enumerate(shoots)))
    showing = [picture for picture in pictures if lot.random() < SHOWS_SOMEBODY]
    write(PicturePerson, (PicturePerson(picture=picture, person=cook_of[picture.shoot_id]) for picture in showing))
    for start in range(0, len(showing), 5_000):
        keys = [picture.pk for picture in showing[start : start + 5_000]]
        Picture.objects.filter(pk__in=keys).update(people=Assessment.LISTED)


def _deliveries(shoots: list[Shoot], pictures: list[Picture]) -> None:
    made = write(
        Delivery,
        (
            Delivery(
                number=f"LT-{place + 1:06}", shoot=shoot, state=Delivery.State.RECEIVED, sent_to=f"{place}@house.example",
                sent_at=_noon(shoot.first_on), received_at=_noon(shoot.first_on), received_by="The kitchen",
            )
            for place, shoot in enumerate(shoots)
        ),
    )  # fmt: skip
    of_shoot = {delivery.shoot_id: delivery.pk for delivery in made}
    through = Delivery.pictures.through
    write(through, (through(delivery_id=of_shoot[each.shoot_id], picture_id=each.pk) for each in pictures))


def _costs(shoots: list[Shoot], lot: random.Random) -> Iterator[Expense]:
    for shoot in shoots:
        for place in range(COSTS):
            gross = Decimal(lot.randint(500, 20_000)) / 100
            yield Expense(
                shoot=shoot, kind=lot.choice(Expense.Kind.values), what=f"Purchase {place + 1}", spent_on=shoot.first_on, gross=gross,
                tax=round(gross * 19 / 119, 2), charge=Charge.AT_COST if place == 0 else Charge.NOT,
                billed_on=f"LT-{shoot.pk}" if place == 0 else "",
            )  # fmt: skip


def _payments(invoices: list[Invoice], on: date, lot: random.Random) -> Iterator[Payment]:
    """An invoice is paid within weeks; of the old ones a few are paid in part, of those a month old and younger many stand open."""
    for invoice in invoices:
        is_young = (on - invoice.issued_on).days < OPEN_DAYS
        if lot.random() < (0.5 if is_young else STILL_OPEN / 10):
            continue
        amount = invoice.to_pay / 2 if lot.random() < SHORT_OF_MONEY else invoice.to_pay
        day = min(invoice.issued_on + timedelta(days=lot.randint(3, 25)), on)
        yield Payment(
            invoice=invoice, received_on=day, amount=round(amount, 2), recorded_at=_noon(day), recorded_by="studio"
        )


def _letters(shoots: list[Shoot]) -> Iterator[Message]:
    for shoot in shoots:
        for place in range(LETTERS):
            yield Message(
                to="kitchen@house.example", subject=f"{shoot.title}, letter {place + 1}", body="The pictures are ready.", about=f"shoot:{shoot.pk}",
                state=Message.State.SENT, written_at=_noon(shoot.first_on), sent_at=_noon(shoot.first_on),
            )  # fmt: skip


def _found(shoots: list[Shoot], pictures: list[Picture], on: date, lot: random.Random) -> None:
    first_of: dict[int, Picture] = {}
    for picture in pictures:
        first_of.setdefault(picture.shoot_id, picture)
    where = [shoot for shoot in shoots[::SHOOTS_A_FOUND_USE] if shoot.pk in first_of]
    made = write(
        FoundUse,
        (
            FoundUse(
                number=f"LT-{place + 1:05}", state=FoundState.NEW if shoot is where[-1] else lot.choice((FoundState.LOOKED, FoundState.PAID)),
                seen_on=min(shoot.first_on + timedelta(days=200), on), place="A page on the web", link="https://house.example/menu",
                client=shoot.client, use_classes=["advertising"], use_media=["web.own"], use_territories=["DE"], made_at=_noon(shoot.first_on),
            )
            for place, shoot in enumerate(where)
        ),
    )  # fmt: skip
    through = FoundUse.pictures.through
    write(
        through,
        (
            through(founduse_id=found.pk, picture_id=first_of[shoot.pk].pk)
            for found, shoot in zip(made, where, strict=True)
        ),
    )


def _noon(day: date) -> datetime:
    return datetime.combine(day, time(12), UTC)
