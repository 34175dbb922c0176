from collections.abc import Iterable, Mapping
from dataclasses import asdict
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
from shoots.brief.models import USE_FIELDS, Exclusivity, IntendedUse, Shoot
from shoots.licences.boxes import boxes_of
from shoots.licences.conflicts import Left
from shoots.licences.models import Begins, Licence, LicenceBox, LicencePaper, LicencePicture, LicenceState
from shoots.licences.papers import FRAMES_SHOWN, licence_pdf
from shoots.licences.queries import (
    PAST_USE,
    STANDING,
    STATES_THAT_BLOCK,
    address_of,
    days_in_log,
    delivered_on_of,
    end_until_taken_over,
    frames_for,
    grant_on,
    is_in_force,
    licence_for_paper,
    licence_shown,
    licences_with_other_boxes,
    rivals_on,
    selling_on_of,
    subject_in_log,
    told_of_a_past_use,
    uncleared,
    use_of,
    with_people,
    words_of,
)
from shoots.licences.snapshot import LicenceShown, says_the_same
from shoots.licences.states import LICENCE_MOVES
from shoots.licences.wording import ClashInWords, way_out
from shoots.pictures.models import Picture
from shoots.uses import intended
from shoots.uses.actions import keep_first_trees
from shoots.uses.sentences import licence_sentences
from shoots.uses.shipped import IN_FORCE

CODES = ("use_classes", "use_media", "use_territories")
CHANGE, PART_GIVEN_UP, TOP_UP = "change", "part_given_up", "top_up"


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
    trade = keep_trade(licensee.trade)
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
        supersede_licence(supersedes, cut_on=end_until_taken_over(supersedes, on=on), at=at)
    _freeze(licence, (), language=language, on=on)
    locked = Shoot.objects.select_related("licensee").get(pk=shoot.pk)  # what was handed in may be older than the lock
    agreed_with_the_house = selling_on_of(locked)
    if agreed_with_the_house.free_from(str(licensee.pk), licence.trade_listed or None) is None:
        raise NotForSale(shoot, None)
    pictures = lock_pictures(shoot.pictures.all(), shoots=[shoot.pk])
    _refuse_clashes(licence, pictures, shoots=[shoot.pk])
    licence.save()
    record_evidence(
        "accepted",
        subject=subject_in_log(licence),
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
    pictures = lock_pictures(pictures, shoots=[licence.shoot_id] if licence.shoot_id else [])
    licence = Licence.objects.select_for_update().get(pk=licence.pk)
    if licence.state not in STANDING:
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
    write_boxes(licence)
    payload = {"number": licence.number, "pictures": [each.number for each in new], **days_in_log(licence)}
    record_evidence("placed", subject=subject_in_log(licence), payload=payload, at=at)
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
    record_evidence(
        "drafted", subject=subject_in_log(licence), payload={"number": licence.number, **days_in_log(licence)}, at=at
    )
    return licence


@transaction.atomic
def offer_draft(licence: Licence, *, write_to_client: bool = False, at: datetime) -> Licence:
    """Make the offer that was kept as a draft. Raises NoCell once its last day is over, NotForSale, HeldAlready, MoveRefused."""
    pictures = lock_pictures(licence.pictures.all())
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
    record_evidence("discarded", subject=subject_in_log(licence), payload={"number": licence.number}, at=at)
    # The room of uses found lies above: its rows are reached from the licence, by name.
    licence.found_uses.update(licence=None)
    licence.delete()


def _offered(licence: Licence, *, write_to_client: bool, at: datetime) -> Licence:
    record_evidence(
        "offered", subject=subject_in_log(licence), payload={"number": licence.number, **days_in_log(licence)}, at=at
    )
    if write_to_client:
        mail_client(licence, "licence_offered", at=at)
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
    trade = keep_trade(trade or licensee.trade)
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
    grant_on(licence, pictures)  # refuses a licence without a cell
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
    pictures = lock_pictures(licence.pictures.all())
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
    say_yes(licence, pictures, accepted_by=accepted_by, signed_by=signed_by, at=at, also_kept=also_kept)
    licence = _begun_where_delivered(licence, at=at)
    if not licence.fee_net:
        start_licence(licence, paid_on=today(at), at=at)
    if write_to_client:
        mail_client(licence, "licence_granted", at=at)
    return licence


@transaction.atomic
def grant_licence(
    *, accepted_by: str, signed_by: str = "", write_to_client: bool = False, at: datetime, **terms: Any
) -> Licence:
    """Grant a licence the client has agreed to already: offered and accepted in one. ``terms`` are those of ``offer_licence``."""
    licence = offer_licence(at=at, **terms)
    return accept_licence(licence, accepted_by=accepted_by, signed_by=signed_by, write_to_client=write_to_client, at=at)


# Begun, and in the place of another


@transaction.atomic
def start_licence(licence: Licence, *, paid_on: date, at: datetime) -> Licence:
    """The fee is paid in full (said by payments): use may begin, or go on. A term agreed *from payment* counts from that day."""
    move(licence, LicenceState.PAID, moves=LICENCE_MOVES, noun="licence", paid_on=paid_on)
    if licence.begins == Begins.ON_PAYMENT:
        _count_from(licence, paid_on)
    payload = {"number": licence.number, "paid_on": paid_on.isoformat(), **days_in_log(licence)}
    record_evidence("paid", subject=subject_in_log(licence), payload=payload, at=at)
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
    payload = {"number": licence.number, "delivered_on": delivered_on.isoformat(), **days_in_log(licence)}
    record_evidence("begun", subject=subject_in_log(licence), payload=payload, at=at)
    _take_over(licence, at=at)
    return licence


@transaction.atomic
def supersede_licence(licence: Licence, *, cut_on: date, at: datetime, by: Licence | None = None) -> None:
    """Another licence takes the place of this one, which covers and blocks up to the day before ``cut_on``."""
    left = Licence.objects.select_for_update().get(pk=licence.pk).state
    move(licence, LicenceState.SUPERSEDED, moves=LICENCE_MOVES, noun="licence", cut_on=cut_on, left=left)
    write_boxes(licence)
    payload = {"number": licence.number, "cut_on": cut_on.isoformat(), "by": by.number if by else ""}
    record_evidence("superseded", subject=subject_in_log(licence), payload=payload, at=at)


@transaction.atomic
def rebuild_boxes() -> int:
    """Write the derived boxes anew where they differ from the codes, as after a change of a tree; gives how many licences those were."""
    changed = licences_with_other_boxes()
    for licence in changed:
        if licence.state in STATES_THAT_BLOCK:
            write_boxes(licence)
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
    record_evidence("issued", subject=subject_in_log(fresh), payload=payload, at=at)
    return paper


@transaction.atomic
def send_licence(licence: Licence, *, to: str, at: datetime) -> Message:
    """Send the paper of a licence in force by e-mail, in the language it was agreed in. Sending again is allowed. Raises NotInForce."""
    if not is_in_force(Licence.objects.select_for_update().get(pk=licence.pk)):
        raise NotInForce(licence)
    paper = keep_licence_paper(licence, at=at)
    licence = licence_for_paper(licence.pk).get()
    known, name = address_of(licence.licensee)
    sent_before = {row.payload["version"] for row in evidence_about(subject_in_log(licence)).filter(kind="sent")}
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
        about=subject_in_log(licence),
    )
    _record_sent(licence, paper, to, at=at)
    return message


# What the rooms that grant and change share


def keep_trade(trade: str) -> str:
    """A trade as the list calls it, empty if not known; it is neither renamed nor joined until this is done."""
    return next(iter(keep_trades([trade])), "")


def lock_pictures(pictures: Iterable[Picture], *, shoots: Iterable[int] = ()) -> list[Picture]:
    """The rows of the shoots, then of the pictures, locked in the order of their keys, so that no two wait for each other.

    Gives the pictures as ``with_people`` reads them, by number. ``shoots``: these are locked even without a picture.
    """
    keys = {picture.pk for picture in pictures}
    of = set(Picture.objects.filter(pk__in=keys).values_list("shoot_id", flat=True)) | set(shoots)
    lock_shoots(*sorted(of))
    list(Picture.objects.select_for_update().filter(pk__in=keys).order_by("pk"))
    return list(with_people(Picture.objects.filter(pk__in=keys)).order_by("number"))


def say_yes(
    licence: Licence,
    pictures: list[Picture],
    *,
    accepted_by: str,
    signed_by: str,
    at: datetime,
    also_kept: Mapping[str, Any] | None = None,
) -> None:
    """Freeze the words of a checked offer, with ``also_kept`` beside them, and grant it. Raises MoveRefused."""
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
    write_boxes(licence)
    payload = {
        "number": licence.number,
        "words": licence.frozen_sha256,
        "pictures": [picture.number for picture in pictures],
        "by": conceal(accepted_by),
        "signed_by": conceal(signed_by) if signed_by else "",
        **days_in_log(licence),
    }
    record_evidence("granted", subject=subject_in_log(licence), payload=payload, at=at)


def write_boxes(licence: Licence) -> None:
    """The derived boxes of a licence, anew from its codes and days as they are now."""
    licence.boxes.all().delete()
    boxes = boxes_of(grant_on(licence, licence.pictures.all()))
    LicenceBox.objects.bulk_create(LicenceBox(licence=licence, **asdict(box)) for box in boxes)


def mail_client(licence: Licence, template: str, *, at: datetime) -> None:
    """Write to the licensee in their language, with the paper where there is one; nothing happens without an address."""
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
        about=subject_in_log(licence),
    )


# Inside


def _refuse_clashes(licence: Licence, pictures: list[Picture], *, shoots: Iterable[int] = ()) -> None:
    clashes, free_on, left = rivals_on(licence, pictures, shoots=shoots)
    if clashes:
        raise LicenceConflict(clashes, free_on, left)


def _take_over(licence: Licence, *, at: datetime) -> None:
    """Once a changed licence covers its pictures, the one it takes the place of ends: the client is never without a right between."""
    if licence.supersedes is None:
        return
    grant = grant_on(licence, licence.pictures.all())
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
        write_boxes(before)
        if licence.origin in (CHANGE, PART_GIVEN_UP, TOP_UP) and before.copies_used:
            licence.copies_used += before.copies_used
            licence.save(update_fields=["copies_used", "changed_at"])
        payload = {"number": before.number, "cut_on": day.isoformat(), "by": licence.number}
        record_evidence("taken_over", subject=subject_in_log(before), payload=payload, at=at)


def _record_sent(licence: Licence, paper: LicencePaper, to: str, *, at: datetime) -> None:
    payload = {"number": licence.number, "version": paper.version, "paper": paper.file.sha256, "to": conceal(to)}
    record_evidence("sent", subject=subject_in_log(licence), payload=payload, at=at)


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
        licensee=licence.licensee, is_placed=True, state__in=(*STANDING, LicenceState.OFFERED), exclusivity=licence.exclusivity,
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
    pictures = lock_pictures(licence.pictures.all())
    planned = licence.use_from
    _count_days(licence, day)
    if rivals_on(licence, pictures)[0]:
        _count_days(licence, planned)
        return
    licence.save(update_fields=["use_from", "use_until", "exclusive_until", "changed_at"])
    write_boxes(licence)


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
