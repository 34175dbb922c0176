from collections.abc import Iterable, Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db import transaction

from shared.business.queries import today
from shared.errors import Refusal
from shared.evidence.actions import conceal, record_evidence
from shared.evidence.queries import evidence_about
from shared.numbers.actions import take_number
from shared.states import move
from shared.words import formats
from shoots.brief.models import USE_FIELDS, Exclusivity
from shoots.licences.actions import (
    CHANGE,
    PART_GIVEN_UP,
    TOP_UP,
    CannotChange,
    accept_licence,
    keep_trade,
    lock_pictures,
    mail_client,
    offer_licence,
    say_yes,
    start_licence,
    supersede_licence,
    write_boxes,
)
from shoots.licences.models import Begins, Licence, LicenceState
from shoots.licences.queries import (
    STANDING,
    STATES_THAT_BLOCK,
    days_in_log,
    end_until_taken_over,
    grant_on,
    rivals_on,
    subject_in_log,
)
from shoots.licences.states import LICENCE_MOVES, lapse_day
from shoots.life.queries import reach_of, renewed_use, wanted_reach
from shoots.pictures.models import Picture
from shoots.uses.intended import check_codes
from shoots.uses.shipped import IN_FORCE


class CannotRenew(Refusal):
    """Only a licence that was agreed, placed and has an end can be renewed."""

    def __init__(self) -> None:
        super().__init__(
            "This licence has no end to renew from.",
            "Nothing was changed.",
            "Grant a new licence from the picture’s page instead.",
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


# Another licence on top, or in its place


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
    if licence.state not in STANDING or not licence.is_placed or licence.use_until is None:
        raise CannotRenew
    wanted = licence.pictures.select_related("shoot").order_by("pk")
    return offer_licence(
        licensee=licence.licensee,
        billing_party=licence.billing_party,
        pictures=wanted if pictures is None else wanted.filter(pk__in=[each.pk for each in pictures]),
        use=renewed_use(licence, months),
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
    lock_pictures([*wanted, *licence.pictures.all()])
    before = Licence.objects.select_for_update().get(pk=licence.pk)
    _must_be_changeable(before, on=on)
    first_day = max(on, before.use_from or on)
    # Before the log is written to below: whoever grants a licence takes its trade and its number first.
    trade, number = keep_trade(before.trade_listed or before.licensee.trade), take_number("licence", on=on)
    alone_until = before.exclusive_until if use["exclusivity"] == before.exclusivity else None
    if alone_until is not None and alone_until <= first_day:
        use, alone_until = {**use, "exclusivity": Exclusivity.NONE.value}, None
    is_embargo_ahead = before.embargo_until is not None and before.embargo_until > first_day
    supersede_licence(before, cut_on=end_until_taken_over(before, on=on), at=at)
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
        say_yes(new, lock_pictures(new.pictures.all()), accepted_by=accepted_by, signed_by=signed_by, at=at)
        start_licence(new, paid_on=on, at=at)
    else:
        new = accept_licence(new, accepted_by=accepted_by, signed_by=signed_by, at=at)
    if write_to_client:
        mail_client(new, "licence_granted", at=at)
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
    for name, tree, noun in (("use_media", IN_FORCE.media, "a medium"), ("use_territories", IN_FORCE.territories, "a territory")):  # fmt: skip
        check_codes(frozenset(use[name]), tree, path=name, noun=noun)
    held, kept = reach_of(licence), wanted_reach(use, pictures, last_day)
    if wider := held.falls_short_of(kept):
        raise CannotChange(
            f"{licence.licensee} does not hold {' and '.join(wider)} chosen here.",
            "Choose only what is held; change the licence to add something.",
        )
    if kept.is_as(held):
        raise CannotChange("Nothing is given up.", "Take out what the client does not need any more.")


# Its fee


@transaction.atomic
def set_lapse(licence: Licence, *, due_on: date, at: datetime) -> Licence:
    """Billing hands the due day down: unpaid, the licence covers no more from ``lapses_on`` (due 15 Dec, 14 days: 30 Dec)."""
    licence = Licence.objects.select_for_update().get(pk=licence.pk)
    if licence.begins == Begins.ON_PAYMENT or licence.state != LicenceState.ACCEPTED:
        return licence
    licence.lapses_on = lapse_day(due_on, licence.lapse_days)
    licence.save(update_fields=["lapses_on", "changed_at"])
    payload = {"number": licence.number, "due_on": due_on.isoformat(), "lapses_on": licence.lapses_on.isoformat()}
    record_evidence("lapse_set", subject=subject_in_log(licence), payload=payload, at=at)
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
    record_evidence("lapse_cleared", subject=subject_in_log(licence), payload=payload, at=at)
    return licence


# Taken off


@transaction.atomic
def decline_licence(licence: Licence, *, reason: str = "", at: datetime) -> Licence:
    """The client said no to an offer, or an accepted licence stayed unpaid past its deadline: it covers and blocks nothing.

    A changed licence that is declined took no place: the paid one before it stands again (``_stand_again``).
    """
    return _come_to_nothing(licence, LicenceState.DECLINED, reason=reason, at=at)


@transaction.atomic
def refund_licence(licence: Licence, *, reason: str = "", at: datetime) -> Licence:
    """The fee went back (said by billing): the licence covers and blocks nothing any more.

    Of a changed licence only the fee of the change went back (licensing.md §8: the old fee is what was agreed then), so what that old
    fee paid for stands again.
    """
    return _come_to_nothing(licence, LicenceState.REFUNDED, reason=reason, at=at)


def _come_to_nothing(licence: Licence, state: LicenceState, *, reason: str, at: datetime) -> Licence:
    _lock_both(licence)
    move(licence, state, moves=LICENCE_MOVES, noun="licence", end_reason=reason)
    licence.boxes.all().delete()
    payload = {"number": licence.number, "reason": conceal(reason) if reason else ""}
    record_evidence(state.value, subject=subject_in_log(licence), payload=payload, at=at)
    _stand_again(licence, at=at)
    return licence


@transaction.atomic
def revoke_licence(licence: Licence, *, cut_on: date, reason: str, at: datetime) -> Licence:
    """Take a paid licence back: it covers and blocks up to the day before ``cut_on``. Whether that binds is a legal question.

    The licence whose place it took does not stand again: revoked is what the client may do with these pictures, and the older one
    would give the same back. licensing.md §3: superseded, it ends on its ``cut_on`` day.
    """
    move(licence, LicenceState.REVOKED, moves=LICENCE_MOVES, noun="licence", cut_on=cut_on, end_reason=reason)
    write_boxes(licence)
    payload = {"number": licence.number, "cut_on": cut_on.isoformat(), "reason": conceal(reason)}
    record_evidence("revoked", subject=subject_in_log(licence), payload=payload, at=at)
    return licence


@transaction.atomic
def take_back_begin(licence: Licence, *, at: datetime) -> None:
    """The delivery was called back before the client took it: use begins with the next one. A licence it took over runs on until then."""
    pictures = licence.pictures.all()
    lock_pictures(pictures, shoots=[licence.shoot_id] if licence.shoot_id else [])
    Licence.objects.filter(pk=licence.pk).update(delivered_on=None)
    licence.refresh_from_db()
    record_evidence("begin_taken_back", subject=subject_in_log(licence), payload={"number": licence.number}, at=at)
    _give_back(licence, at=at)


# Copies


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
    record_evidence("copies_reported", subject=subject_in_log(licence), payload=payload, at=at)
    return licence


# Inside


def _give_back(licence: Licence, *, at: datetime) -> None:
    """A changed licence that covers nothing again gives the days back that it took over; not those a rival was granted meanwhile."""
    if licence.supersedes_id is None or grant_on(licence, licence.pictures.all()).is_covering:
        return
    before = Licence.objects.select_for_update().get(pk=licence.supersedes_id)
    took = evidence_about(subject_in_log(before)).filter(kind="taken_over").order_by("seq").last()
    if took is None or before.cut_on is None or took.payload["cut_on"] != before.cut_on.isoformat():
        return
    before.cut_on = end_until_taken_over(before, on=before.cut_on)
    if rivals_on(before, before.pictures.all())[0]:
        return
    before.save(update_fields=["cut_on", "changed_at"])
    write_boxes(before)
    payload = {"number": before.number, "cut_on": before.cut_on.isoformat(), "by": licence.number}
    record_evidence("given_back", subject=subject_in_log(before), payload=payload, at=at)


def _lock_both(licence: Licence) -> None:
    """The pictures and shoots of a licence and of the one it took the place of, before any row of theirs is changed."""
    if licence.supersedes is None:
        return
    both = Licence.objects.filter(pk__in=(licence.pk, licence.supersedes.pk))
    shoots = [key for key in both.values_list("shoot_id", flat=True) if key is not None]
    lock_pictures(Picture.objects.filter(licences__in=both).distinct(), shoots=shoots)


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
        record_evidence("not_given_back", subject=subject_in_log(before), payload=payload, at=at)
        return
    cut_on, pictures = (
        before.cut_on,
        list(before.pictures.all()) or list(before.shoot.pictures.all() if before.shoot else []),
    )
    left = before.left
    before.state, before.left, before.cut_on = LicenceState.PAID, "", None
    clashes = rivals_on(before, pictures, shoots=[before.shoot_id] if before.shoot_id else [])[0]
    if clashes:
        numbers = formats.list_in_words([clash.number for clash in clashes], "en")
        payload["because"] = f"{numbers} was agreed meanwhile"
        before.state, before.left, before.cut_on = LicenceState.SUPERSEDED, left, cut_on
        record_evidence("not_given_back", subject=subject_in_log(before), payload=payload, at=at)
        return
    if gone.origin in (CHANGE, TOP_UP):
        before.copies_used = max(
            before.copies_used, gone.copies_used
        )  # once it took over, copies were reported on the new one
    before.save(update_fields=["state", "left", "cut_on", "copies_used", "changed_at"])
    write_boxes(before)
    payload |= {"was_cut_on": cut_on.isoformat() if cut_on else "", **days_in_log(before)}
    record_evidence("given_back", subject=subject_in_log(before), payload=payload, at=at)
