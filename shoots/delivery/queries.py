from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from django.db.models import Count, Prefetch, Q, QuerySet, Sum

from shared.dates import add_months
from shared.links.models import PrivateLink
from shared.links.queries import links_for
from shoots.brief.models import AgreedPicture, Shoot
from shoots.delivery.checklist import Checklist, PictureFacts, Promise, check
from shoots.delivery.models import Delivery
from shoots.delivery.naming import Entry, file_names
from shoots.licences.models import Licence, LicenceState
from shoots.licences.queries import address_of, uncleared, use_of, with_people
from shoots.pictures.models import Picture
from shoots.pictures.queries import pictures_showing
from shoots.releases.models import Release
from shoots.uses.intended import InvalidUse, Use

STANDING = (LicenceState.ACCEPTED, LicenceState.PAID)
HANDED_OVER = (Delivery.State.SENT, Delivery.State.RECEIVED)
PIECE = 1 << 18


def checklist_of(shoot: Shoot, on: date) -> Checklist:
    """The checklist of a shoot: its agreed pictures, or where none were agreed its chosen pictures. A constant number of queries."""
    pictures = {picture.pk: picture for picture in _with_facts(shoot)}
    licences = list(  # what other houses hold, or what ended, lets nothing go out to this client
        Licence.objects.filter(
            Q(shoot=shoot) | Q(pictures__shoot=shoot), state__in=STANDING, licensee=shoot.licensee_id
        )
        .exclude(use_until__lte=on)
        .distinct()
        .order_by("pk")
        .prefetch_related("licence_pictures")
    )
    facts = _facts(shoot, pictures, licences, on)
    kept = Prefetch("pictures", Picture.objects.exclude(state=Picture.State.LEFT).order_by("number"))
    promises = [
        Promise(
            key=each.pk,
            title=each.title,
            pictures=tuple(facts[picture.pk] for picture in each.pictures.all() if picture.pk in facts),
        )
        for each in _agreed(shoot).prefetch_related(kept)
    ]
    if not promises:
        promises = [
            Promise(key=None, title=picture.title or picture.number, pictures=(facts[picture.pk],))
            for picture in pictures.values()
            if picture.state == Picture.State.CHOSEN
        ]
    return check(promises, has_licence_to_place=any(_has_room(licence) for licence in licences))


def _agreed(shoot: Shoot) -> QuerySet[AgreedPicture]:
    """What was agreed; before any agreement, what is wanted."""
    agreed = shoot.agreed_pictures.filter(state=AgreedPicture.State.AGREED)
    return agreed if agreed.exists() else shoot.agreed_pictures.filter(state=AgreedPicture.State.WANTED)


def _has_room(licence: Licence) -> bool:
    count = len(licence.licence_pictures.all())
    return not licence.is_placed or (licence.counts_from_its_beginning and count < licence.pictures_agreed)


def _with_facts(shoot: Shoot) -> QuerySet[Picture]:
    handed_over = Prefetch("deliveries", Delivery.objects.filter(state__in=HANDED_OVER), to_attr="handed_over")
    found = Picture.objects.filter(shoot=shoot).exclude(state=Picture.State.LEFT)
    return with_people(found).prefetch_related(handed_over).order_by("number")


def _facts(shoot: Shoot, pictures: dict[int, Picture], licences: list[Licence], on: date) -> dict[int, PictureFacts]:
    licensed = {row.picture_id for licence in licences for row in licence.licence_pictures.all()}
    missing = _not_released(shoot, pictures, licences, on)
    return {
        key: PictureFacts(
            key=key,
            number=picture.number,
            is_checked=picture.is_checked,
            has_caption=bool(picture.caption.strip()),
            not_released=missing.get(key, ""),
            has_licence=key in licensed,
            is_sent=bool(picture.handed_over),
            is_received=any(each.state == Delivery.State.RECEIVED for each in picture.handed_over),
        )
        for key, picture in pictures.items()
    }


def _not_released(shoot: Shoot, pictures: dict[int, Picture], licences: list[Licence], on: date) -> dict[int, str]:
    """What is missing for each picture's use: that of the shoot's own licence, else the one the shoot is made for."""
    own = next(iter(licences), None)
    use = _asked_use(own or shoot, on)
    if use is None:
        return {}
    licensee = str(own.licensee_id if own else shoot.licensee_id)
    return {picture.pk: words for picture, words in uncleared(pictures.values(), use, licensee=licensee)}


def _asked_use(row: Licence | Shoot, on: date) -> Use | None:
    if isinstance(row, Licence) and row.is_placed:
        return use_of(row)
    try:
        return Use(
            classes=frozenset(row.use_classes),
            media=frozenset(row.use_media),
            territories=frozenset(row.use_territories),
            use_from=on,
            use_until=add_months(on, row.use_months) if row.use_months else None,
        )
    except InvalidUse:
        return None


# Deliveries


def deliveries_of(shoot: Shoot) -> QuerySet[Delivery]:
    """The deliveries of a shoot, newest first."""
    return shoot.deliveries.annotate(pictures_count=Count("pictures"))


def delivery_in_full(pk: int) -> QuerySet[Delivery]:
    """One delivery with what its pages name."""
    pictures = Picture.objects.select_related("original", "thumbnail", "preview").order_by("number")
    return (
        Delivery.objects.filter(pk=pk)
        .select_related("shoot", "shoot__client", "shoot__licensee")
        .prefetch_related(Prefetch("pictures", pictures))
    )


def link_of(delivery: Delivery) -> PrivateLink | None:
    """The private link of a delivery that has not been called back."""
    return links_for(f"delivery:{delivery.pk}").filter(called_back_at=None).first()


def size_of(delivery: Delivery) -> int:
    """How many bytes all pictures have."""
    return delivery.pictures.aggregate(all=Sum("original__size"))["all"] or 0


def licence_words_of(delivery: Delivery, language: str) -> list[tuple[str, list[str]]]:
    """Number and frozen sentences of each licence that stands on the delivered pictures, in the language of the page."""
    found = (
        Licence.objects.filter(pictures__deliveries=delivery, licensee=delivery.shoot.licensee, state__in=STANDING)
        .distinct()
        .order_by("pk")
    )
    words = []
    for licence in found:
        same = licence.frozen.get("language") == language
        words.append((licence.number, licence.frozen.get("sentences" if same else "english") or []))
    return words


def licences_to_begin(pictures: Iterable[Picture]) -> QuerySet[Licence]:
    """Standing licences on these pictures that begin on delivery and have not begun."""
    return (
        Licence.objects.filter(
            pictures__in=[picture.pk for picture in pictures],
            state__in=STANDING,
            begins="on_delivery",
            delivered_on=None,
        )
        .distinct()
        .order_by("pk")
    )


def licences_begun_with(delivery: Delivery, on: date) -> QuerySet[Licence]:
    """Licences on the pictures of a delivery that began on its day, and on those of no other that still stands."""
    others = delivery.shoot.deliveries.filter(state__in=HANDED_OVER).exclude(pk=delivery.pk)
    return (
        Licence.objects.filter(pictures__deliveries=delivery, begins="on_delivery", delivered_on=on)
        .exclude(pictures__deliveries__in=others)
        .distinct()
    )


def entries_of(delivery: Delivery) -> list[Entry]:
    """The originals of a delivery for its archive, read in pieces when their turn comes."""
    pictures = list(delivery.pictures.all())
    names = file_names((each.pk, each.number, each.original_name) for each in pictures)

    def pieces(picture: Picture) -> Any:
        with picture.original.path.open("rb") as file:
            while piece := file.read(PIECE):
                yield piece

    return [Entry(names[each.pk], lambda each=each: pieces(each)) for each in pictures]


def address_for(shoot: Shoot) -> tuple[str, str]:
    """Where a delivery of the shoot is written to, and to whom."""
    return address_of(shoot.client)


def deliveries_touched_by(release: Release, at: datetime) -> list[Delivery]:
    """Deliveries with a picture of whom or what a release is about, not yet received or with their link still open; newest first.

    Each with ``open_until``, the moment its link closes, or None. Two queries.
    """
    found = list(
        Delivery.objects.filter(pictures__in=pictures_showing(release).order_by().values("pk"), state__in=HANDED_OVER)
        .select_related("shoot__client")
        .distinct()
    )
    links = PrivateLink.objects.filter(
        purpose="delivery",
        subject__in=[f"delivery:{delivery.pk}" for delivery in found],
        called_back_at=None,
        expires_at__gt=at,
    )
    open_until = dict(links.order_by("expires_at").values_list("subject", "expires_at"))
    for delivery in found:
        delivery.open_until = open_until.get(f"delivery:{delivery.pk}")  # type: ignore[attr-defined]
    return [each for each in found if each.state == Delivery.State.SENT or each.open_until]  # type: ignore[attr-defined]
