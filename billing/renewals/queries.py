from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from math import ceil
from typing import Any

from django.db.models import Q

from billing.estimates.models import Estimate, EstimateLine, LineKind
from billing.rates.card import Card
from billing.rates.fees import Exclusive, UseItem, copies_priced, retroactive_fee, usage_fee
from billing.rates.models import RateCard
from billing.rates.queries import usage_card, usage_kept, usage_money
from billing.rates.steps import LineInWords, lines_in_words
from billing.rates.working import fee_data
from billing.renewals.models import PricedFee
from billing.renewals.terms_offered import TermOffered, lengths, term_of, terms_offered
from clients.models import Client
from shared.dates import months_between
from shared.papers.kept import digest_of
from shared.words import formats
from shoots.found.models import FoundUse
from shoots.licences.conflicts import find_clashes
from shoots.licences.grants import Grant, grant_wished
from shoots.licences.models import Licence, LicencePicture
from shoots.licences.queries import (
    STANDING,
    STATES_THAT_BLOCK,
    holdings_on,
    names_shown,
    selling_on_of,
    use_line,
    with_people,
)
from shoots.licences.wording import clash_sentence, notes_in_words
from shoots.life.queries import renewed_use
from shoots.pictures.models import Picture
from shoots.pictures.queries import subjects_of
from shoots.releases.clearance import Verdict, clear
from shoots.uses.intended import ENDLESS, InvalidUse, Use, copies_as_asked, end_of_term


def card_digest(card: RateCard) -> str:
    """The SHA-256 of the usage fees of a rate card: two cards with it price alike."""
    return digest_of(usage_kept(card))


@dataclass(frozen=True, slots=True)
class Choice:
    """One length a licence may go on for, for so many of its pictures; ``key`` names length and fee as a form sends them."""

    offered: TermOffered
    pictures: tuple[Picture, ...]

    @property
    def fee(self) -> Decimal:
        return self.offered.fee.fee

    @property
    def months(self) -> int | None:
        return self.offered.months

    @property
    def key(self) -> str:
        return f"{self.months or ENDLESS}:{self.fee}"

    @property
    def term(self) -> str:
        return "without end" if self.months is None else formats.quantity(self.months, "month", "en")


@dataclass(frozen=True, slots=True)
class Ending:
    """A licence that ends, with what going on costs today. ``kept_out``: pictures that cannot go on as long as before, with the reasons.

    ``problem`` says why nothing is priced. ``carrier``: the licence its fee stands at, where it has none of its own.
    """

    licence: Licence
    use: str
    pictures: tuple[Picture, ...]
    kept_out: tuple[tuple[Picture, tuple[str, ...]], ...]
    choices: tuple[Choice, ...]
    working: tuple[LineInWords, ...]
    problem: str
    carrier: Licence | None

    @property
    def months_before(self) -> int:
        return months_of(self.licence)

    @property
    def began(self) -> date:
        return began(self.licence)

    def choice(self, months: int | None) -> Choice | None:
        return next((each for each in self.choices if each.months == months), None)


def months_of(licence: Licence) -> int:
    """How long a licence with an end runs, in months, with those whose place it took; begun ones count."""
    return months_until(began(licence), licence.use_until)


def began(licence: Licence) -> date:
    """The first day of the use: a change, a top-up or a part kept goes on with what was sold before."""
    while licence.supersedes is not None and licence.supersedes.use_from is not None:
        licence = licence.supersedes
    return licence.use_from


def months_until(first: date, until: date) -> int:
    """Months of [first, until), a begun one counted whole, at least one."""
    return max(1, ceil(months_between(first, max(first, until))))


def last_day_of(first: date, months: int | None) -> str:
    """The last day of a term as an address names it; empty without end. Raises InvalidUse."""
    until = end_of_term(first, months, path="months")
    return (until - timedelta(days=1)).isoformat() if until else ""


def use_of_licence(licence: Licence, *, use_from: date, months: int | None) -> UseItem:
    """What a licence grants as a use to price. Printed without a number of copies it grants any number."""
    return UseItem(
        frozenset(licence.use_classes), frozenset(licence.use_media), frozenset(licence.use_territories), use_from, months,
        copies_priced(copies_as_asked(licence.use_copies, licence.use_media)),
        Exclusive(licence.exclusivity), licence.exclusive_months,
    )  # fmt: skip


def endings_priced(licences: Iterable[Licence], card: RateCard) -> list[Ending]:
    """Licences of ``licences_ending`` with what going on costs by a rate card: a constant number of queries.

    Whether a picture can go on is asked as accepting the renewal will ask it: other licences, selling on, releases.
    """
    licences = list(licences)
    pictures = _pictures_of(licences)
    against = _Against(picture for each in pictures.values() for picture in each)
    carriers, usage = fee_carriers(licences), usage_card(card)
    return [_ending(each, pictures[each.pk], against, card, usage, carriers.get(each.pk)) for each in licences]


def _ending(
    licence: Licence, pictures: Sequence[Picture], against: "_Against", card: RateCard, usage: Card, carrier: Licence | None
) -> Ending:  # fmt: skip
    use = use_of_licence(licence, use_from=licence.use_until, months=months_of(licence))
    kept_out: dict[int | None, dict[int, tuple[str, ...]]] = {}
    for months in lengths(months_of(licence)):
        found = against.reasons(licence, pictures, months)
        if found is not None:  # a length that no calendar shows is not offered
            kept_out[months] = found
    problem = _problem(licence, card)
    choices: tuple[Choice, ...] = ()
    working: tuple[LineInWords, ...] = ()
    same = kept_out.get(use.months, {})
    going_on = [each for each in pictures if each.pk not in same]
    if not problem and use.months in kept_out and going_on:
        offered = [each for each in terms_offered(usage, len(going_on), use) if each.months in kept_out]
        choices = tuple(_choices(offered, pictures, kept_out, usage, use))
        working = lines_in_words(fee_data(offered[0].fee))
    told = tuple((each, same[each.pk]) for each in pictures if each.pk in same)
    return Ending(licence, use_line(licence), tuple(pictures), told, choices, working, problem, carrier)


def _choices(
    offered: Sequence[TermOffered], pictures: Sequence[Picture], kept_out: Mapping[int | None, Mapping[int, object]], usage: Card, use: UseItem
) -> Iterator[Choice]:  # fmt: skip
    """A longer term that fewer pictures can go on for is priced for these, and compared with nothing."""
    count = sum(each.pk not in kept_out[use.months] for each in pictures)
    for each in offered:
        free = tuple(picture for picture in pictures if picture.pk not in kept_out[each.months])
        if len(free) == count:
            yield Choice(each, free)
        elif free:
            yield Choice(TermOffered(each.months, term_of(usage, len(free), use, each.months)), free)


def _problem(licence: Licence, card: RateCard) -> str:
    paid_in = licence.licensee.currency
    if paid_in != card.currency:
        return f"{licence.licensee} is billed in {paid_in} and your fees are in {card.currency}. Price it by hand."
    return ""


def _pictures_of(licences: Sequence[Licence]) -> dict[int, list[Picture]]:
    rows = LicencePicture.objects.filter(licence__in=[each.pk for each in licences]).values_list("licence", "picture")
    pairs = list(rows)
    # Many pictures of few shoots: joined, each picture would bring its whole shoot and house along again.
    found = with_people(Picture.objects.filter(pk__in={picture for _, picture in pairs})).select_related(None)
    found = found.prefetch_related("shoot__licensee", "thumbnail")
    by_key = {picture.pk: picture for picture in found}
    held: dict[int, list[Picture]] = {each.pk: [] for each in licences}
    for licence, picture in pairs:
        held[licence].append(by_key[picture])
    return {key: sorted(each, key=lambda picture: picture.number) for key, each in held.items()}


class _Against:
    """All that could stand against going on with these pictures, asked once for all of them."""

    def __init__(self, pictures: Iterable[Picture]) -> None:
        known = {picture.pk: picture for picture in pictures}
        self.held = {each.grant.id: each for each in holdings_on(known.values(), states=STATES_THAT_BLOCK)}
        self.subjects, self.names = subjects_of(known.values()), names_shown(known.values())

    def reasons(
        self, licence: Licence, pictures: Sequence[Picture], months: int | None
    ) -> dict[int, tuple[str, ...]] | None:
        """Why which picture cannot go on for so long, by its key; None where the term has no last day in the calendar."""
        wanted = _wanted(licence, pictures, months)
        if wanted is None:
            return None
        told: dict[int, list[str]] = defaultdict(list)
        for clash in find_clashes(wanted, [each.grant for each in self.held.values()]):
            other = self.held[clash.held]
            words = clash_sentence(clash, number=other.licence.number, is_exclusive=other.grant.is_exclusive)
            for key in clash.pictures:
                told[int(key)].append(words)
        use = Use(
            classes=wanted.classes, media=wanted.media, territories=wanted.territories,
            use_from=wanted.use_from, use_until=wanted.use_until,
        )  # fmt: skip
        for picture in pictures:
            told[picture.pk] += [*_not_sold(picture, licence), *self._uncleared(picture, use, licence)]
        return {key: tuple(each) for key, each in told.items() if each}

    def _uncleared(self, picture: Picture, use: Use, licence: Licence) -> Iterator[str]:
        people, things = self.subjects[picture.pk]
        found = clear(use, licensee=str(licence.licensee_id), people=people, properties=things)
        if found.verdict is Verdict.NOT_CLEARED:
            yield f"{notes_in_words(found.notes, self.names)}."


def trade_of(licence: Licence) -> str:
    """The trade a licence goes on in: its own, else that of its client today; empty if not known."""
    return licence.trade_listed or licence.licensee.trade


def _not_sold(picture: Picture, licence: Licence) -> Iterator[str]:
    shoot = picture.shoot
    free_on = selling_on_of(shoot).free_from(str(licence.licensee_id), trade_of(licence) or None)
    if free_on is None or free_on > licence.use_until:
        when = f" before {formats.day(free_on, 'en')}" if free_on else ""
        yield f"{shoot.licensee} ordered it, and selling on is not agreed{when}."


def _wanted(licence: Licence, pictures: Sequence[Picture], months: int | None) -> Grant | None:
    if not pictures:
        return None
    try:
        wanted = grant_wished(
            f"renews-{licence.pk}",
            licensee=str(licence.licensee_id),
            pictures=[str(picture.pk) for picture in pictures],
            use=renewed_use(licence, months),
            first_day=licence.use_until,
            trade=trade_of(licence),
        )
    except InvalidUse:
        return None
    return None if wanted.use_until == date.max else wanted


def renewals_on_their_way(licences: Iterable[Licence]) -> dict[int, Licence]:
    """The renewal of each licence that has one on offer or agreed, by the key of the licence it renews."""
    found = Licence.objects.filter(renews__in=[each.pk for each in licences], state__in=(*STANDING, "offered"))
    return {each.renews_id: each for each in found}


def by_client(endings: Iterable[Ending]) -> list[tuple[Client, list[Ending]]]:
    """The same, a client's together, in the order of their first end."""
    found: dict[int, tuple[Client, list[Ending]]] = {}
    for each in endings:
        found.setdefault(each.licence.licensee_id, (each.licence.licensee, []))[1].append(each)
    return list(found.values())


# Which fee a licence was made with


def fee_carriers(licences: Iterable[Licence]) -> dict[int, Licence]:
    """Licences without a fee of their own whose use was priced in one line with another's: the licence that carries the fee, by key."""
    wanted = [each for each in licences if each.is_billed_with_shoot and not each.fee_net and _estimate_of(each)]
    if not wanted:
        return {}
    origins = {each.origin for each in wanted}
    together: dict[str, list[Licence]] = defaultdict(list)
    for each in Licence.objects.filter(origin__in=origins).order_by("pk"):
        together[each.origin].append(each)
    lines = _lines_of({key for each in wanted if (key := _estimate_of(each))})
    found = {}
    for each in wanted:
        beside = together[each.origin]
        place = [one.pk for one in beside].index(each.pk)
        groups = lines.get(_estimate_of(each) or 0, [])
        covered = sorted(index for group in groups for index in group)  # an optional use has a line of its own
        if place >= len(covered) or covered != list(range(len(covered))):
            groups = [list(range(len(beside)))]  # a fee typed by hand stands at the first
        carrier = beside[next(min(group) for group in groups if place in group)]
        if carrier.pk != each.pk and carrier.fee_net:
            found[each.pk] = carrier
    return found


def _estimate_of(licence: Licence) -> int | None:
    kind, _, key = licence.origin.partition(":")
    return int(key) if kind == "estimate" and key.isdecimal() else None


def _lines_of(estimates: set[int]) -> dict[int, list[list[int]]]:
    """Which uses stand in one line of the fee, by estimate."""
    options = dict(Estimate.objects.filter(pk__in=estimates).values_list("accepted_option", "pk"))
    found = EstimateLine.objects.filter(option__in=[key for key in options if key], kind=LineKind.USAGE).order_by(
        "-order", "-pk"
    )
    return {
        options[line.option_id]: [list(each["items"]) for each in line.figures["lines"]]
        for line in found
        if line.figures.get("lines")
    }


def priced_fee_of(licence: Licence) -> PricedFee | None:
    """The fee a licence was made with, as the card reckoned it: the last one handed on to it before it was made."""
    handed = Q(found__licence=licence, case="found")
    if licence.renews_id:
        handed |= Q(of_licence=licence.renews_id, case="renewal")
    if licence.supersedes_id:
        handed |= Q(of_licence=licence.supersedes_id, case="change")
    earlier = PricedFee.objects.filter(handed, licence=None, made_at__lte=licence.made_at)
    return PricedFee.objects.filter(licence=licence).first() or earlier.first()


def fee_panel(licence: Licence) -> dict[str, Any]:
    """What the page of a licence says of its fee."""
    priced = priced_fee_of(licence)
    return {
        "licence": licence,
        "carrier": fee_carriers([licence]).get(licence.pk),
        "priced": priced,
        "is_as_priced": priced is not None and priced.fee == licence.fee_net and priced.currency == licence.currency,
        "working": lines_in_words(priced.working) if priced else (),
    }


# A use found


@dataclass(frozen=True, slots=True)
class PastUse:
    """What a licence for a use found costs: for its days up to today, and with a year to come. ``fee`` is as if asked for in time."""

    last_on: date
    fee: Decimal
    to_pay: Decimal
    working: tuple[LineInWords, ...]


def past_use_priced(found: FoundUse, pictures: int, card: RateCard, *, last_on: date) -> PastUse:
    """The fee for a use found from its first known day to ``last_on``, by a rate card, asking late at the same price as in time.

    Raises CannotPrice (copies not known), InvalidItem (use not known).
    """
    usage, item = usage_card(card), use_of_found(found, last_on=last_on)
    fee = usage_fee(usage, pictures, [item])
    return PastUse(last_on, fee.fee, retroactive_fee(usage, fee.fee), lines_in_words(fee_data(fee)))


def use_of_found(found: FoundUse, *, last_on: date) -> UseItem:
    """A use seen as one to price, begun months counting whole. Raises InvalidItem."""
    first = found.since or found.seen_on
    months = months_until(first, last_on + timedelta(days=1))
    return UseItem(
        frozenset(found.use_classes), frozenset(found.use_media), frozenset(found.use_territories), first, months, found.use_copies
    )  # fmt: skip


def handling_of(card: RateCard) -> Decimal:
    """What a licence asked for late costs on top."""
    return usage_money(card)["handling"]
