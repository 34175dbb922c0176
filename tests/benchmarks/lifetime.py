"""A studio's lifetime in rows: thousands of shoots, their pictures, what was licensed and billed. Books that hold together, drawn by lot.

Written in bulk, past the actions: a lifetime through them takes days. What the actions guarantee is kept by construction: a licence stands
on pictures of one shoot, has its boxes, and exclusive ones name a trade that no other client has, so that no two licences clash.
"""

import random
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import UTC, date, datetime, time, timedelta

from django.db import transaction

from billing.estimates.models import Estimate
from billing.invoices.models import Invoice
from clients.actions import add_client
from clients.models import Client
from shared.dates import add_months
from shoots.brief.models import SellingOn, Shoot, ShootState
from shoots.licences.boxes import boxes_of
from shoots.licences.models import Begins, Licence, LicenceBox, LicencePicture, LicenceState
from shoots.licences.queries import grant_of
from shoots.pictures.models import Assessment, Picture
from tests.benchmarks.around import add_around, add_estimates
from tests.benchmarks.bulk import write

YEARS = 25
PICTURES_PER_SHOOT, PAIRS_PER_PICTURE, PAIRS_PER_LICENCE, INVOICES_PER_SHOOT = 40, 3, 20, 4
CLIENTS = 300

USES: tuple[tuple[list[str], list[str]], ...] = (
    (["advertising"], ["web.own", "web.social"]),
    (["advertising"], ["web.own", "web.social", "print.menu"]),
    (["advertising"], ["web.paid_social", "web.display"]),
    (["advertising"], ["print.ad", "print.brochure"]),
    (["editorial"], ["print.editorial"]),
    (["editorial"], ["print.editorial", "web"]),
    (["stock"], ["web.own"]),
    (["editorial", "advertising"], ["web"]),
)
PLACES = (["DE"], ["DE", "AT", "CH"], ["GB"], ["SE", "NO", "DK"], ["europe"], ["US", "CA"], ["world"], ["FR"], ["IT"])
MONTHS = (6, 12, 12, 24, 24, 36, 60, None)


@dataclass(frozen=True, slots=True)
class Size:
    """How many rows a lifetime has. `of_pairs(600_000)` is the whole: 5,000 shoots, 200,000 pictures, 30,000 licences, 20,000 invoices."""

    pairs: int

    @property
    def pictures(self) -> int:
        return self.pairs // PAIRS_PER_PICTURE

    @property
    def shoots(self) -> int:
        return max(self.pictures // PICTURES_PER_SHOOT, 1)

    @property
    def licences(self) -> int:
        return self.pairs // PAIRS_PER_LICENCE

    @property
    def invoices(self) -> int:
        return self.shoots * INVOICES_PER_SHOOT


def fill(
    size: Size, *, on: date, like: Picture, billed: Invoice, offered: Estimate | None = None, seed: int = 1
) -> None:
    """Writes a lifetime that ends on a day. Pictures share the files of ``like``; invoices say what ``billed`` says, each for its own client.

    Each shoot has an estimate like ``offered``, an accepted one; without it none.

    The same seed writes the same rows. One transaction: all of it, or nothing.
    """
    lot = random.Random(seed)
    with transaction.atomic():
        clients = _clients()
        shoots = write(Shoot, _shoots(size, clients, on, lot))
        pictures = write(Picture, _pictures(size, shoots, like))
        licences, pairs = _licences(size, shoots, pictures, clients, lot)
        write(Licence, (licence for licence in licences if not licence.renews))
        write(Licence, (licence for licence in licences if licence.renews))
        write(LicencePicture, (LicencePicture(licence=licence, picture=picture) for licence, picture in pairs))
        write(LicenceBox, _boxes(licences))
        estimates = add_estimates(shoots, offered) if offered else {}
        invoices = write(Invoice, _invoices(size, shoots, billed, estimates))
        add_around(shoots, pictures, invoices, on=on)


def _clients() -> list[Client]:
    return [
        add_client(name=f"House {place:03}", trade=f"trade {place:03}", invoice_email=f"{place}@house.example")
        for place in range(1, CLIENTS + 1)
    ]  # fmt: skip


def _shoots(size: Size, clients: list[Client], on: date, lot: random.Random) -> Iterator[Shoot]:
    for place in range(size.shoots):
        day = on - timedelta(days=1 + (size.shoots - place) * YEARS * 365 // size.shoots)
        client = lot.choice(clients)
        yield Shoot(
            title=f"Menu {place + 1}",
            client=client,
            billing_party=client,
            licensee=client,
            state=ShootState.DELIVERED,
            first_on=day,
            last_on=day,
            shot_on=day,
            delivered_on=day,
            selling_on=SellingOn.FREE if lot.random() < 0.6 else SellingOn.NOT_AGREED,
        )


def _pictures(size: Size, shoots: list[Shoot], like: Picture) -> Iterator[Picture]:
    for place in range(size.pictures):
        shoot = shoots[min(place // PICTURES_PER_SHOOT, len(shoots) - 1)]
        yield Picture(
            number=f"LT-{place + 1:07}",
            shoot=shoot,
            original_id=like.original_id,
            thumbnail_id=like.thumbnail_id,
            preview_id=like.preview_id,
            original_name=f"frame-{place + 1}.jpg",
            sha256=f"{place:064x}",
            width=like.width,
            height=like.height,
            title=f"Plate {place + 1}",
            caption="A plate of the menu",
            alt_text="A plate of the menu, from above",
            state=Picture.State.CHOSEN,
            people=Assessment.NONE,
            properties=Assessment.NONE,
            is_checked=True,
            received_at=_noon(shoot.first_on),
        )


def _licences(
    size: Size, shoots: list[Shoot], pictures: list[Picture], clients: list[Client], lot: random.Random
) -> tuple[list[Licence], list[tuple[Licence, Picture]]]:
    of_shoot: dict[int, list[Picture]] = {shoot.pk: [] for shoot in shoots}
    for picture in pictures:
        of_shoot[picture.shoot_id].append(picture)
    licences, pairs, last_of = [], [], dict[int, Licence]()
    for place in range(size.licences):
        shoot = shoots[place % len(shoots)]
        licence = _licence(place, shoot, clients, lot)
        chosen = lot.sample(of_shoot[shoot.pk], min(lot.randint(1, 2 * PAIRS_PER_LICENCE - 1), len(of_shoot[shoot.pk])))
        licence.pictures_agreed = len(chosen)
        if lot.random() < 0.2 and (before := last_of.get(shoot.pk)) and before.use_until:
            licence.renews, licence.licensee, licence.billing_party = before, before.licensee, before.billing_party
        else:
            last_of[shoot.pk] = licence
        licences.append(licence)
        pairs += [(licence, picture) for picture in chosen]
    return licences, pairs


def _licence(place: int, shoot: Shoot, clients: list[Client], lot: random.Random) -> Licence:
    licensee = shoot.client if shoot.selling_on != SellingOn.FREE or lot.random() < 0.4 else lot.choice(clients)
    classes, media = lot.choice(USES)
    months, is_exclusive = lot.choice(MONTHS), lot.random() < 0.1
    first = shoot.first_on + timedelta(days=lot.randint(1, 400))
    until = add_months(first, months) if months else None
    return Licence(
        number=f"LT-{place + 1:06}",
        shoot=shoot,
        licensee=licensee,
        billing_party=licensee,
        trade=licensee.trade,
        trade_listed=licensee.trade,
        state=LicenceState.PAID,
        is_placed=True,
        use_from=first,
        use_until=until,
        use_months=months,
        use_classes=classes,
        use_media=media,
        use_territories=lot.choice(PLACES),
        is_own_promotion=False,
        use_copies=10_000 if any(medium.startswith("print") for medium in media) else None,
        exclusivity="trade" if is_exclusive else "none",
        exclusive_until=until if is_exclusive else None,
        begins=Begins.ON_DELIVERY,
        delivered_on=first,
        paid_on=first,
        made_at=_noon(first),
        accepted_at=_noon(first),
        frozen={"on": first.isoformat()},
    )


def _boxes(licences: list[Licence]) -> Iterator[LicenceBox]:
    for licence in licences:
        for box in boxes_of(grant_of(licence, ())):
            yield LicenceBox(licence=licence, **asdict(box))


def _invoices(size: Size, shoots: list[Shoot], billed: Invoice, estimates: dict[int, Estimate]) -> Iterator[Invoice]:
    for place in range(size.invoices):
        shoot = shoots[place % len(shoots)]
        estimate = estimates.get(shoot.pk) if place < len(shoots) else None  # the others bill what came after it
        yield Invoice(
            number=f"LT-{place + 1:06}",
            job_key=f"estimate:{estimate.number}" if estimate else f"lifetime:{place}",
            estimate=estimate,
            client=shoot.client,
            shoot=shoot,
            issued_on=shoot.first_on,
            due_on=shoot.first_on + timedelta(days=14),
            language=billed.language,
            currency=billed.currency,
            net=billed.net,
            tax=billed.tax,
            gross=billed.gross,
            prepaid=0,
            to_pay=billed.gross,
            reference=f"LT{place + 1}",
            snapshot=billed.snapshot,
            paper_id=billed.paper_id,
            issued_at=_noon(shoot.first_on),
            sent_at=_noon(shoot.first_on),
        )


def _noon(day: date) -> datetime:
    return datetime.combine(day, time(12), UTC)
