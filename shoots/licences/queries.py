from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date, datetime, timedelta
from typing import Any

from django.conf import settings
from django.db.models import Case, Count, Exists, F, IntegerField, Min, OuterRef, Prefetch, Q, QuerySet, Value, When
from django.db.models.functions import Coalesce, Least

from clients.models import Client
from clients.queries import trade_names
from shared.business.models import BusinessProfile
from shared.business.queries import business_on, current_business, today
from shared.evidence.models import Evidence
from shared.evidence.queries import evidence_head
from shared.files.models import StoredFile
from shared.outbox.queries import messages_about
from shared.papers.printing import kept_picture_uri
from shared.related import in_order, number_of
from shared.words.formats import with_capital
from shoots.brief.models import Shoot
from shoots.licences import standing as standings
from shoots.licences.availability import Selling, SellingOn
from shoots.licences.boxes import boxes_of
from shoots.licences.conflicts import Clash, Left, find_clashes, free_day_of, what_is_left
from shoots.licences.cover import held_whole
from shoots.licences.grants import Grant, grant_wished
from shoots.licences.models import Licence, LicencePaper, LicencePicture, LicenceState
from shoots.licences.snapshot import LicenceShown, PictureShown, released
from shoots.licences.standing import Shown, shown_on
from shoots.licences.states import BLOCKING, State
from shoots.licences.wishes import common_wishes
from shoots.licences.wording import (
    EDITORIAL,
    ClashInWords,
    clash_sentence,
    groups_within,
    held_line,
    held_sentence,
    notes_in_words,
    shared_in_words,
)
from shoots.pictures.models import Picture, PicturePerson, PictureProperty
from shoots.pictures.queries import subjects_of
from shoots.releases.clearance import Clearance, Verdict, clear
from shoots.uses.intended import Begins, Exclusivity, Use, copies_needed
from shoots.uses.media_tree import READ_EVERYWHERE
from shoots.uses.sentences import (
    LicenceWords,
    licence_sentences,
    media_in_words,
    territories_in_words,
    use_sentence,
)
from shoots.uses.shipped import IN_FORCE
from shoots.uses.territory_tree import WORLD, FrozenGroup

PAST_USE = "past_use"  # the origin of a licence for a use that happened
OFF = (LicenceState.DECLINED, LicenceState.REFUNDED)
STANDING = (LicenceState.ACCEPTED, LicenceState.PAID)
STATES_THAT_BLOCK = tuple(state.value for state in BLOCKING)
SHOWN_ON_A_PICTURE = (*STATES_THAT_BLOCK, LicenceState.OFFERED)


# A licence as the value that the calculations ask of


OF_GRANT = (
    *("frozen", "accepted_at", "made_at", "licensee", "shoot", "state", "left", "is_placed", "trade_listed"),
    *("use_classes", "use_media", "use_territories", "use_from", "use_until", "use_copies", "copies_used"),
    *("exclusivity", "exclusive_until", "embargo_until", "cut_on", "begins", "begins_on", "delivered_on", "lapses_on"),
)  # what ``grant_of`` reads


def grant_of(licence: Licence, pictures: Iterable[str]) -> Grant:
    """A licence on these pictures (their keys as text). Unplaced, it stands from the day of its acceptance without end."""
    agreed_on = licence.frozen.get("on")  # the calendar day where the business is
    made = date.fromisoformat(agreed_on) if agreed_on else (licence.accepted_at or licence.made_at).date()
    return Grant(
        id=str(licence.pk),
        licensee=str(licence.licensee_id),
        pictures=frozenset(pictures) or frozenset({f"shoot-{licence.shoot_id}"}),
        classes=frozenset(licence.use_classes),
        media=frozenset(licence.use_media),
        territories=frozenset(licence.use_territories),
        use_from=licence.use_from if licence.is_placed and licence.use_from else made,
        use_until=licence.use_until if licence.is_placed else None,
        state=State(licence.state),
        trade=licence.trade_listed or None,
        exclusivity=Exclusivity(licence.exclusivity),
        exclusive_until=licence.exclusive_until if licence.is_placed else None,
        embargo_until=licence.embargo_until,
        cut_on=licence.cut_on if licence.cut_on != date.max else None,  # a changed one without end, not taken over yet
        begins=Begins(licence.begins),
        begins_on=licence.begins_on or (made if licence.begins == Begins.ON_DATE else None),
        delivered_on=licence.delivered_on,
        lapses_on=licence.lapses_on,
        copies=licence.use_copies,
        copies_used=licence.copies_used,
        left=State(licence.left) if licence.left else State.PAID,
        is_placed=licence.is_placed,
    )


def grant_on(licence: Licence, pictures: Iterable[Picture]) -> Grant:
    """The same on these pictures."""
    return grant_of(licence, [str(picture.pk) for picture in pictures])


@dataclass(frozen=True, slots=True)
class Holding:
    """A licence with its value, narrowed to the pictures asked about."""

    licence: Licence
    grant: Grant


def holdings_on(
    pictures: Iterable[Picture],
    *,
    shoots: Iterable[int] = (),
    states: Sequence[str] = SHOWN_ON_A_PICTURE,
    apart_from: int | None = None,
) -> list[Holding]:
    """The licences on pictures, the unplaced ones of their shoots among them: two queries for any number of pictures.

    ``shoots``: these count with their unplaced licences even before they have a picture. Their licensee is read along, their shoot is not.
    """
    pictures = list(pictures)
    of_shoot, placed_on = defaultdict(set, {shoot: set() for shoot in shoots}), defaultdict(set)
    for picture in pictures:
        of_shoot[picture.shoot_id].add(str(picture.pk))
    rows = LicencePicture.objects.filter(picture__in={picture.pk for picture in pictures})
    for licence, key in rows.values_list("licence", "picture"):
        placed_on[licence].add(str(key))
    # By keys at hand, not by a join: both databases answer either half by its index, however large the archive is.
    asked = Q(is_placed=True, pk__in=placed_on.keys()) | Q(is_placed=False, shoot__in=of_shoot.keys())
    # Sorted below, so not by the database: its ordering is dear to compile, and most pages ask this question.
    wanted = Licence.objects.filter(asked, state__in=states).select_related("licensee").order_by()
    if apart_from is not None:
        wanted = wanted.exclude(pk=apart_from)
    found = [
        Holding(each, grant_of(each, placed_on[each.pk] if each.is_placed else of_shoot[each.shoot_id]))
        for each in wanted
    ]
    return sorted(found, key=lambda holding: (holding.grant.use_from, holding.licence.pk))


def end_until_taken_over(licence: Licence, *, on: date) -> date:
    """Where a licence is cut whose place another takes: a placed one only once that covers, so until then at its own end, or at the
    calendar's; one not placed on the day ``on``.
    """
    return (licence.use_until or date.max) if licence.is_placed else on


def subject_in_log(licence: Licence) -> str:
    """What the evidence log calls a licence."""
    return f"licence:{licence.pk}"


def days_in_log(licence: Licence) -> dict[str, str]:
    """First and last day as the log keeps them; empty where there is none."""
    last = licence.use_until - timedelta(days=1) if licence.use_until else None
    first = licence.use_from
    return {"first_day": first.isoformat() if first else "", "last_day": last.isoformat() if last else ""}


def delivered_on_of(licence: Licence) -> date | None:
    """The day on which the first of a licence's pictures was handed over by a delivery that still stands."""
    # The room of deliveries lies above: its rows are reached from the pictures, by name.
    sent = licence.pictures.filter(deliveries__state__in=("sent", "received")).aggregate(
        first=Min("deliveries__sent_at")
    )
    return today(sent["first"]) if sent["first"] else None


def selling_on_of(shoot: Shoot) -> SellingOn:
    """The term of the shoot: may its pictures be sold to others than the house they were made for?"""
    return SellingOn(
        Selling(shoot.selling_on),
        shoot.selling_on_after,
        frozenset(shoot.selling_on_not_to),
        commissioned_by=str(shoot.licensee_id),
    )


# What stands against a licence


def clashes_of(wanted: Grant, holdings: Iterable[Holding]) -> tuple[list[ClashInWords], date | None]:
    """The licences that stand against one wanted, in words, and the first day it would be free of all of them."""
    by_id = {holding.grant.id: holding for holding in holdings}
    held = [holding.grant for holding in by_id.values()]
    found = [_in_words(clash, by_id[clash.held]) for clash in find_clashes(wanted, held)]
    return found, free_day_of(wanted, held) if found else wanted.use_from


def rivals_on(
    licence: Licence, pictures: Iterable[Picture], *, shoots: Iterable[int] = ()
) -> tuple[list[ClashInWords], date | None, tuple[Left, ...]]:
    """The other licences that stand against this one on these pictures, in words; the first day free of them all; what of it is free at once.

    ``shoots`` as ``holdings_on`` takes them.
    """
    pictures = list(pictures)
    wanted = grant_on(licence, pictures)
    held = holdings_on(pictures, shoots=shoots, states=STATES_THAT_BLOCK, apart_from=licence.pk)
    clashes, free_on = clashes_of(wanted, held)
    return clashes, free_on, what_is_left(wanted, [each.grant for each in held]) if clashes else ()


def _in_words(clash: Clash, holding: Holding) -> ClashInWords:
    licence = holding.licence
    return ClashInWords(
        number=licence.number,
        holder=licence.licensee.name,
        sentence=clash_sentence(clash, number=licence.number, is_exclusive=holding.grant.is_exclusive),
        pk=licence.pk,
    )


def use_of(licence: Licence) -> Use:
    """What a placed licence grants, as a use: its clearance is asked with it."""
    return Use(
        classes=frozenset(licence.use_classes),
        media=frozenset(licence.use_media),
        territories=frozenset(licence.use_territories),
        use_from=licence.use_from,
        use_until=licence.use_until,
    )


def with_people(pictures: QuerySet[Picture]) -> QuerySet[Picture]:
    """Pictures with what clearance asks about, and the names of who and what they show."""
    persons = PicturePerson.objects.select_related("person").only("picture", "recognisable", "is_minor", "person__name")
    things = PictureProperty.objects.select_related("kitchen").only("picture", "description", "kitchen__name")
    return pictures.select_related("shoot").prefetch_related(
        Prefetch("persons_shown", persons), Prefetch("properties_shown", things)
    )


def names_shown(pictures: Iterable[Picture]) -> dict[str, str]:
    """The names of people and places by the ids that clearance tells of. Hand in what ``with_people`` gives."""
    names: dict[str, str] = {}
    for picture in pictures:
        for shown in picture.persons_shown.all():
            names[str(shown.person_id)] = shown.person.name
        for thing in picture.properties_shown.all():
            key = f"kitchen-{thing.kitchen_id}" if thing.kitchen_id else f"thing-{thing.pk}"
            names[key] = thing.kitchen.name if thing.kitchen else thing.description
    return names


def clearances_of(pictures: Iterable[Picture], use: Use, *, licensee: str) -> dict[int, Clearance]:
    """The verdict on each picture for a use, by key. Hand in what ``with_people`` gives; two more queries for any number."""
    subjects = subjects_of(pictures)
    return {
        key: clear(use, licensee=licensee, people=people, properties=properties)
        for key, (people, properties) in subjects.items()
    }


def uncleared(pictures: Iterable[Picture], use: Use, *, licensee: str) -> list[tuple[Picture, str]]:
    """The pictures that may not go into a use, each with what is missing in words."""
    return told_of(pictures, use, licensee=licensee)[Verdict.NOT_CLEARED]


def told_of(pictures: Iterable[Picture], use: Use, *, licensee: str) -> dict[Verdict, list[tuple[Picture, str]]]:
    """For each verdict the pictures it falls on, each with what is missing in words."""
    pictures = list(pictures)
    names = names_shown(pictures)
    found: dict[Verdict, list[tuple[Picture, str]]] = {verdict: [] for verdict in Verdict}
    verdicts = clearances_of(pictures, use, licensee=licensee)
    for picture in pictures:
        found[verdicts[picture.pk].verdict].append((picture, notes_in_words(verdicts[picture.pk].notes, names)))
    return found


def told_of_a_past_use(licence: Licence, pictures: Iterable[Picture]) -> list[str]:
    """What stands against a licence for a use that happened, as sentences: rivals of those days and people who are not released.

    Hand in pictures of ``with_people``.
    """
    pictures = list(pictures)
    told = [clash.sentence for clash in rivals_on(licence, pictures)[0]]
    missing = uncleared(pictures, use_of(licence), licensee=str(licence.licensee_id))
    return told + [f"{picture.number} was not released for this use: {words}." for picture, words in missing]


def told_of_an_offer(licence: Licence) -> list[str]:
    """What stands against an offer for a use that happened, before it is accepted; of other offers nothing, accepting refuses there."""
    if licence.origin != PAST_USE or licence.state not in (LicenceState.DRAFT, LicenceState.OFFERED):
        return []
    return told_of_a_past_use(licence, _pictures_in_order(licence))


# Lists

_PLACED = Q(is_placed=True, state__in=STANDING)


def with_ends(found: QuerySet[Licence]) -> QuerySet[Licence]:
    """With ``ends``, the first day after a licence; the far end of the calendar where it has none."""
    never = Value(date(9999, 12, 31))
    return found.annotate(ends=Least(Coalesce(F("use_until"), never), Coalesce(F("cut_on"), never)))


def licences_in_rows(found: QuerySet[Licence]) -> QuerySet[Licence]:
    """With what a row names: licensee, shoot, number of pictures, whether a renewal is on its way."""
    renewal = Licence.objects.filter(renews=OuterRef("pk"), state__in=(*STANDING, LicenceState.OFFERED))
    return found.select_related("licensee", "shoot").annotate(
        pictures_count=number_of(Licence.licence_pictures), is_renewed=Exists(renewal)
    )


def licences_ending(on: date, *, days: int = standings.ENDS_SOON_DAYS) -> QuerySet[Licence]:
    """Licences whose last day is within so many days and that nobody has offered to renew; the nearest first.

    A licence cut short is no standing one, so the end of a standing one is its ``use_until``: an index finds it in a large archive.
    """
    near = Licence.objects.filter(_PLACED, use_until__gt=on, use_until__lte=on + timedelta(days=days + 1))
    found = licences_in_rows(near).select_related("supersedes__supersedes")
    return found.annotate(ends=F("use_until")).filter(is_renewed=False).order_by("use_until", "pk")


def licences_ending_before(on: date, *, after: date) -> QuerySet[Licence]:
    """Licences that ended, last day included, after one day and before another; the latest first."""
    over = Licence.objects.filter(_PLACED, use_until__gt=after, use_until__lte=on)
    return licences_in_rows(over).annotate(ends=F("use_until")).order_by("-use_until")


def _filters(on: date) -> dict[str, Q]:
    soon = on + timedelta(days=standings.ENDS_SOON_DAYS + 1)
    return {
        "ending": _PLACED & Q(ends__gt=on, ends__lte=soon),
        "running": _PLACED & Q(use_from__lte=on, ends__gt=on),
        "coming": _PLACED & Q(use_from__gt=on),
        "unplaced": Q(is_placed=False, state__in=STANDING),
        "offered": Q(state=LicenceState.OFFERED),
        "ended": Q(state__in=SHOWN_ON_A_PICTURE) & Q(ends__lte=on),
        "off": Q(state__in=OFF),
        "draft": Q(state=LicenceState.DRAFT),
    }


def licences_listed(on: date, *, text: str = "", state: str = "", client: Client | None = None) -> QuerySet[Licence]:
    """Licences whose number, licensee, shoot or picture number holds ``text``: those ending soon first, then offers, then the rest."""
    filters = _filters(on)
    found = with_ends(Licence.objects.select_related("licensee", "shoot"))
    if state:
        found = found.filter(filters[state])
    if client is not None:
        found = found.filter(Q(licensee=client) | Q(billing_party=client))
    for word in text.split():
        pictures = LicencePicture.objects.filter(Q(picture__number__icontains=word) | Q(picture__title__icontains=word))
        found = found.filter(
            Q(number__icontains=word)
            | Q(licensee__name__icontains=word)
            | Q(shoot__title__icontains=word)
            | Q(pk__in=pictures.values("licence"))
        )
    order = ("ending", "offered", "unplaced", "running", "coming")
    rank = Case(
        *(When(filters[name], then=Value(place)) for place, name in enumerate(order)),
        default=Value(len(order)),
        output_field=IntegerField(),
    )
    return found.annotate(rank=rank).order_by("rank", "ends", "-pk")


def licences_of_page(keys: Iterable[int]) -> list[Licence]:
    """The licences of one page of ``licences_listed``, by the keys it gives, with what ``licence_row`` reads."""
    of_row = ("number", "pictures_agreed", "is_own_promotion", "licensee__name", "shoot__title")
    return counted(in_order(Licence.objects.select_related("licensee", "shoot").only(*OF_GRANT, *of_row), keys))


def counts_on(on: date) -> dict[str, int]:
    """How many licences run, end soon without a renewal, are on offer and wait for their pictures."""
    filters = _filters(on)
    found = with_ends(Licence.objects.all()).aggregate(
        running=Count("pk", filter=filters["running"]),
        offered=Count("pk", filter=filters["offered"]),
        unplaced=Count("pk", filter=filters["unplaced"]),
    )
    return {**found, "ending": licences_ending(on).count()}


def counted(licences: Iterable[Licence]) -> list[Licence]:
    """The licences of one page with what ``licences_in_rows`` adds, asked for these rows alone: two queries, however long the list is."""
    rows = list(licences)
    keys = [row.pk for row in rows]
    pictures = Counter(LicencePicture.objects.filter(licence__in=keys).values_list("licence", flat=True))
    on_its_way = Licence.objects.filter(renews__in=keys, state__in=(*STANDING, LicenceState.OFFERED))
    renewed = set(on_its_way.values_list("renews", flat=True))
    for row in rows:
        row.pictures_count, row.is_renewed = pictures[row.pk], row.pk in renewed
    return rows


def licence_rows(licences: Iterable[Licence], on: date) -> list[dict[str, Any]]:
    """Each licence with how it stands and its use in words, for rows and tables."""
    return [licence_row(licence, on) for licence in licences]


def licence_row(licence: Licence, on: date) -> dict[str, Any]:
    grant = grant_of(licence, ())
    shown: Shown = shown_on(grant, on)
    return {
        "licence": licence,
        "shown": shown,
        "use": use_line(licence),
        "ends_soon": standings.ends_soon(grant, on) and licence.state in STANDING,
        "is_exclusive": grant.is_exclusive,
    }


def use_line(licence: Licence) -> str:
    """*Own promotion: website and social media, in Germany*."""
    line = shared_in_words(licence.use_classes, licence.use_media, licence.use_territories)
    if licence.is_own_promotion:
        line = "own promotion" + line.removeprefix("advertising")
    return with_capital(line)


def licence_in_full(pk: int) -> QuerySet[Licence]:
    """One licence with what its page names."""
    return (
        Licence.objects.filter(pk=pk)
        .select_related("shoot", "licensee", "billing_party", "renews", "supersedes")
        .prefetch_related(
            Prefetch("pictures", Picture.objects.order_by("number")),
            "renewed_by",
            "superseded_by",
        )
    )


def home_country(on: date) -> str:
    business = business_on(on)
    return business.country if business and business.country else "DE"


# Granting and placing


def pictures_to_place(licence: Licence) -> QuerySet[Picture]:
    """The pictures a licence may be placed on: those of its shoot, the chosen ones first, the left ones out."""
    return pictures_to_tick(licence.shoot) if licence.shoot else Picture.objects.none()


def pictures_to_tick(shoot: Shoot) -> QuerySet[Picture]:
    """The pictures of a shoot, the chosen ones first; those left out of the choice do not stand here."""
    is_chosen = Case(When(state=Picture.State.CHOSEN, then=0), default=1, output_field=IntegerField())
    return (
        with_people(Picture.objects.filter(shoot=shoot).exclude(state=Picture.State.LEFT))
        .annotate(chosen_first=is_chosen)
        .order_by("chosen_first", "captured_at", "number")
    )


def licences_with_other_boxes() -> list[Licence]:
    """Licences whose derived boxes are not those of their codes, days and state under the trees as they are now."""
    found = []
    for licence in Licence.objects.order_by("pk").prefetch_related("boxes").iterator(chunk_size=1000):
        stands = licence.state in BLOCKING
        wanted = {_box_key(asdict(box)) for box in boxes_of(grant_of(licence, ()))} if stands else set()
        kept = [_box_key(vars(box)) for box in licence.boxes.all()]
        if set(kept) != wanted or len(kept) != len(wanted):
            found.append(licence)
    return found


def _box_key(box: Mapping[str, Any]) -> tuple[Any, ...]:
    day_until = box["day_until"] or date.max
    return (box["class_bit"], box["medium_lo"], box["medium_hi"], box["territory_lo"], box["territory_hi"], box["day_from"], day_until)  # fmt: skip


def can_be_changed(licence: Licence, on: date) -> bool:
    """Paid, placed and not over."""
    return (
        licence.state == LicenceState.PAID
        and licence.is_placed
        and (licence.last_day is None or licence.last_day >= on)
    )


def shoots_with_pictures(client: Client | None = None) -> QuerySet[Shoot]:
    """Shoots with pictures to choose from, those of the client first, then the latest."""
    found = (
        Shoot.objects.annotate(pictures_count=number_of(Shoot.pictures))
        .filter(pictures_count__gt=0)
        .select_related("client")
    )
    latest_first = (F("first_on").desc(nulls_last=True), "-pk")
    if client is None:
        return found.order_by(*latest_first)
    is_own = Case(When(Q(client=client) | Q(licensee=client), then=0), default=1, output_field=IntegerField())
    return found.annotate(own_first=is_own).order_by("own_first", *latest_first)


def address_of(client: Client) -> tuple[str, str]:
    """Where to write to a client about a licence: who orders, else the address for invoices; and the name."""
    part = client.parts.filter(orders=True).exclude(person__email="").select_related("person").first()
    if part is not None:
        return part.person.email, part.person.name
    return client.invoice_email, client.name


def what_stands_against(
    *,
    licensee: Client,
    pictures: Iterable[Picture],
    use: Mapping[str, Any],
    first_day: date,
    last_day: date | None,
    exclusive_until: date | None = None,
    trade: str = "",
) -> dict[str, Any]:
    """Before anything is granted: days as they would be, clashes, selling on, releases and what the client holds already, in words.

    A constant number of queries. ``exclusive_until``: the first day it is not exclusive any more, where no months say it.

    Hand in pictures of ``with_people``. Without ``trade`` that of the licensee counts. Raises InvalidUse.
    """
    pictures, trade = list(pictures), trade or licensee.trade
    wanted = grant_wished(
        "wanted",
        licensee=str(licensee.pk),
        pictures=[str(picture.pk) for picture in pictures],
        use=use,
        first_day=first_day,
        last_day=last_day,
        exclusive_until=exclusive_until,
        trade=trade,
    )
    holdings = holdings_on(pictures, states=STATES_THAT_BLOCK)
    clashes, free_on = clashes_of(wanted, holdings)
    agreed = {
        shoot: selling_on_of(shoot).free_from(str(licensee.pk), trade or None)
        for shoot in {picture.shoot_id: picture.shoot for picture in pictures}.values()
    }
    closed = (shoot for shoot, day in agreed.items() if day is None or day > first_day)
    shoot = next(closed, pictures[0].shoot)  # told of the first whose house has not allowed it
    asked = Use(
        classes=wanted.classes,
        media=wanted.media,
        territories=wanted.territories,
        use_from=wanted.use_from,
        use_until=wanted.use_until,
        copies=copies_needed(use["use_copies"]),
    )
    told = told_of(pictures, asked, licensee=str(licensee.pk))
    return {
        "held": held_sentence(licensee.name, _lines_held(asked, wanted, holdings)),
        "first_day": first_day,
        "last_day": wanted.use_until - timedelta(days=1) if wanted.use_until else None,
        "clashes": clashes,
        "free_on": free_on,
        "is_for_sale": all(day is not None and day <= first_day for day in agreed.values()),
        "agreed_from": agreed[shoot],
        "uncleared": told[Verdict.NOT_CLEARED],
        "noted": told[Verdict.CLEARED_WITH_NOTE],
        "editorial": EDITORIAL,
        "shoot": shoot,
    }


def _lines_held(asked: Use, wanted: Grant, holdings: Sequence[Holding]) -> list[str]:
    """The licences of the client that hold the whole of a wish, in words."""
    needed = held_whole(asked, wanted, [each.grant for each in holdings])
    return [
        held_line(each.licence.number, use_line(each.licence), each.licence.last_day, is_paid=each.grant.is_paid)
        for each in holdings
        if each.grant.id in needed
    ]


def grant_start(wish_key: str, on: date) -> dict[str, Any]:
    """The use a grant form begins with, from a wish named in the address; empty where it names none."""
    return next((wish.use_values for wish in common_wishes(home_country(on)) if wish.key == wish_key), {})


def suggested_pictures(licence: Licence) -> list[int]:
    """The chosen pictures of the licence's shoot that it is not placed on yet, as many as were agreed."""
    there = licence.licence_pictures.count()
    chosen = licence.shoot.pictures.filter(state=Picture.State.CHOSEN).exclude(licences=licence).order_by("number")
    most = max(licence.pictures_agreed - there, 0) if licence.pictures_agreed else None
    return list(chosen.values_list("pk", flat=True)[:most])


def may_take_more(licence: Licence) -> bool:
    """True while a licence agreed with a shoot can be placed on further pictures."""
    if not licence.is_placed:
        return True
    return licence.counts_from_its_beginning and len(licence.pictures.all()) < licence.pictures_agreed


def can_be_renewed(licence: Licence) -> bool:
    """Agreed, placed, with an end, and no renewal on its way. Hand in what ``licence_in_full`` gives."""
    is_last = not any(each.state != LicenceState.DECLINED for each in licence.renewed_by.all())
    return bool(licence.state in STANDING and licence.use_until and licence.is_placed and is_last)


def sentences_of(licence: Licence) -> list[str]:
    """The words of a licence in English: as frozen, or as an offer would be granted today."""
    if "sentences" in licence.frozen:
        return list(licence.frozen.get("english") or licence.frozen.get("sentences") or [])
    words = LicenceWords(
        licensee=licence.licensee.name,
        classes=frozenset(licence.use_classes),
        media=frozenset(licence.use_media),
        territories=frozenset(licence.use_territories),
        use_from=licence.use_from,
        use_until=licence.use_until,
        months=licence.use_months,
        exclusivity=Exclusivity(licence.exclusivity),
    )
    return [use_sentence(words, "en")]


def are_copies_counted(licence: Licence) -> bool:
    """Whether one of its media counts copies, so that a number, or any number, is a term of it."""
    return IN_FORCE.media.is_counted(frozenset(licence.use_media))


def words_of(licence: Licence, pictures: Iterable[Picture], *, on: date) -> LicenceWords:
    """All that the sentences of a licence tell, agreed on that day; groups of countries are those of the day."""
    return LicenceWords(
        licensee=licence.licensee.name,
        classes=frozenset(licence.use_classes),
        media=frozenset(licence.use_media),
        territories=frozenset(licence.use_territories),
        use_from=licence.use_from,
        use_until=licence.use_until,
        months=licence.use_months,
        begins=Begins(licence.begins),
        begins_on=licence.begins_on,
        lapse_days=licence.lapse_days,
        exclusivity=Exclusivity(licence.exclusivity),
        exclusive_until=licence.exclusive_until,
        exclusive_months=licence.exclusive_months,
        trade=licence.trade or None,
        trade_names=tuple(trade_names(licence.trade).items()) if licence.exclusivity == Exclusivity.TRADE else (),
        copies=licence.use_copies,
        are_copies_unlimited=licence.use_copies is None and are_copies_counted(licence),
        embargo_until=licence.embargo_until,
        fee=None if licence.is_billed_with_shoot else licence.fee_net,
        currency=licence.currency,
        is_billed_with_shoot=licence.is_billed_with_shoot,
        fee_with=licence.frozen.get("fee_with", ""),
        credit_line=licence.credit_line,
        picture_count=licence.pictures_agreed,
        picture_names=tuple(picture.number for picture in pictures),
        groups=groups_within(licence.use_territories, on),
        licensor=current_business(on).name,
    )


# The paper


def is_in_force(licence: Licence) -> bool:
    """Agreed and not taken off again: cut short, a licence stands while a day of it is left before its cut."""
    if licence.state in STANDING:
        return True
    is_cut = licence.state in (LicenceState.REVOKED, LicenceState.SUPERSEDED)
    return is_cut and licence.is_placed and licence.use_from < licence.cut_on


def licence_for_paper(pk: int) -> QuerySet[Licence]:
    """One licence with the rows that its paper names."""
    return (
        Licence.objects.filter(pk=pk)
        .select_related("shoot", "licensee", "billing_party", "renews", "supersedes")
        .prefetch_related("superseded_by")
    )


def sender_of(business: BusinessProfile) -> dict[str, Any]:
    """Who writes a paper about licences, as its ``Heading`` holds it."""
    return {
        "is_demo": settings.BOOKS == "demo",
        "sender_name": business.name,
        "sender_strapline": business.what_we_do,
        "sender_address": tuple(business.address_lines),
        "sender_footer": tuple(line for line in (business.email, business.phone, business.website) if line),
        "photographer": business.legal_name,
    }


def licence_shown(licence: Licence, *, version: int, at: datetime) -> LicenceShown:
    """What the paper says at this moment, in the language it was agreed in. Hand in what ``licence_for_paper`` gives.

    The words are those frozen at the acceptance; days and pictures are as they stand now.
    """
    on = today(at)
    business, client, frozen = current_business(on), licence.licensee, licence.frozen
    pictures = _pictures_in_order(licence)
    language = frozen.get("language") or client.words_of_licence
    words = words_of(licence, pictures, on=on)
    groups = [
        FrozenGroup(each["name"], date.fromisoformat(each["on"]), frozenset(each["members"]))
        for each in frozen.get("groups", ())
    ]
    waits = licence.paid_on is None if licence.begins == Begins.ON_PAYMENT else licence.delivered_on is None
    head_seq, head_hash = evidence_head()
    return LicenceShown(
        number=licence.number,
        version=version,
        language=language,
        printed_on=on,
        **sender_of(business),
        agreed_on=date.fromisoformat(frozen["on"]) if licence.accepted_at and frozen.get("on") else None,
        to=client.in_the_window(language, home=business.country),
        licensee=client.name,
        pays=licence.billing_party.name if licence.billing_party_id != licence.licensee_id else "",
        shoot=licence.shoot.title if licence.shoot else "",
        renews=licence.renews.number if licence.renews else "",
        replaces=licence.supersedes.number if licence.supersedes else "",
        replaced_by=", ".join(each.number for each in licence.superseded_by.all() if each.state not in OFF),
        sentences=tuple(frozen.get("sentences") or licence_sentences(words, language)),
        prevails_in=frozen.get("prevails", {}).get("language", ""),
        prevailing=tuple(frozen.get("prevails", {}).get("sentences", ())),
        media=media_in_words(licence.use_media, language),
        territory=""
        if WORLD in licence.use_territories
        else territories_in_words(licence.use_territories, language, groups=groups or words.groups),
        is_aimed=words.media <= READ_EVERYWHERE,
        first_on=licence.use_from if licence.is_placed else None,
        last_on=licence.last_day if licence.is_placed else None,
        months=licence.use_months,
        is_counted_anew=bool(
            licence.is_placed
            and licence.state in STANDING
            and licence.counts_from_its_beginning
            and licence.begins != Begins.ON_DATE
            and waits
        ),
        is_cut_short=licence.cut_on is not None and licence.cut_on < (licence.use_until or date.max),
        embargo_until=licence.embargo_until,
        begins=licence.begins,
        begins_on=licence.begins_on,
        exclusivity=licence.exclusivity,
        exclusive_last_on=_last_exclusive_day(licence),
        exclusive_months=licence.exclusive_months,
        trade=frozen.get("trade", licence.trade) if frozen else words.trade_in(language),
        copies=licence.use_copies,
        credit_line=licence.credit_line,
        fee=None if licence.is_billed_with_shoot else licence.fee_net,
        currency=licence.currency,
        pictures=_pictures_shown(licence, pictures),
        pictures_agreed=licence.pictures_agreed,
        accepted_by=licence.accepted_by,
        signed_by=licence.signed_by if licence.exclusivity != Exclusivity.NONE else "",
        words_sha256=licence.frozen_sha256,
        head_seq=head_seq,
        head_hash=head_hash,
    )


def frames_for(shown: LicenceShown, most: int) -> dict[str, str]:
    """The first so many pictures as data addresses, by number; one whose file is no JPEG or PNG, or is lost, stays out."""
    wanted = {picture.number: picture.thumbnail for picture in shown.pictures[:most]}
    frames = {number: kept_picture_uri(StoredFile(sha256=sha256)) for number, sha256 in wanted.items()}
    return {number: uri for number, uri in frames.items() if uri}


def has_changed_since(paper: LicencePaper, licence: Licence) -> bool:
    """Whether days or pictures differ from what a kept paper says, asked without a query where the pictures are at hand."""
    kept = paper.snapshot
    days = [day.isoformat() if day else None for day in (licence.use_from, licence.last_day)]
    numbers = sorted(picture.number for picture in licence.pictures.all())
    if not licence.is_placed:
        days = [None, None]
    return [kept["first_on"], kept["last_on"]] != days or [each["number"] for each in kept["pictures"]] != numbers


def paper_facts(licence: Licence, evidence: Iterable[Evidence]) -> dict[str, Any]:
    """What the page of a licence says of its paper: the versions, the mails, and whether the client holds what stands now."""
    papers = list(licence.papers.all())
    sent = [row.payload["version"] for row in evidence if row.kind == "sent"]
    is_sent = bool(sent and papers) and sent[-1] == papers[-1].version and not has_changed_since(papers[-1], licence)
    return {
        "papers": papers,
        "mails": messages_about(subject_in_log(licence)),
        "is_in_force": is_in_force(licence),
        "was_sent": bool(sent),
        "is_sent": is_sent,
    }


def _last_exclusive_day(licence: Licence) -> date | None:
    """None where it is exclusive as long as it runs."""
    if licence.exclusive_until is None:
        return None
    last = licence.exclusive_until - timedelta(days=1)
    return min(last, licence.last_day) if licence.last_day else last


def _pictures_in_order(licence: Licence) -> list[Picture]:
    return list(with_people(Picture.objects.filter(licences=licence).select_related("thumbnail")).order_by("number"))


def _pictures_shown(licence: Licence, pictures: list[Picture]) -> tuple[PictureShown, ...]:
    """People and property are asked separately, so that the paper can say each for itself."""
    if not pictures:
        return ()
    use, licensee, subjects = use_of(licence), str(licence.licensee_id), subjects_of(pictures)
    return tuple(
        PictureShown(
            number=picture.number,
            title=picture.title,
            alt_text=picture.alt_text,
            thumbnail=picture.thumbnail.sha256,
            people=released(clear(use, licensee=licensee, people=subjects[picture.pk][0], properties=())),
            things=released(clear(use, licensee=licensee, people=(), properties=subjects[picture.pk][1])),
        )
        for picture in pictures
    )
