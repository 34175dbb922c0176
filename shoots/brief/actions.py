"""What can be done to a shoot, its dishes, its pictures and its people."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.db.models import F, Max

from clients.actions import keep_trades
from clients.models import Client, Person
from shared.edits import save_edit
from shared.errors import Refusal
from shared.evidence.actions import conceal, record_evidence
from shared.states import move
from shoots.brief.models import SHOOT_MOVES, AgreedPicture, Dish, SellingOn, Shoot, ShootMove, ShootPerson, ShootState


class ShootHasNoDate(Refusal):
    """A day is needed before the shoot can be pencilled, confirmed or marked as shot."""

    def __init__(self, shoot: Shoot) -> None:
        self.shoot = shoot
        super().__init__("This shoot has no day yet.", "Nothing was changed.", "Enter the day of the shoot first.")


class DaysReversed(Refusal):
    """The last day lies before the first."""

    def __init__(self) -> None:
        super().__init__(
            "The last day lies before the first.",
            "Nothing was changed.",
            "Enter a last day that is the first day or a later one.",
        )


class PartTaken(Refusal):
    """The person has this part in the shoot already."""

    def __init__(self, row: ShootPerson) -> None:
        self.row = row
        super().__init__(
            f"{row.person} is on this shoot as {row.get_part_display().lower()} already.",
            "Nothing was changed.",
            "Choose another part, or change the other line.",
        )


@transaction.atomic
def open_shoot(
    client: Client,
    *,
    title: str,
    at: datetime,
    by: str = "",
    billing_party: Client | None = None,
    licensee: Client | None = None,
    use: Mapping[str, Any] | None = None,
    dishes: Iterable[str] = (),
    pictures: Iterable[str] = (),
    **fields: Any,
) -> Shoot:
    """A new enquiry with its dishes and the pictures wanted, by name, or nothing of it. Who pays and who may use the pictures is the client unless said otherwise; ``use`` holds the fields of ``IntendedUse``.

    The pictures may be sold to others only when the client has said so, so selling on begins as *not agreed*.
    """
    shoot = Shoot.objects.create(
        client=client,
        title=title,
        billing_party=billing_party or client,
        licensee=licensee or client,
        **(use or {}),
        **fields,
    )
    ShootMove.objects.create(shoot=shoot, at=at, was=shoot.state, became=shoot.state, reason="Enquiry opened", by=by)
    add_dishes(shoot, names=dishes)
    want_pictures(shoot, titles=pictures)
    return shoot


@transaction.atomic
def change_shoot(shoot: Shoot, *, fields: Iterable[str], version: int, at: datetime, by: str = "") -> Shoot:
    """Saves the changed ``fields`` already set on ``shoot``; a changed day goes into the history. Raises ``EditedMeanwhile``."""
    old = Shoot.objects.select_for_update().get(pk=shoot.pk)
    save_edit(shoot, fields, version=version)
    if old.first_on != shoot.first_on:
        ShootMove.objects.create(
            shoot=shoot,
            at=at,
            was=old.state,
            became=old.state,
            old_first_on=old.first_on,
            new_first_on=shoot.first_on,
            reason="Day changed",
            by=by,
        )
    return shoot


def pencil_shoot(shoot: Shoot, *, held_until: date | None, at: datetime, by: str = "", reason: str = "") -> Shoot:
    """Holds the day for the client until ``held_until`` (inclusive; ``None`` holds it without end)."""
    _need_a_day(shoot)
    return _move(shoot, ShootState.PENCILLED, at=at, by=by, reason=reason, held_until=held_until)


def release_hold(shoot: Shoot, *, at: datetime, by: str = "", reason: str = "") -> Shoot:
    """Gives a pencilled day up again; the enquiry stays."""
    return _move(shoot, ShootState.ENQUIRY, at=at, by=by, reason=reason, held_until=None)


def confirm_shoot(shoot: Shoot, *, at: datetime, by: str = "", reason: str = "") -> Shoot:
    """The client has said yes. A confirmed shoot needs no hold."""
    return _move(shoot, ShootState.CONFIRMED, at=at, by=by, reason=reason, held_until=None)


def mark_shot(shoot: Shoot, *, shot_on: date, at: datetime, by: str = "", reason: str = "") -> Shoot:
    """The pictures were taken; the last day of work was ``shot_on``."""
    return _move(shoot, ShootState.SHOT, at=at, by=by, reason=reason, shot_on=shot_on)


def take_back_shot(shoot: Shoot, *, at: datetime, by: str = "", reason: str = "") -> Shoot:
    """Marked as shot by mistake: the shoot is confirmed again."""
    return _move(shoot, ShootState.CONFIRMED, at=at, by=by, reason=reason, shot_on=None)


def mark_delivered(shoot: Shoot, *, delivered_on: date, at: datetime, by: str = "", reason: str = "") -> Shoot:
    """The client has the pictures since ``delivered_on``."""
    return _move(shoot, ShootState.DELIVERED, at=at, by=by, reason=reason, delivered_on=delivered_on)


def take_back_delivered(shoot: Shoot, *, at: datetime, by: str = "", reason: str = "") -> Shoot:
    """The delivery was called back: the shoot is shot, not delivered."""
    return _move(shoot, ShootState.SHOT, at=at, by=by, reason=reason, delivered_on=None)


def cancel_shoot(shoot: Shoot, *, reason: str, by: str, at: datetime) -> Shoot:
    """The job will not happen. What is due by the accepted terms is billing's to say."""
    return _move(shoot, ShootState.CANCELLED, at=at, by=by, reason=reason, held_until=None)


def postpone_shoot(
    shoot: Shoot,
    *,
    new_first_on: date | None,
    at: datetime,
    reason: str = "",
    by: str = "",
    new_last_on: date | None = None,
) -> Shoot:
    """The job moves to another day, or waits for one (``None``); its old day stays in the history.

    The shoot is *postponed* until somebody pencils or confirms it again.
    """
    if new_first_on is None:
        new_last_on = None
    elif new_last_on is not None and new_last_on < new_first_on:
        raise DaysReversed
    return _move(
        shoot,
        ShootState.POSTPONED,
        at=at,
        by=by,
        reason=reason,
        held_until=None,
        first_on=new_first_on,
        last_on=new_last_on,
    )


@transaction.atomic
def agree_selling_on(
    shoot: Shoot,
    *,
    selling_on: str,
    at: datetime,
    after: date | None = None,
    not_to: Sequence[str] = (),
    note: str = "",
    by: str = "",
) -> Shoot:
    """Writes down what the client said about selling the pictures to others, with how they said it, into the evidence chain.

    ``after`` is the last day on which they may not be sold (selling on *after a date*); ``not_to`` are trades (*not to named trades*);
    those not on the list of trades are added. Raises ``TradeRefused``.
    """
    shoot = _locked(shoot)
    was = shoot.selling_on
    shoot.selling_on = selling_on
    shoot.selling_on_after = after if selling_on == SellingOn.AFTER else None
    shoot.selling_on_not_to = keep_trades(not_to) if selling_on == SellingOn.NOT_TO else []
    save_edit(shoot, ["selling_on", "selling_on_after", "selling_on_not_to"], version=shoot.version)
    record_evidence(
        "selling_on_agreed",
        subject=f"shoot:{shoot.pk}",
        payload={
            "was": was,
            "became": selling_on,
            "after": shoot.selling_on_after.isoformat() if shoot.selling_on_after else "",
            "not_to": list(shoot.selling_on_not_to),
            "note": conceal(note),
            "by": conceal(by),
        },
        at=at,
    )
    reason = f"Selling on: {shoot.get_selling_on_display().lower()}. {note}".strip()[:300]
    ShootMove.objects.create(shoot=shoot, at=at, was=shoot.state, became=shoot.state, reason=reason, by=by)
    return shoot


@transaction.atomic
def use_correction_round(shoot: Shoot, *, at: datetime, by: str = "") -> Shoot:
    """Counts one round of corrections as used. Rounds past those included are allowed; the estimate says what they cost."""
    shoot = _locked(shoot)
    Shoot.objects.filter(pk=shoot.pk).update(corrections_used=F("corrections_used") + 1)
    shoot.refresh_from_db()
    reason = f"Round {shoot.corrections_used} of corrections, {shoot.corrections_included} included"
    ShootMove.objects.create(shoot=shoot, at=at, was=shoot.state, became=shoot.state, reason=reason, by=by)
    return shoot


# Dishes


@transaction.atomic
def add_dish(shoot: Shoot, *, name: str, **fields: Any) -> Dish:
    """A dish at the end of the list. An allergen list is what the cook told, with who told it."""
    _locked(shoot)
    return Dish.objects.create(shoot=shoot, name=name, order=_next_order(shoot.dishes), **fields)


def add_dishes(shoot: Shoot, *, names: Iterable[str]) -> list[Dish]:
    """Several dishes at once, in the order they are named."""
    with transaction.atomic():
        return [add_dish(shoot, name=name) for name in names]


def change_dish(dish: Dish, *, fields: Iterable[str], version: int) -> Dish:
    """Saves the changed ``fields`` already set on ``dish``. Raises ``EditedMeanwhile``."""
    with transaction.atomic():
        return save_edit(dish, fields, version=version)


def move_dish(dish: Dish, *, places: int) -> None:
    """Moves a dish ``places`` down the list (negative: up)."""
    _move_in_list(Dish.objects.filter(shoot_id=dish.shoot_id), dish, places)


def remove_dish(dish: Dish) -> None:
    """Takes a dish off the shoot. Its pictures stay, without a dish."""
    dish.delete()


# Pictures


@transaction.atomic
def want_pictures(shoot: Shoot, *, titles: Iterable[str], **fields: Any) -> list[AgreedPicture]:
    """Pictures the client wants, in the order they are named, at the end of the list. They are agreed when an estimate is accepted.

    A title that begins with the name of a dish, such as *Bread boat, the last end*, is a picture of that dish unless said otherwise.
    """
    _locked(shoot)
    order = _next_order(shoot.agreed_pictures)
    dishes = sorted(shoot.dishes.all(), key=lambda dish: -len(dish.name))
    made = []
    for place, title in enumerate(titles):
        named = next((dish for dish in dishes if title.casefold().startswith(dish.name.casefold())), None)
        values = {**fields, "dish": fields.get("dish") or named}
        made.append(AgreedPicture.objects.create(shoot=shoot, title=title, order=order + place, **values))
    return made


def agree_pictures(shoot: Shoot, *, pictures: Iterable[AgreedPicture]) -> int:
    """The client has agreed to these pictures of the shoot. How many became agreed."""
    wanted = [picture.pk for picture in pictures]
    return shoot.agreed_pictures.filter(pk__in=wanted).update(
        state=AgreedPicture.State.AGREED, version=F("version") + 1
    )


def leave_out_picture(picture: AgreedPicture) -> None:
    """The picture is not taken after all; it stays on the list as left out."""
    _set_picture_state(picture, AgreedPicture.State.LEFT_OUT)


def take_up_picture(picture: AgreedPicture) -> None:
    """A picture left out is wanted again."""
    _set_picture_state(picture, AgreedPicture.State.WANTED)


def change_agreed_picture(picture: AgreedPicture, *, fields: Iterable[str], version: int) -> AgreedPicture:
    """Saves the changed ``fields`` already set on ``picture``. Raises ``EditedMeanwhile``."""
    with transaction.atomic():
        return save_edit(picture, fields, version=version)


def move_agreed_picture(picture: AgreedPicture, *, places: int) -> None:
    """Moves a picture ``places`` down the list (negative: up)."""
    _move_in_list(AgreedPicture.objects.filter(shoot_id=picture.shoot_id), picture, places)


# People


def give_part(shoot: Shoot, *, person: Person, part: str, **fields: Any) -> ShootPerson:
    """Puts a person on the shoot with a part, hours and what they bring; said again, the newer words stand."""
    row, _ = ShootPerson.objects.update_or_create(shoot=shoot, person=person, part=part, defaults=fields)
    return row


def change_part(row: ShootPerson, *, fields: Iterable[str]) -> ShootPerson:
    """Saves the changed ``fields`` already set on a part. Raises ``PartTaken`` when the person has that part already."""
    taken = ShootPerson.objects.filter(shoot_id=row.shoot_id, person_id=row.person_id, part=row.part).exclude(pk=row.pk)
    if taken.exists():
        raise PartTaken(row)
    row.save(update_fields=list(fields))
    return row


def take_part_away(row: ShootPerson) -> None:
    """The person no longer has this part in the shoot."""
    row.delete()


def lock_shoots(*shoots: int | None) -> None:
    """Lock the rows of these shoots until the transaction ends; ``None`` is no shoot.

    Whoever changes what a job costs or has cost locks its shoot before any other row and reads afterwards: so no two wait for each
    other, and an invoice is never reckoned from what somebody else is changing. Rows may still be added to the shoot meanwhile.
    """
    wanted = {shoot for shoot in shoots if shoot is not None}
    if wanted:
        list(Shoot.objects.select_for_update(no_key=True).filter(pk__in=wanted).order_by("pk").values_list("pk"))


def _locked(shoot: Shoot) -> Shoot:
    """The row as it is now, locked, in the object handed in."""
    Shoot.objects.select_for_update().get(pk=shoot.pk)
    shoot.refresh_from_db()
    return shoot


@transaction.atomic
def _move(shoot: Shoot, to: str, *, at: datetime, by: str, reason: str, **also: Any) -> Shoot:
    _locked(shoot)
    was, old_first_on = shoot.state, shoot.first_on
    move(shoot, to, moves=SHOOT_MOVES, noun="shoot", version=F("version") + 1, changed_at=at, **also)
    ShootMove.objects.create(
        shoot=shoot,
        at=at,
        was=was,
        became=to,
        old_first_on=old_first_on,
        new_first_on=shoot.first_on,
        reason=reason[:300],
        by=by,
    )
    return shoot


def _need_a_day(shoot: Shoot) -> None:
    if not Shoot.objects.filter(pk=shoot.pk, first_on__isnull=False).exists():
        raise ShootHasNoDate(shoot)


def _next_order(rows: Any) -> int:
    last = rows.aggregate(last=Max("order"))["last"]
    return 0 if last is None else int(last) + 1


@transaction.atomic
def _move_in_list(rows: Any, row: Any, places: int) -> None:
    in_order = list(rows.select_for_update().order_by("order", "pk"))
    here = next((index for index, each in enumerate(in_order) if each.pk == row.pk), None)
    if here is None:
        return
    there = min(max(here + places, 0), len(in_order) - 1)
    in_order.insert(there, in_order.pop(here))
    for order, each in enumerate(in_order):
        if each.order != order:
            rows.filter(pk=each.pk).update(order=order)


def _set_picture_state(picture: AgreedPicture, state: str) -> None:
    AgreedPicture.objects.filter(pk=picture.pk).update(state=state, version=F("version") + 1)
    picture.refresh_from_db()
