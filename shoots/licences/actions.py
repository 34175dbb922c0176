from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import Q

from clients.actions import keep_trades
from clients.models import Client
from shared.business.queries import current_business, today
from shared.errors import Refusal
from shared.evidence.actions import conceal, record_evidence
from shared.evidence.queries import evidence_about
from shared.files.actions import keep_file
from shared.files.models import StoredFile
from shared.numbers.actions import take_number
from shared.outbox.actions import queue_mail
from shared.outbox.models import Message
from shared.papers.kept import as_json, digest_of
from shared.papers.printing import kept_picture_uri
from shared.states import MoveRefused, move
from shared.words import formats
from shoots.brief.actions import lock_shoots
from shoots.brief.models import Exclusivity, IntendedUse, Shoot
from shoots.licences.boxes import boxes_of
from shoots.licences.conflicts import Left
from shoots.licences.grants import Grant
from shoots.licences.models import Begins, Licence, LicenceBox, LicencePaper, LicencePicture, LicenceState
from shoots.licences.papers import FRAMES_SHOWN, licence_pdf
from shoots.licences.queries import (
    PAST_USE,
    address_of,
    clashes_of,
    delivered_on_of,
    frames_for,
    grant_of,
    holdings_on,
    is_in_force,
    left_of,
    licence_for_paper,
    licence_shown,
    licences_with_other_boxes,
    selling_on_of,
    told_of_a_past_use,
    uncleared,
    use_of,
    with_people,
    words_of,
)
from shoots.licences.snapshot import LicenceShown, says_the_same
from shoots.licences.states import BLOCKING, LICENCE_MOVES, lapse_day
from shoots.licences.wording import ClashInWords, way_out
from shoots.pictures.models import Picture
from shoots.uses import intended
from shoots.uses.actions import keep_first_trees
from shoots.uses.sentences import licence_sentences
from shoots.uses.shipped import IN_FORCE

USE_FIELDS = ("is_own_promotion", "use_classes", "use_media", "use_territories", "use_months", "exclusivity", "exclusive_months", "use_copies")  # fmt: skip
CODES = ("use_classes", "use_media", "use_territories")
STATES_THAT_BLOCK = tuple(state.value for state in BLOCKING)
CHANGE, PART_GIVEN_UP, TOP_UP = "change", "part_given_up", "top_up"
AGREED = (LicenceState.ACCEPTED, LicenceState.PAID)


class LicenceConflict(Refusal):
    """Another licence stands against this one. The sentences name licences by number, never the other client."""

    def __init__(self, clashes: list[ClashInWords], free_on: date | None, left: Iterable[Left] = ()) -> None:
        self.clashes, self.free_on, self.left = clashes, free_on, tuple(left)
        more = f" {len(clashes) - 3} more stand against it." if len(clashes) > 3 else ""
        super().__init__(
            " ".join(clash.sentence for clash in clashes[:3]) + more,
            "Nothing was granted.",
            way_out(free_on, self.left),
        )


class NotForSale(Refusal):
    """The client who ordered the shoot has not agreed that its pictures are sold to others."""

    def __init__(self, shoot: Shoot, free_on: date | None) -> None:
        self.shoot, self.free_on = shoot, free_on
        super().__init__(
            f"{shoot.licensee} ordered {shoot}, and selling on is not agreed"
            + (f" before {formats.day(free_on, 'en')}." if free_on else " for this client."),
            "Nothing was granted or offered.",
            f"Ask {shoot.licensee}, write down what they said on the page of the shoot, then grant it.",
        )


class NotCleared(Refusal):
    """People or properties in the pictures are not released for this use."""

    def __init__(self, missing: list[tuple[Picture, str]]) -> None:
        self.missing = missing
        told = " ".join(f"{picture.number}: {words}." for picture, words in missing[:3])
        more = f" {len(missing) - 3} more are not cleared." if len(missing) > 3 else ""
        super().__init__(
            f"Not released for this use. {told}{more}",
            "Nothing was granted.",
            "Say who is in the pictures and ask for the release, or leave these pictures out.",
        )


class NoCell(Refusal):
    """A licence on nothing: no picture, or no day."""

    def __init__(self, what: str, to_do: str) -> None:
        super().__init__(what, "Nothing was granted.", to_do)


class LicenceUnsigned(Refusal):
    """An exclusive licence needs the photographer's own signature."""

    def __init__(self) -> None:
        super().__init__(
            "An exclusive licence needs your own signature.",
            "Nothing was granted.",
            "Type your full name where it asks for it.",
        )


class CannotRenew(Refusal):
    """Only a licence that was agreed, placed and has an end can be renewed."""

    def __init__(self) -> None:
        super().__init__(
            "This licence has no end to renew from.",
            "Nothing was changed.",
            "Grant a new licence from the picture’s page instead.",
        )


class CannotChange(Refusal):
    """A licence in this state, or in this way, cannot be changed."""

    def __init__(self, what: str, to_do: str) -> None:
        super().__init__(what, "The licence is as it was.", to_do)


class HeldAlready(Refusal):
    """The client has the same licence already, offered or agreed, on days that meet."""

    def __init__(self, licence: Licence) -> None:
        super().__init__(
            f"{licence.licensee} has this already: {licence.number} is the same use of these pictures on some of these days.",
            "Nothing was granted or offered.",
            "Choose other days, pictures or uses. Renew it to go on after its last day.",
        )


class NoCopies(Refusal):
    """Nobody makes a copy fewer than none."""

    def __init__(self) -> None:
        super().__init__(
            "A report has at least one copy.",
            "The copies reported before are kept as they were.",
            "Enter how many copies were made since the last report.",
        )


class NothingToReport(Refusal):
    """Copies are made under what is agreed."""

    def __init__(self, licence: Licence) -> None:
        super().__init__(
            f"{licence.number} is {licence.get_state_display().lower()}, not agreed: no copy can be made under it yet.",
            "No copies were recorded.",
            "Enter the client’s yes first. If copies were made already, record a use found.",
        )


class NotInForce(Refusal):
    """There is no paper of what grants nothing."""

    def __init__(self, licence: Licence) -> None:
        super().__init__(
            f"{licence.number} is {licence.get_state_display().lower()}: it grants nothing.",
            "No paper was made, nothing was sent.",
            "Send it once the client has agreed."
            if licence.state in (LicenceState.DRAFT, LicenceState.OFFERED)
            else "Papers made before are on its page.",
        )


# Agreed before there are pictures


@transaction.atomic
def agree_licence(
    *,
    shoot: Shoot,
    licensee: Client,
    billing_party: Client,
    use: IntendedUse,
    pictures_agreed: int,
    begins: str,
    begins_on: date | None,
    lapse_days: int,
    fee_net: Decimal,
    currency: str,
    origin: str,
    at: datetime,
    accepted_by: str,
    order_number: str = "",
    language: str = "en",
    supersedes: Licence | None = None,
    signed_by: str = "",
    fee_with: Licence | None = None,
) -> Licence:
    """A licence the client has accepted before there are pictures: it is *unplaced* and covers nothing yet.

    ``use`` has the fields of ``IntendedUse`` (an option, a shoot); any number of copies is a licence without a limit. The words, codes and trees are frozen with their SHA-256.
    ``supersedes``: the licence this one takes the place of. Where it is placed the client goes on using its pictures, up to the day
    before this one covers something; unplaced, it ends today. ``signed_by``: the photographer's name under what was
    accepted, as an exclusive licence needs it. ``fee_with``: the licence of the same yes whose fee holds this one's too, named in the words. Exclusive, it holds every picture of the shoot from now on against others; and two
    unplaced licences of different clients, one of them exclusive, never stand on one shoot: the plain one could not be placed on
    any picture. Raises LicenceConflict (the other one's number, what of it is free), NotForSale.
    """
    # before the trade, the number and the trees: whoever offers or accepts takes them in this order
    lock_shoots(shoot.pk)
    trade = _listed(licensee.trade)
    on = today(at)
    licence = Licence(
        number=take_number("licence", on=on),
        shoot=shoot,
        licensee=licensee,
        billing_party=billing_party,
        trade=trade,
        trade_listed=trade,
        state=LicenceState.ACCEPTED,
        pictures_agreed=pictures_agreed,
        begins=begins,
        begins_on=begins_on,
        lapse_days=lapse_days,
        fee_net=fee_net,
        currency=currency,
        order_number=order_number,
        tree_version=IN_FORCE.media.version,
        supersedes=supersedes,
        origin=origin,
        made_at=at,
        accepted_at=at,
        accepted_by=accepted_by,
        signed_by=signed_by,
        **{name: getattr(use, name) for name in USE_FIELDS},
    )
    licence.use_copies = licence.use_copies or None
    if fee_with is not None:
        licence.frozen = {"fee_with": fee_with.number}
    if supersedes is not None:
        supersede_licence(supersedes, cut_on=_end_of_the_one_before(supersedes, on=on), at=at)
    _freeze(licence, (), language=language, on=on)
    locked = Shoot.objects.select_related("licensee").get(pk=shoot.pk)  # what was handed in may be older than the lock
    agreed_with_the_house = selling_on_of(locked)
    if agreed_with_the_house.free_from(str(licensee.pk), licence.trade_listed or None) is None:
        raise NotForSale(shoot, None)
    pictures = _lock_pictures(shoot.pictures.all(), shoots=[shoot.pk])
    _refuse_clashes(licence, pictures, shoots=[shoot.pk])
    licence.save()
    record_evidence(
        "accepted",
        subject=_subject(licence),
        payload={
            "number": licence.number,
            "origin": origin,
            "words": licence.frozen_sha256,
            "by": conceal(accepted_by),
        },
        at=at,
    )
    return licence


@transaction.atomic
def place_licence(licence: Licence, *, pictures: Iterable[Picture], first_day: date, at: datetime) -> Licence:
    """Put an agreed licence on pictures: from now on it covers days and blocks others by them.

    Its term counts from ``first_day``; placed once, further pictures join its days, up to the number agreed. The pictures are locked,
    conflicts, selling on and releases checked. Where the client has the pictures already, use *on delivery* begins with the day of
    that delivery. Raises NoCell (a last day that is over among the reasons), LicenceConflict, NotForSale, NotCleared, MoveRefused.
    """
    pictures = _lock_pictures(pictures, shoots=[licence.shoot_id] if licence.shoot_id else [])
    licence = Licence.objects.select_for_update().get(pk=licence.pk)
    if licence.state not in AGREED:
        raise MoveRefused("licence", licence.get_state_display().lower(), "placed")
    there = set(licence.licence_pictures.values_list("picture_id", flat=True))
    new = [picture for picture in pictures if picture.pk not in there]
    _must_be_placeable(licence, new, there)
    if not licence.is_placed:
        _count_days(licence, first_day)
        licence.is_placed = True
    _must_not_be_over(licence, on=today(at))
    _refuse_what_stands_against(licence, new)
    licence.save(update_fields=["use_from", "use_until", "exclusive_until", "is_placed", "changed_at"])
    LicencePicture.objects.bulk_create([LicencePicture(licence=licence, picture=picture) for picture in new])
    _write_boxes(licence)
    payload = {"number": licence.number, "pictures": [each.number for each in new], **_days(licence)}
    record_evidence("placed", subject=_subject(licence), payload=payload, at=at)
    _take_over(licence, at=at)
    return _begun_where_delivered(licence, at=at)


def _must_be_placeable(licence: Licence, new: list[Picture], there: set[int]) -> None:
    if not new:
        raise NoCell("No picture is ticked.", "Tick the pictures that the client may use.")
    if any(picture.shoot_id != licence.shoot_id for picture in new):
        raise NoCell("A picture of another shoot is ticked.", "Tick pictures of the shoot this licence was agreed for.")
    too_many = len(new) + len(there) - licence.pictures_agreed
    if licence.pictures_agreed and too_many > 0:
        raise NoCell(
            f"The client agreed to {licence.pictures_agreed} pictures, {len(new) + len(there)} are ticked.",
            f"Take {too_many} out, or agree on more pictures with a new estimate.",
        )


# Granted on pictures that are there


@transaction.atomic
def offer_licence(*, write_to_client: bool = False, at: datetime, **terms: Any) -> Licence:
    """Offer a licence on pictures: ``licensee``, ``pictures``, ``use``, ``fee_net``, from ``first_day`` for the months of ``use`` or up to
    and including ``last_day``; the other ``terms`` are those of ``_write_up``.

    An offer covers nothing and blocks nobody; ``accept_licence`` checks and grants. It is billed by itself at the month's end. Raises
    NoCell, NotForSale, HeldAlready, InvalidUse.
    """
    return _offered(_write_up(LicenceState.OFFERED, at=at, **terms), write_to_client=write_to_client, at=at)


@transaction.atomic
def draft_licence(*, at: datetime, **terms: Any) -> Licence:
    """Keep an offer that is not made yet, with the same ``terms`` and the same refusals. Nobody is told, nothing is held."""
    licence = _write_up(LicenceState.DRAFT, at=at, **terms)
    record_evidence("drafted", subject=_subject(licence), payload={"number": licence.number, **_days(licence)}, at=at)
    return licence


@transaction.atomic
def offer_draft(licence: Licence, *, write_to_client: bool = False, at: datetime) -> Licence:
    """Make the offer that was kept as a draft. Raises NoCell once its last day is over, NotForSale, HeldAlready, MoveRefused."""
    pictures = _lock_pictures(licence.pictures.all())
    licence = Licence.objects.select_for_update().get(pk=licence.pk)
    if licence.state == LicenceState.DRAFT:
        if licence.origin != PAST_USE:
            _must_not_be_over(licence, on=today(at))
        _refuse_what_is_not_for_sale(licence, pictures)
        _refuse_a_second_one(licence, pictures)
    move(licence, LicenceState.OFFERED, moves=LICENCE_MOVES, noun="licence")
    return _offered(licence, write_to_client=write_to_client, at=at)


@transaction.atomic
def discard_draft(licence: Licence, *, at: datetime) -> None:
    """Delete a draft: nobody was told of it. Its number is not given again. A draft for the days after it stays, by itself.

    Raises MoveRefused once it is offered, CannotChange once a licence that goes on from it is.
    """
    licence = Licence.objects.select_for_update().get(pk=licence.pk)
    if licence.state != LicenceState.DRAFT:
        raise MoveRefused("licence", licence.get_state_display().lower(), "deleted")
    following = licence.renewed_by.select_for_update().order_by("pk")
    for after in following:
        if after.state != LicenceState.DRAFT:
            raise CannotChange(
                f"{after.number} goes on from {licence.number} and is {after.get_state_display().lower()}.",
                "Offer this draft too, or leave it as it is.",
            )
    licence.renewed_by.update(renews=None, origin="grant")
    record_evidence("discarded", subject=_subject(licence), payload={"number": licence.number}, at=at)
    # The room of uses found lies above: its rows are reached from the licence, by name.
    licence.found_uses.update(licence=None)
    licence.delete()


def _offered(licence: Licence, *, write_to_client: bool, at: datetime) -> Licence:
    record_evidence("offered", subject=_subject(licence), payload={"number": licence.number, **_days(licence)}, at=at)
    if write_to_client:
        _write_to_client(licence, "licence_offered", at=at)
    return licence


def _write_up(
    state: str,
    *,
    licensee: Client,
    pictures: Iterable[Picture],
    use: Mapping[str, Any],
    first_day: date,
    last_day: date | None = None,
    fee_net: Decimal,
    begins: str = Begins.ON_PAYMENT,
    lapse_days: int = 30,
    credit_line: str = "",
    embargo_until: date | None = None,
    billing_party: Client | None = None,
    order_number: str = "",
    renews: Licence | None = None,
    supersedes: Licence | None = None,
    exclusive_until: date | None = None,
    origin: str = "",
    trade: str = "",
    number: str = "",
    reason: str = "",
    at: datetime,
) -> Licence:
    """The row of a draft or an offer, checked. ``exclusive_until``: the first day it is not exclusive any more, where that is a day and
    no number of months. ``trade``: the licensee's for this use, where it is not the one they are listed with; a new one goes on the
    list. ``number``: taken already in this transaction. ``reason``: what was seen, of a use that happened.
    """
    pictures = list(pictures)
    if not pictures:
        raise NoCell("No picture is ticked.", "Tick the pictures that the client may use.")
    on = today(at)
    shoots = {picture.shoot_id for picture in pictures}
    # before the trade, the number and the trees: whoever agrees or accepts takes them in this order
    lock_shoots(*shoots)
    trade = _listed(trade or licensee.trade)
    licence = Licence(
        number=number or take_number("licence", on=on),
        shoot=pictures[0].shoot if len(shoots) == 1 else None,
        licensee=licensee,
        billing_party=billing_party or licensee,
        trade=trade,
        trade_listed=trade,
        state=state,
        pictures_agreed=len(pictures),
        is_placed=True,
        begins=begins,
        begins_on=first_day if begins == Begins.ON_DATE else None,
        lapse_days=lapse_days,
        embargo_until=embargo_until,
        credit_line=credit_line,
        fee_net=fee_net,
        currency=licensee.currency,
        is_billed_with_shoot=False,
        order_number=order_number,
        tree_version=IN_FORCE.media.version,
        frozen={"reason": reason} if reason else {},
        renews=renews,
        supersedes=supersedes,
        origin=origin or ("renewal" if renews else "grant"),
        made_at=at,
        **{name: use[name] for name in USE_FIELDS},
    )
    licence.use_copies = licence.use_copies or None
    _count_days(licence, first_day, last_day=last_day)
    licence.exclusive_until = exclusive_until or licence.exclusive_until
    _must_leave_a_day(licence)
    if origin != PART_GIVEN_UP:  # less of what was sold is asked of nobody
        _refuse_what_is_not_for_sale(licence, pictures)
    _refuse_a_second_one(licence, pictures)
    grant_of(licence, [str(picture.pk) for picture in pictures])  # refuses a licence without a cell
    licence.save()
    LicencePicture.objects.bulk_create([LicencePicture(licence=licence, picture=picture) for picture in pictures])
    return licence


@transaction.atomic
def accept_licence(
    licence: Licence, *, accepted_by: str, signed_by: str = "", write_to_client: bool = False, at: datetime
) -> Licence:
    """The client has said yes to an offer: lock its pictures, check again, freeze its words. The later of two rivals is refused.

    Without a fee it is paid at once. Of a use that happened rivals and missing releases stop nothing: they are frozen as warnings.
    Raises NoCell once its last day is over, LicenceConflict, NotForSale, NotCleared, LicenceUnsigned, MoveRefused.
    """
    pictures = _lock_pictures(licence.pictures.all())
    licence = Licence.objects.select_for_update().get(pk=licence.pk)
    keep_trades([licence.trade_listed])  # not joined with another between the question of clashes and the yes
    if licence.state != LicenceState.OFFERED:
        raise MoveRefused("licence", licence.get_state_display().lower(), LicenceState.ACCEPTED)
    if licence.exclusivity != Exclusivity.NONE and not signed_by:
        raise LicenceUnsigned
    also_kept: dict[str, Any] = {}
    if licence.origin == PAST_USE:
        _refuse_what_is_not_for_sale(licence, pictures)
        also_kept = {**licence.frozen, "warnings": told_of_a_past_use(licence, pictures)}
    else:
        _must_not_be_over(licence, on=today(at))
        _refuse_what_stands_against(licence, pictures)
    _say_yes(licence, pictures, accepted_by=accepted_by, signed_by=signed_by, at=at, also_kept=also_kept)
    licence = _begun_where_delivered(licence, at=at)
    if not licence.fee_net:
        start_licence(licence, paid_on=today(at), at=at)
    if write_to_client:
        _write_to_client(licence, "licence_granted", at=at)
    return licence


@transaction.atomic
def grant_licence(
    *, accepted_by: str, signed_by: str = "", write_to_client: bool = False, at: datetime, **terms: Any
) -> Licence:
    """Grant a licence the client has agreed to already: offered and accepted in one. ``terms`` are those of ``offer_licence``."""
    licence = offer_licence(at=at, **terms)
    return accept_licence(licence, accepted_by=accepted_by, signed_by=signed_by, write_to_client=write_to_client, at=at)


@dataclass(frozen=True, slots=True)
class PastGrant:
    """A licence for a use that is over, with what stood against it: sentences for the photographer, empty where nothing did."""

    licence: Licence
    warnings: tuple[str, ...]


@transaction.atomic
def offer_for_past_use(
    *,
    classes: Iterable[str],
    media: Iterable[str],
    territories: Iterable[str],
    first_day: date,
    last_day: date,
    copies: int | None,
    reason: str,
    is_draft: bool = False,
    write_to_client: bool = False,
    at: datetime,
    **terms: Any,
) -> Licence:
    """Offer (or draft) a licence, never an exclusive one, for a use that happened: both days are over or today, both count.

    ``copies`` None is unlimited; ``reason`` says what was seen; ``terms`` are pictures, licensee, fee_net, billing_party and
    order_number. The use is a fact, so a rival licence and people who are not released stop nothing: ``accept_licence`` freezes them
    as warnings beside the reason (``frozen["warnings"]``, ``frozen["reason"]``), so that the hash in the evidence log holds them. What
    the shoot's client has not allowed to be sold is refused even so. It is billed by itself, covers once it is paid and gives no right
    after its last day; what is still to come is an ordinary licence. Raises NoCell (days to come, a last day before the first, no
    picture), NotForSale, HeldAlready, InvalidUse.
    """
    if last_day > today(at):
        raise NoCell(
            f"{formats.day(last_day, 'en')} is still to come: a use that happened ends today at the latest.",
            "Choose today or an earlier last day, and grant the days to come with a licence of their own.",
        )
    use = {
        "is_own_promotion": False,
        "use_classes": sorted(classes),
        "use_media": sorted(media),
        "use_territories": sorted(territories),
        "use_months": None,
        "exclusivity": Exclusivity.NONE.value,
        "exclusive_months": None,
        "use_copies": copies,
    }
    known: dict[str, Any] = {
        "use": use,
        "first_day": first_day,
        "last_day": last_day,
        "origin": PAST_USE,
        "reason": reason,
        "at": at,
    }
    if is_draft:
        return draft_licence(**known, **terms)
    return offer_licence(**known, **terms, write_to_client=write_to_client)


@transaction.atomic
def grant_for_past_use(*, accepted_by: str, write_to_client: bool = False, at: datetime, **terms: Any) -> PastGrant:
    """Offered and accepted in one, where the client has said yes already. ``terms`` are those of ``offer_for_past_use``."""
    licence = offer_for_past_use(at=at, **terms)
    licence = accept_licence(licence, accepted_by=accepted_by, write_to_client=write_to_client, at=at)
    return PastGrant(licence, tuple(licence.frozen["warnings"]))


@transaction.atomic
def renew_licence(
    licence: Licence,
    *,
    months: int | None,
    fee_net: Decimal,
    first_day: date | None = None,
    pictures: Iterable[Picture] | None = None,
    write_to_client: bool = False,
    at: datetime,
) -> Licence:
    """Offer the same use on the same pictures for ``months`` more (None: without end), from the day after the last. The old licence stays as it is.

    ``first_day`` begins it later: the days between are covered by neither. ``pictures``: only these of its own. Raises CannotRenew.
    """
    if licence.state not in AGREED or not licence.is_placed or licence.use_until is None:
        raise CannotRenew
    use = {name: getattr(licence, name) for name in USE_FIELDS}
    exclusive = licence.exclusive_months
    is_shorter = exclusive is not None and (months is None or exclusive <= months)
    wanted = licence.pictures.select_related("shoot").order_by("pk")
    return offer_licence(
        licensee=licence.licensee,
        billing_party=licence.billing_party,
        pictures=wanted if pictures is None else wanted.filter(pk__in=[each.pk for each in pictures]),
        use={**use, "use_months": months, "exclusive_months": exclusive if is_shorter else None},
        first_day=max(first_day, licence.use_until) if first_day else licence.use_until,
        fee_net=fee_net,
        begins=Begins.ON_PAYMENT,
        credit_line=licence.credit_line,
        order_number="",
        renews=licence,
        trade=licence.trade_listed,
        write_to_client=write_to_client,
        at=at,
    )


@transaction.atomic
def change_licence(
    licence: Licence,
    *,
    use: Mapping[str, Any],
    pictures: Iterable[Picture],
    last_day: date | None,
    fee_net: Decimal,
    accepted_by: str,
    signed_by: str = "",
    order_number: str = "",
    write_to_client: bool = False,
    at: datetime,
) -> Licence:
    """A new licence takes the place of a paid one: ``use`` (its months apart) on ``pictures`` from today to ``last_day``, None without end.

    The fee is handed in. Until it is paid the client goes on under the old one, then that one ends, the same day; without a fee at
    once. Exclusive as before, it stays so up to the same day. Copies reported before count on. Raises CannotChange and what
    ``accept_licence`` raises; then nothing is changed.
    """
    return _succeed(
        licence, CHANGE, use=use, pictures=pictures, last_day=last_day, fee_net=fee_net,
        accepted_by=accepted_by, signed_by=signed_by, order_number=order_number, write_to_client=write_to_client, at=at,
    )  # fmt: skip


@transaction.atomic
def give_up_part(
    licence: Licence,
    *,
    classes: Iterable[str],
    media: Iterable[str],
    territories: Iterable[str],
    pictures: Iterable[Picture],
    last_day: date | None,
    accepted_by: str,
    write_to_client: bool = False,
    at: datetime,
) -> Licence:
    """The client keeps this of a paid licence and gives the rest up from today on: no money goes back.

    What is kept lies wholly inside what was held. It is asked of nobody again: less of what was sold clashes with no one. Raises
    CannotChange (something is wider than before, or nothing is given up).
    """
    kept = list(pictures)
    use = {name: getattr(licence, name) for name in USE_FIELDS} | {
        "use_classes": sorted(classes),
        "use_media": sorted(media),
        "use_territories": sorted(territories),
    }
    _must_be_a_part(licence, use, kept, last_day)
    if not IN_FORCE.media.is_counted(frozenset(use["use_media"])):
        use["use_copies"] = None  # what was counted is given up
    return _succeed(
        licence, PART_GIVEN_UP, use=use, pictures=kept, last_day=last_day, fee_net=Decimal(0),
        accepted_by=accepted_by, signed_by=licence.signed_by, write_to_client=write_to_client, at=at,
    )  # fmt: skip


@transaction.atomic
def top_up_copies(
    licence: Licence,
    *,
    copies: int,
    fee_net: Decimal,
    accepted_by: str,
    order_number: str = "",
    write_to_client: bool = False,
    at: datetime,
) -> Licence:
    """So many copies more than a paid licence allows: everything else stays, and the copies reported so far count on. Raises CannotChange."""
    if licence.use_copies is None:
        raise CannotChange(f"{licence.number} allows any number of copies.", "There is nothing to top up.")
    if copies < 1:
        raise CannotChange("A top-up has at least one copy.", "Enter how many copies are to be made besides.")
    use = {name: getattr(licence, name) for name in USE_FIELDS} | {"use_copies": licence.use_copies + copies}
    return _succeed(
        licence, TOP_UP, use=use, pictures=licence.pictures.all(), last_day=licence.last_day, fee_net=fee_net,
        accepted_by=accepted_by, signed_by=licence.signed_by, order_number=order_number, write_to_client=write_to_client, at=at,
    )  # fmt: skip


def _succeed(
    licence: Licence,
    origin: str,
    *,
    use: Mapping[str, Any],
    pictures: Iterable[Picture],
    last_day: date | None,
    accepted_by: str,
    signed_by: str,
    write_to_client: bool,
    at: datetime,
    **terms: Any,
) -> Licence:
    """The licence that takes the place of a paid one, offered and agreed in one; the old one ends when it covers."""
    wanted, on = list(pictures), today(at)
    _lock_pictures([*wanted, *licence.pictures.all()])
    before = Licence.objects.select_for_update().get(pk=licence.pk)
    _must_be_changeable(before, on=on)
    first_day = max(on, before.use_from or on)
    # Before the log is written to below: whoever grants a licence takes its trade and its number first.
    trade, number = _listed(before.trade_listed or before.licensee.trade), take_number("licence", on=on)
    alone_until = before.exclusive_until if use["exclusivity"] == before.exclusivity else None
    if alone_until is not None and alone_until <= first_day:
        use, alone_until = {**use, "exclusivity": Exclusivity.NONE.value}, None
    is_embargo_ahead = before.embargo_until is not None and before.embargo_until > first_day
    supersede_licence(before, cut_on=_end_of_the_one_before(before, on=on), at=at)
    new = offer_licence(
        licensee=before.licensee,
        billing_party=before.billing_party,
        pictures=wanted,
        use={**use, "use_months": None, "exclusive_months": None},
        first_day=first_day,
        last_day=last_day,
        begins=Begins.ON_PAYMENT,
        credit_line=before.credit_line,
        embargo_until=before.embargo_until if is_embargo_ahead else None,
        origin=origin,
        supersedes=before,
        trade=trade,
        number=number,
        exclusive_until=alone_until,
        at=at,
        **terms,
    )
    if origin == PART_GIVEN_UP:
        _say_yes(new, _lock_pictures(new.pictures.all()), accepted_by=accepted_by, signed_by=signed_by, at=at)
        start_licence(new, paid_on=on, at=at)
    else:
        new = accept_licence(new, accepted_by=accepted_by, signed_by=signed_by, at=at)
    if write_to_client:
        _write_to_client(new, "licence_granted", at=at)
    licence.refresh_from_db()
    new.refresh_from_db()
    return new


def _must_be_changeable(licence: Licence, *, on: date) -> None:
    if licence.state == LicenceState.ACCEPTED:
        raise CannotChange(
            f"{licence.number} is not paid yet.", "Change it once its fee is paid, or agree on a new estimate."
        )
    if licence.state != LicenceState.PAID:
        raise CannotChange(
            f"{licence.number} is {licence.get_state_display().lower()}.", "Grant a new licence instead."
        )
    if not licence.is_placed:
        raise CannotChange(
            f"{licence.number} is not placed on pictures yet.", "Place it first, or agree on a new estimate."
        )
    if licence.last_day is not None and licence.last_day < on:
        raise CannotChange(f"{licence.number} is over.", "Grant a new licence instead.")


def _must_be_a_part(licence: Licence, use: Mapping[str, Any], pictures: list[Picture], last_day: date | None) -> None:
    """What is kept lies inside what is held, leaf by leaf, and is less of it."""
    held_pictures, kept_pictures = set(licence.pictures.values_list("pk", flat=True)), {each.pk for each in pictures}
    wider, less = [], held_pictures != kept_pictures or last_day != licence.last_day
    if not kept_pictures <= held_pictures:
        wider.append("a picture")
    if not set(use["use_classes"]) <= set(licence.use_classes):
        wider.append("a class of use")
    for name, tree, noun in (("use_media", IN_FORCE.media, "a medium"), ("use_territories", IN_FORCE.territories, "a territory")):  # fmt: skip
        intended.check_codes(frozenset(use[name]), tree, path=name, noun=noun)
        held, kept = tree.mask(frozenset(getattr(licence, name))), tree.mask(frozenset(use[name]))
        less = less or held != kept
        if kept & ~held:
            wider.append(noun)
    if licence.last_day is not None and (last_day is None or last_day > licence.last_day):
        wider.append("days")
    if wider:
        raise CannotChange(
            f"{licence.licensee} does not hold {' and '.join(wider)} chosen here.",
            "Choose only what is held; change the licence to add something.",
        )
    if not less and set(use["use_classes"]) == set(licence.use_classes):
        raise CannotChange("Nothing is given up.", "Take out what the client does not need any more.")


@transaction.atomic
def decline_licence(licence: Licence, *, reason: str = "", at: datetime) -> Licence:
    """The client said no to an offer, or an accepted licence stayed unpaid past its deadline: it covers and blocks nothing.

    A changed licence that is declined took no place: the paid one before it stands again (``_stand_again``).
    """
    _lock_both(licence)
    move(licence, LicenceState.DECLINED, moves=LICENCE_MOVES, noun="licence", end_reason=reason)
    licence.boxes.all().delete()
    payload = {"number": licence.number, "reason": conceal(reason) if reason else ""}
    record_evidence("declined", subject=_subject(licence), payload=payload, at=at)
    _stand_again(licence, at=at)
    return licence


# What becomes of it


@transaction.atomic
def start_licence(licence: Licence, *, paid_on: date, at: datetime) -> Licence:
    """The fee is paid in full (said by payments): use may begin, or go on. A term agreed *from payment* counts from that day."""
    move(licence, LicenceState.PAID, moves=LICENCE_MOVES, noun="licence", paid_on=paid_on)
    if licence.begins == Begins.ON_PAYMENT:
        _count_from(licence, paid_on)
    payload = {"number": licence.number, "paid_on": paid_on.isoformat(), **_days(licence)}
    record_evidence("paid", subject=_subject(licence), payload=payload, at=at)
    _take_over(licence, at=at)
    return licence


@transaction.atomic
def begin_on_delivery(licence: Licence, *, delivered_on: date, at: datetime) -> Licence:
    """The pictures were handed over: a licence that begins on delivery may be used. A term agreed *from delivery* counts from then."""
    licence = Licence.objects.select_for_update().get(pk=licence.pk)
    if licence.delivered_on is not None:
        return licence
    licence.delivered_on = delivered_on
    licence.save(update_fields=["delivered_on", "changed_at"])
    if licence.begins == Begins.ON_DELIVERY:
        _count_from(licence, delivered_on)
    payload = {"number": licence.number, "delivered_on": delivered_on.isoformat(), **_days(licence)}
    record_evidence("begun", subject=_subject(licence), payload=payload, at=at)
    _take_over(licence, at=at)
    return licence


@transaction.atomic
def take_back_begin(licence: Licence, *, at: datetime) -> None:
    """The delivery was called back before the client took it: use begins with the next one. A licence it took over runs on until then."""
    pictures = licence.pictures.all()
    _lock_pictures(pictures, shoots=[licence.shoot_id] if licence.shoot_id else [])
    Licence.objects.filter(pk=licence.pk).update(delivered_on=None)
    licence.refresh_from_db()
    record_evidence("begin_taken_back", subject=_subject(licence), payload={"number": licence.number}, at=at)
    _give_back(licence, at=at)


@transaction.atomic
def set_lapse(licence: Licence, *, due_on: date, at: datetime) -> Licence:
    """Billing hands the due day down: unpaid, the licence covers no more from ``lapses_on`` (due 15 Dec, 14 days: 30 Dec)."""
    licence = Licence.objects.select_for_update().get(pk=licence.pk)
    if licence.begins == Begins.ON_PAYMENT or licence.state != LicenceState.ACCEPTED:
        return licence
    licence.lapses_on = lapse_day(due_on, licence.lapse_days)
    licence.save(update_fields=["lapses_on", "changed_at"])
    payload = {"number": licence.number, "due_on": due_on.isoformat(), "lapses_on": licence.lapses_on.isoformat()}
    record_evidence("lapse_set", subject=_subject(licence), payload=payload, at=at)
    return licence


@transaction.atomic
def clear_lapse(licence: Licence, *, at: datetime) -> Licence:
    """Billing took the invoice back: nothing is due, so the licence does not lapse until it is billed again."""
    licence = Licence.objects.select_for_update().get(pk=licence.pk)
    if licence.lapses_on is None:
        return licence
    payload = {"number": licence.number, "lapses_on": licence.lapses_on.isoformat()}
    licence.lapses_on = None
    licence.save(update_fields=["lapses_on", "changed_at"])
    record_evidence("lapse_cleared", subject=_subject(licence), payload=payload, at=at)
    return licence


@transaction.atomic
def refund_licence(licence: Licence, *, reason: str = "", at: datetime) -> Licence:
    """The fee went back (said by billing): the licence covers and blocks nothing any more.

    Of a changed licence only the fee of the change went back (licensing.md §8: the old fee is what was agreed then), so what that old
    fee paid for stands again.
    """
    _lock_both(licence)
    move(licence, LicenceState.REFUNDED, moves=LICENCE_MOVES, noun="licence", end_reason=reason)
    licence.boxes.all().delete()
    payload = {"number": licence.number, "reason": conceal(reason) if reason else ""}
    record_evidence("refunded", subject=_subject(licence), payload=payload, at=at)
    _stand_again(licence, at=at)
    return licence


@transaction.atomic
def revoke_licence(licence: Licence, *, cut_on: date, reason: str, at: datetime) -> Licence:
    """Take a paid licence back: it covers and blocks up to the day before ``cut_on``. Whether that binds is a legal question.

    The licence whose place it took does not stand again: revoked is what the client may do with these pictures, and the older one
    would give the same back. licensing.md §3: superseded, it ends on its ``cut_on`` day.
    """
    move(licence, LicenceState.REVOKED, moves=LICENCE_MOVES, noun="licence", cut_on=cut_on, end_reason=reason)
    _write_boxes(licence)
    payload = {"number": licence.number, "cut_on": cut_on.isoformat(), "reason": conceal(reason)}
    record_evidence("revoked", subject=_subject(licence), payload=payload, at=at)
    return licence


@transaction.atomic
def supersede_licence(licence: Licence, *, cut_on: date, at: datetime, by: Licence | None = None) -> None:
    """Another licence takes the place of this one, which covers and blocks up to the day before ``cut_on``."""
    left = Licence.objects.select_for_update().get(pk=licence.pk).state
    move(licence, LicenceState.SUPERSEDED, moves=LICENCE_MOVES, noun="licence", cut_on=cut_on, left=left)
    _write_boxes(licence)
    payload = {"number": licence.number, "cut_on": cut_on.isoformat(), "by": by.number if by else ""}
    record_evidence("superseded", subject=_subject(licence), payload=payload, at=at)


@transaction.atomic
def report_copies(licence: Licence, *, copies: int, at: datetime) -> Licence:
    """The client says how many copies were made since the last report; the sum is kept, also past what was granted.

    Raises NoCopies, NothingToReport.
    """
    if copies < 1:
        raise NoCopies
    licence = Licence.objects.select_for_update().get(pk=licence.pk)
    if licence.state in (LicenceState.DRAFT, LicenceState.OFFERED):
        raise NothingToReport(licence)
    licence.copies_used += copies
    licence.save(update_fields=["copies_used", "changed_at"])
    payload = {"number": licence.number, "copies": copies, "in_all": licence.copies_used}
    record_evidence("copies_reported", subject=_subject(licence), payload=payload, at=at)
    return licence


@transaction.atomic
def rebuild_boxes() -> int:
    """Write the derived boxes anew where they differ from the codes, as after a change of a tree; gives how many licences those were."""
    changed = licences_with_other_boxes()
    for licence in changed:
        if licence.state in STATES_THAT_BLOCK:
            _write_boxes(licence)
        else:
            licence.boxes.all().delete()
    return len(changed)


# The paper


def print_licence(shown: LicenceShown, *, at: datetime) -> bytes:
    """The paper as a PDF, with today's logo and the frames of its first pictures; nothing is kept."""
    logo = kept_picture_uri(current_business(today(at)).logo)
    return licence_pdf(shown, logo=logo, frames=frames_for(shown, FRAMES_SHOWN))


@transaction.atomic
def keep_licence_paper(licence: Licence, *, at: datetime) -> LicencePaper:
    """The paper of a licence in force, as it was printed: its bytes and hash are kept with what they were printed from.

    *In force* begins with the acceptance: from then on the words are frozen and the licence keeps others out, though it may cover
    nothing before it is placed; its first paper says that its pictures are named once they are chosen. An offer has no kept paper,
    for it grants nothing. A paper is made when somebody first wants it, and whoever wants it again gets the same bytes; where the
    licence says something else since then (pictures placed, days counted from delivery or payment, a release withdrawn, an early
    end), the next version is made and the earlier ones stay. Printing at each of those moments would only keep papers that nobody
    ever held: the evidence log has the moments. Of a licence no longer in force the last paper that was made is given.
    Raises NotInForce where there is none.
    """
    Licence.objects.select_for_update().get(pk=licence.pk)
    fresh = licence_for_paper(licence.pk).get()
    last = fresh.papers.select_related("file").order_by("version").last()
    if not is_in_force(fresh):
        if last is None:
            raise NotInForce(fresh)
        return last
    version = last.version + 1 if last else 1
    shown = licence_shown(fresh, version=version, at=at)
    if last is not None and says_the_same(last.snapshot, shown):
        return last
    file = keep_file(
        print_licence(shown, at=at),
        name=f"licence-{shown.number.replace('/', '-')}-{version}.pdf",
        kind="licence",
        at=at,
    )
    paper = LicencePaper.objects.create(licence=fresh, version=version, snapshot=as_json(shown), file=file, made_at=at)
    payload = {"number": fresh.number, "version": version, "paper": file.sha256, "words": fresh.frozen_sha256}
    record_evidence("issued", subject=_subject(fresh), payload=payload, at=at)
    return paper


@transaction.atomic
def send_licence(licence: Licence, *, to: str, at: datetime) -> Message:
    """Send the paper of a licence in force by e-mail, in the language it was agreed in. Sending again is allowed. Raises NotInForce."""
    if not is_in_force(Licence.objects.select_for_update().get(pk=licence.pk)):
        raise NotInForce(licence)
    paper = keep_licence_paper(licence, at=at)
    licence = licence_for_paper(licence.pk).get()
    known, name = address_of(licence.licensee)
    sent_before = {row.payload["version"] for row in evidence_about(_subject(licence)).filter(kind="sent")}
    message = queue_mail(
        to=to,
        to_name=name if to == known else licence.licensee.name,
        template="licence_sent",
        language=paper.snapshot["language"],
        context={
            "licence": licence,
            "is_newer": bool(sent_before) and paper.version not in sent_before,
            "name": name if to == known else licence.licensee.name,
            "first_on": licence.use_from if licence.is_placed else None,
            "last_on": licence.last_day if licence.is_placed else None,
            "business": current_business(today(at)),
        },
        attachments=[paper.file],
        at=at,
        about=_subject(licence),
    )
    _record_sent(licence, paper, to, at=at)
    return message


# Inside


def _listed(trade: str) -> str:
    """A trade as the list calls it, empty if not known; it is neither renamed nor joined until this is done."""
    return next(iter(keep_trades([trade])), "")


def _end_of_the_one_before(licence: Licence, *, on: date) -> date:
    """Where a changed licence is cut: a placed one only by ``_take_over``, so until then at its own end, or at the calendar's."""
    return (licence.use_until or date.max) if licence.is_placed else on


def _take_over(licence: Licence, *, at: datetime) -> None:
    """Once a changed licence covers its pictures, the one it takes the place of ends: the client is never without a right between."""
    if licence.supersedes is None:
        return
    grant = _grant(licence, licence.pictures.all())
    if not grant.is_covering:
        return
    day = max(grant.covered_from, today(at))
    # A job agreed anew may have fewer licences than before: those without a successor of their own end with it.
    beside = Q(origin=licence.supersedes.origin, superseded_by=None) & ~Q(origin="")
    found = Licence.objects.filter(
        Q(pk=licence.supersedes_id) | Q(pk__in=Licence.objects.filter(beside).values("pk")),
        state=LicenceState.SUPERSEDED,
        is_placed=True,
        cut_on__gt=day,
    )
    for before in found.order_by("pk"):
        before.cut_on = day
        before.save(update_fields=["cut_on", "changed_at"])
        _write_boxes(before)
        if licence.origin in (CHANGE, PART_GIVEN_UP, TOP_UP) and before.copies_used:
            licence.copies_used += before.copies_used
            licence.save(update_fields=["copies_used", "changed_at"])
        payload = {"number": before.number, "cut_on": day.isoformat(), "by": licence.number}
        record_evidence("taken_over", subject=_subject(before), payload=payload, at=at)


def _give_back(licence: Licence, *, at: datetime) -> None:
    """A changed licence that covers nothing again gives the days back that it took over; not those a rival was granted meanwhile."""
    if licence.supersedes_id is None or _grant(licence, licence.pictures.all()).is_covering:
        return
    before = Licence.objects.select_for_update().get(pk=licence.supersedes_id)
    took = evidence_about(_subject(before)).filter(kind="taken_over").order_by("seq").last()
    if took is None or before.cut_on is None or took.payload["cut_on"] != before.cut_on.isoformat():
        return
    before.cut_on = _end_of_the_one_before(before, on=before.cut_on)
    if clashes_of(_grant(before, pictures := before.pictures.all()), _held(before, pictures))[0]:
        return
    before.save(update_fields=["cut_on", "changed_at"])
    _write_boxes(before)
    payload = {"number": before.number, "cut_on": before.cut_on.isoformat(), "by": licence.number}
    record_evidence("given_back", subject=_subject(before), payload=payload, at=at)


def _lock_both(licence: Licence) -> None:
    """The pictures and shoots of a licence and of the one it took the place of, before any row of theirs is changed."""
    if licence.supersedes is None:
        return
    both = Licence.objects.filter(pk__in=(licence.pk, licence.supersedes.pk))
    shoots = [key for key in both.values_list("shoot_id", flat=True) if key is not None]
    _lock_pictures(Picture.objects.filter(licences__in=both).distinct(), shoots=shoots)


def _stand_again(licence: Licence, *, at: datetime) -> None:
    """A declined or refunded licence holds no place, so the one it superseded stands as it stood: its state, its own end, its copies.

    licensing.md §3 lets a superseded licence become nothing else: this is no move of its own but superseding it taken back, for the
    client must not lose what they paid for. Back comes what was paid, the last one that was; an unpaid one stays as it was cut, nothing
    was given for it. Nor does one come back against a licence that a rival was granted meanwhile. The log of the old one says it all.
    """
    gone = licence
    while gone.supersedes_id is not None and gone.origin != PART_GIVEN_UP:
        before = Licence.objects.select_for_update().get(pk=gone.supersedes_id)
        if before.state != LicenceState.SUPERSEDED:
            return
        _stand_as_before(before, licence, at=at)
        siblings = Licence.objects.filter(origin=gone.origin, shoot=gone.shoot_id, state__in=STATES_THAT_BLOCK)
        if gone.origin not in (CHANGE, TOP_UP) and before.origin and not siblings.exclude(pk=gone.pk).exists():
            # A job agreed anew had fewer licences: those without a successor of their own ended with it, and come back with it.
            beside = Licence.objects.filter(origin=before.origin, superseded_by=None, state=LicenceState.SUPERSEDED)
            for each in beside.select_for_update(of=("self",)).order_by("pk"):
                _stand_as_before(each, licence, at=at)
        if before.state != LicenceState.SUPERSEDED or before.left == LicenceState.PAID:
            return
        gone = before


def _stand_as_before(before: Licence, gone: Licence, *, at: datetime) -> None:
    payload = {"number": before.number, "by": gone.number}
    if before.left != LicenceState.PAID:
        payload["because"] = "it was not paid either"
        record_evidence("not_given_back", subject=_subject(before), payload=payload, at=at)
        return
    cut_on, pictures = (
        before.cut_on,
        list(before.pictures.all()) or list(before.shoot.pictures.all() if before.shoot else []),
    )
    left = before.left
    before.state, before.left, before.cut_on = LicenceState.PAID, "", None
    clashes = clashes_of(
        _grant(before, pictures), _held(before, pictures, shoots=[before.shoot_id] if before.shoot_id else [])
    )[0]
    if clashes:
        numbers = formats.list_in_words([clash.number for clash in clashes], "en")
        payload["because"] = f"{numbers} was agreed meanwhile"
        before.state, before.left, before.cut_on = LicenceState.SUPERSEDED, left, cut_on
        record_evidence("not_given_back", subject=_subject(before), payload=payload, at=at)
        return
    if gone.origin in (CHANGE, TOP_UP):
        before.copies_used = max(
            before.copies_used, gone.copies_used
        )  # once it took over, copies were reported on the new one
    before.save(update_fields=["state", "left", "cut_on", "copies_used", "changed_at"])
    _write_boxes(before)
    payload |= {"was_cut_on": cut_on.isoformat() if cut_on else "", **_days(before)}
    record_evidence("given_back", subject=_subject(before), payload=payload, at=at)


def _record_sent(licence: Licence, paper: LicencePaper, to: str, *, at: datetime) -> None:
    payload = {"number": licence.number, "version": paper.version, "paper": paper.file.sha256, "to": conceal(to)}
    record_evidence("sent", subject=_subject(licence), payload=payload, at=at)


def _subject(licence: Licence) -> str:
    return f"licence:{licence.pk}"


def _days(licence: Licence) -> dict[str, str]:
    """First and last day as the log keeps them; empty where there is none."""
    last = licence.use_until - timedelta(days=1) if licence.use_until else None
    first = licence.use_from
    return {"first_day": first.isoformat() if first else "", "last_day": last.isoformat() if last else ""}


def _count_days(licence: Licence, first_day: date, *, last_day: date | None = None) -> None:
    """Set the half-open days of a licence from its first day."""
    try:
        by_months = intended.end_of_term(first_day, licence.use_months, path="use_months")
        until = last_day + timedelta(days=1) if last_day else by_months
        exclusive = intended.end_of_term(first_day, licence.exclusive_months, path="exclusive_months")
    except (intended.InvalidUse, OverflowError) as error:
        raise NoCell(str(error), "Choose an earlier first day, or a shorter term.") from None
    if until is not None and until <= first_day:
        raise NoCell("The last day of use lies before the first.", "Choose a last day on or after the first.")
    licence.use_from, licence.use_until = first_day, until
    if licence.exclusivity == Exclusivity.NONE or exclusive is None or (until is not None and exclusive > until):
        exclusive = None
    licence.exclusive_until = exclusive


def _must_leave_a_day(licence: Licence) -> None:
    """An embargo past the last day would sell a licence that nobody can use on any day."""
    first_shown, last = licence.embargo_until, licence.last_day
    if first_shown is not None and last is not None and first_shown > last:
        raise NoCell(
            f"It may not be shown before {formats.day(first_shown, 'en')}, and its last day is {formats.day(last, 'en')}.",
            "Choose an earlier day for the first publication, or a longer term.",
        )


def _refuse_a_second_one(licence: Licence, pictures: list[Picture]) -> None:
    """The same use of the same pictures, on days that meet, is sold to one client once. Both ends of the run are compared in whole days."""
    same = Licence.objects.filter(
        licensee=licence.licensee, is_placed=True, state__in=(*AGREED, LicenceState.OFFERED), exclusivity=licence.exclusivity,
        is_own_promotion=licence.is_own_promotion, use_copies=licence.use_copies,
    ).filter(Q(use_until=None) | Q(use_until__gt=licence.use_from), licence_pictures__picture=pictures[0])  # fmt: skip
    if licence.use_until is not None:
        same = same.filter(use_from__lt=licence.use_until)
    wanted = {picture.pk for picture in pictures}
    for held in same.select_related("licensee").prefetch_related("licence_pictures"):
        is_same = all(set(getattr(held, name)) == set(getattr(licence, name)) for name in CODES)
        if is_same and {row.picture_id for row in held.licence_pictures.all()} == wanted:
            raise HeldAlready(held)


def _count_from(licence: Licence, day: date) -> None:
    """A term that the client agreed to in months counts from a later day than planned, where nobody stands in the way."""
    if not (licence.is_placed and licence.counts_from_its_beginning and licence.use_from and day > licence.use_from):
        return
    pictures = _lock_pictures(licence.pictures.all())
    planned = licence.use_from
    _count_days(licence, day)
    if clashes_of(_grant(licence, pictures), _held(licence, pictures))[0]:
        _count_days(licence, planned)
        return
    licence.save(update_fields=["use_from", "use_until", "exclusive_until", "changed_at"])
    _write_boxes(licence)


def _must_not_be_over(licence: Licence, *, on: date) -> None:
    last = licence.last_day
    if last is not None and last < on:
        raise NoCell(
            f"The last day of use, {formats.day(last, 'en')}, is over.",
            "Choose later days, or agree on a new licence.",
        )


def _begun_where_delivered(licence: Licence, *, at: datetime) -> Licence:
    """No further delivery would begin a licence whose pictures the client has already."""
    day = delivered_on_of(licence) if licence.begins == Begins.ON_DELIVERY else None
    return licence if day is None else begin_on_delivery(licence, delivered_on=day, at=at)


def _lock_pictures(pictures: Iterable[Picture], *, shoots: Iterable[int] = ()) -> list[Picture]:
    """The rows of the shoots, then of the pictures, locked in the order of their keys, so that no two wait for each other."""
    keys = {picture.pk for picture in pictures}
    of = set(Picture.objects.filter(pk__in=keys).values_list("shoot_id", flat=True)) | set(shoots)
    lock_shoots(*sorted(of))
    list(Picture.objects.select_for_update().filter(pk__in=keys).order_by("pk"))
    return list(with_people(Picture.objects.filter(pk__in=keys)).order_by("number"))


def _grant(licence: Licence, pictures: Iterable[Picture]) -> Grant:
    return grant_of(licence, [str(picture.pk) for picture in pictures])


def _held(licence: Licence, pictures: Iterable[Picture], *, shoots: Iterable[int] = ()) -> list[Any]:
    return holdings_on(pictures, shoots=shoots, states=STATES_THAT_BLOCK, apart_from=licence.pk)


def _refuse_clashes(licence: Licence, pictures: list[Picture], *, shoots: Iterable[int] = ()) -> None:
    wanted, held = _grant(licence, pictures), _held(licence, pictures, shoots=shoots)
    clashes, free_on = clashes_of(wanted, held)
    if clashes:
        raise LicenceConflict(clashes, free_on, left_of(wanted, held))


def _refuse_what_stands_against(licence: Licence, pictures: list[Picture]) -> None:
    _refuse_clashes(licence, pictures)
    _refuse_what_is_not_for_sale(licence, pictures)
    missing = uncleared(pictures, use_of(licence), licensee=str(licence.licensee_id))
    if missing:
        raise NotCleared(missing)


def _refuse_what_is_not_for_sale(licence: Licence, pictures: Iterable[Picture]) -> None:
    """Refused at the offer already: what the shoot's client has not allowed is not the photographer's to offer."""
    # Read anew: the shoots are locked by now, and what the pictures came with may be older.
    for shoot in (
        Shoot.objects.filter(pk__in={each.shoot_id for each in pictures}).select_related("licensee").order_by("pk")
    ):
        free_on = selling_on_of(shoot).free_from(str(licence.licensee_id), licence.trade_listed or None)
        if free_on is None or free_on > (licence.use_from or date.min):
            raise NotForSale(shoot, free_on)


def _say_yes(
    licence: Licence,
    pictures: list[Picture],
    *,
    accepted_by: str,
    signed_by: str,
    at: datetime,
    also_kept: Mapping[str, Any] | None = None,
) -> None:
    """Freeze the words of a checked offer, with ``also_kept`` beside them, and grant it."""
    _freeze(licence, pictures, language=licence.licensee.words_of_licence, on=today(at), also_kept=also_kept)
    move(
        licence,
        LicenceState.ACCEPTED,
        moves=LICENCE_MOVES,
        noun="licence",
        accepted_at=at,
        accepted_by=accepted_by,
        signed_by=signed_by,
        frozen=licence.frozen,
        frozen_sha256=licence.frozen_sha256,
    )
    _write_boxes(licence)
    payload = {
        "number": licence.number,
        "words": licence.frozen_sha256,
        "pictures": [picture.number for picture in pictures],
        "by": conceal(accepted_by),
        "signed_by": conceal(signed_by) if signed_by else "",
        **_days(licence),
    }
    record_evidence("granted", subject=_subject(licence), payload=payload, at=at)


def _write_boxes(licence: Licence) -> None:
    licence.boxes.all().delete()
    boxes = boxes_of(_grant(licence, licence.pictures.all()))
    LicenceBox.objects.bulk_create(LicenceBox(licence=licence, **asdict(box)) for box in boxes)


def _freeze(
    licence: Licence,
    pictures: Iterable[Picture],
    *,
    language: str,
    on: date,
    also_kept: Mapping[str, Any] | None = None,
) -> None:
    """The words in the client's language and in English, the codes and the trees they mean, and their hash.

    ``language`` is the one they were accepted in. Where the client's licences have another, that text stands too, and prevails.
    """
    keep_first_trees(on=on)
    words, accepted_in = words_of(licence, pictures, on=on), language
    language = licence.licensee.licence_language or language
    frozen: dict[str, Any] = {
        "language": language,
        "sentences": list(licence_sentences(words, language)),
        "english": list(licence_sentences(words, "en")),
        "on": on.isoformat(),
        "codes": {name: getattr(licence, name) for name in USE_FIELDS},
        "groups": [{"name": each.name, "on": on.isoformat(), "members": sorted(each.members)} for each in words.groups],
        "trees": [IN_FORCE.media.version, IN_FORCE.territories.version],
    }
    if words.fee_with:
        frozen["fee_with"] = words.fee_with
    if language != accepted_in:
        frozen["prevails"] = {"language": accepted_in, "sentences": list(licence_sentences(words, accepted_in))}
    if licence.exclusivity == Exclusivity.TRADE and licence.trade:
        frozen["trade"] = words.trade_in(language)
    if licence.use_from is not None:
        frozen |= {"use_from": licence.use_from.isoformat(), "pictures": [picture.number for picture in pictures]}
        frozen["use_until"] = licence.use_until.isoformat() if licence.use_until else None
    licence.frozen = frozen | dict(also_kept or {})
    licence.frozen_sha256 = digest_of(licence.frozen)


def _write_to_client(licence: Licence, template: str, *, at: datetime) -> None:
    to, name = address_of(licence.licensee)
    if not to:
        return
    language = licence.licensee.words_of_licence
    papers: list[StoredFile] = []
    if is_in_force(licence):
        paper = keep_licence_paper(licence, at=at)
        papers.append(paper.file)
        _record_sent(licence, paper, to, at=at)
    if "sentences" not in licence.frozen:
        _freeze(licence, licence.pictures.order_by("number"), language=language, on=today(at))
    queue_mail(
        to=to,
        to_name=name,
        template=template,
        language=language,
        context={
            "licence": licence,
            "name": name,
            "sentences": licence.frozen["sentences"],
            "business": current_business(today(at)),
        },
        attachments=papers,
        at=at,
        about=_subject(licence),
    )
