"""What can be done to a recipe, its moments, the shot list and the sheets of the day."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import datetime, time, timedelta
from typing import Any, TypeVar

from django.db import transaction
from django.db.models import F, QuerySet

from clients.models import Person
from shared.business.queries import current_business, today
from shared.edits import save_edit
from shared.errors import Refusal
from shared.files.actions import keep_file
from shared.files.models import StoredFile
from shared.links.actions import call_back_links, make_link
from shared.links.models import PrivateLink
from shared.outbox.actions import queue_mail
from shared.words.formats import with_capital
from shoots.brief.actions import change_dish
from shoots.brief.models import AgreedPicture, Dish, Shoot
from shoots.plan.models import Moment, SheetChoice, Shot, ShotKind
from shoots.plan.papers import call_sheet_pdf, cook_sheet_pdf
from shoots.plan.queries import (
    ShotToCome,
    call_sheet_of,
    cook_of,
    cook_sheet_of,
    shots_of,
    shots_to_come,
    titled_pictures,
    titled_shots,
    unasked_of,
)
from shoots.plan.serving import match_pictures
from shoots.plan.shots import MUST, grey_card, hazard_words
from shoots.plan.stages import stage_of

KEEP, REPLACE = "keep", "replace"
COOK_SHEET = "cook_sheet"
LINK_DAYS = 60

Row = TypeVar("Row", Moment, Shot)


class ShotInUse(Refusal):
    """A shot that was worked on stays on the list."""

    def __init__(self, shot: Shot) -> None:
        self.shot = shot
        super().__init__(
            f"“{shot}” has marks from the set or pictures, so it stays on the list.",
            "Nothing was changed.",
            "Mark it as skipped instead.",
        )


# What the cook told of a dish


@transaction.atomic
def tell_allergens(dish: Dish, *, allergens: Iterable[str], told_by: str, version: int) -> Dish:
    """Write down the allergens of a dish as somebody told them, with who told. None named is an answer too. Raises EditedMeanwhile."""
    dish.allergens, dish.allergens_told_by = list(dict.fromkeys(allergens)), told_by
    return change_dish(dish, fields=["allergens", "allergens_told_by"], version=version)


# The shot list


@transaction.atomic
def make_shot_list(shoot: Shoot) -> list[Shot]:
    """Draft the shots the list does not have yet: from the moments, the always-wanted set, and for promised pictures.

    A promised picture is joined to the shot whose words are nearest; change it where the guess is wrong. Pressed twice, it adds nothing.
    """
    shoot = _locked(shoot)
    in_order = list(shoot.shots.order_by("order", "pk"))
    made = []
    for coming in shots_to_come(shoot, in_order):
        shot = _write_shot(shoot, coming)
        in_order.insert(_place_of(shot, in_order, coming.before), shot)
        made.append(shot)
    _number(in_order)
    _join_pictures(shoot, in_order)
    return made


@transaction.atomic
def add_shots(shoot: Shoot, *, titles: Iterable[str], dish: Dish | None = None, **fields: Any) -> list[Shot]:
    """Shots by their titles, in the order they are named: after the last of their dish, or at the end."""
    shoot = _locked(shoot)
    in_order = list(shoot.shots.order_by("order", "pk"))
    made = []
    for title in titles:
        shot = Shot.objects.create(shoot=shoot, dish=dish, title=title, order=len(in_order), **fields)
        in_order.insert(_place_of(shot, in_order), shot)
        made.append(shot)
    _number(in_order)
    return made


@transaction.atomic
def change_shot(
    shot: Shot, *, fields: Iterable[str], version: int, pictures: Iterable[AgreedPicture] | None = None
) -> Shot:
    """Save the changed ``fields`` already set on a shot, and which promised pictures it serves. Raises EditedMeanwhile."""
    save_edit(shot, fields, version=version)
    if pictures is not None:
        shot.agreed_pictures.set(pictures)
    return shot


def move_shot(shot: Shot, *, places: int) -> None:
    """Move a shot ``places`` down the list (negative: up)."""
    _move_in_list(Shot.objects.filter(shoot_id=shot.shoot_id), shot, places)


def set_shot_state(shot: Shot, *, state: str) -> Shot:
    """Tick a shot as done, or set it back to planned, to be repeated or skipped."""
    changed = Shot.objects.filter(pk=shot.pk).exclude(state=state)
    changed.update(state=state, left_for_time=False, version=F("version") + 1)
    shot.refresh_from_db()
    return shot


@transaction.atomic
def leave_unasked_shots(shoot: Shoot) -> int:
    """Skip every planned shot that nobody asked for: nice to have, and for no promised picture. How many; ``take_up_shots`` brings them back."""
    unasked = [shot.pk for shot in unasked_of(shots_of(_locked(shoot)))]
    return Shot.objects.filter(pk__in=unasked).update(
        state=Shot.State.SKIPPED, left_for_time=True, version=F("version") + 1
    )


@transaction.atomic
def take_up_shots(shoot: Shoot) -> int:
    """The shots left for want of time are planned again; what was skipped by hand stays so. How many."""
    left = _locked(shoot).shots.filter(left_for_time=True, state=Shot.State.SKIPPED)
    return left.update(state=Shot.State.PLANNED, left_for_time=False, version=F("version") + 1)


def say_nothing_substituted(shot: Shot) -> None:
    """The answer for a shot is: nothing, all of it is real. One that names what was substituted is not written over."""
    asked = Shot.objects.filter(pk=shot.pk, substitution=Shot.Substitution.NOT_SAID)
    asked.update(substitution=Shot.Substitution.NOTHING, version=F("version") + 1)


@transaction.atomic
def add_grey_cards(shoot: Shoot, cards: Iterable[tuple[str, int]]) -> list[Shot]:
    """A grey card for each new light, by its name, before the shot of that key; a light that has its card gets none. The cards made."""
    shoot = _locked(shoot)
    in_order = list(shoot.shots.order_by("order", "pk"))
    made = []
    for light, before in cards:
        coming = ShotToCome(grey_card(light))
        if any(each.title == coming.draft.title for each in in_order):
            continue
        place = next((place for place, each in enumerate(in_order) if each.pk == before), len(in_order))
        card = _write_shot(shoot, coming)
        if place < len(in_order):
            card.planned_time, card.planned_day = in_order[place].planned_time, in_order[place].planned_day
        else:
            card.planned_time = None
        card.save(update_fields=["planned_time", "planned_day"])
        in_order.insert(place, card)
        made.append(card)
    _number(in_order)
    return made


@transaction.atomic
def set_planned_times(shoot: Shoot, times: Mapping[int, time], *, day: int = 1) -> int:
    """Write when each shot is planned on a day of the shoot, by the keys of its shots; the other shots keep theirs. How many changed."""
    shoot = _locked(shoot)
    changed = 0
    for shot in shoot.shots.filter(pk__in=times):
        if (shot.planned_day, shot.planned_time) != (day, times[shot.pk]):
            planned = {"planned_day": day, "planned_time": times[shot.pk]}
            Shot.objects.filter(pk=shot.pk).update(**planned, version=F("version") + 1)
            changed += 1
    return changed


@transaction.atomic
def remove_shot(shot: Shot) -> None:
    """Take a shot off the list. Raises ShotInUse when it was worked on."""
    if shot.takes.exists() or shot.marks.exists() or shot.pictures.exists():
        raise ShotInUse(shot)
    shot.delete()


# Cook's sheet and call sheet


@transaction.atomic
def send_cook_sheet(shoot: Shoot, *, email: str, at: datetime) -> PrivateLink:
    """Send the cook's sheet with a private link to its phone page; an earlier link is called back.

    The link is open for 60 days from ``at``, or from the day of the shoot if that is later.
    """
    cook, sheet = cook_of(shoot), cook_sheet_of(shoot, at=at)
    paper = keep_file(cook_sheet_pdf(sheet), name=f"cooks-sheet-{_day_of(shoot)}.pdf", kind="cook_sheet", at=at)
    call_back_links(_subject(shoot), purpose=COOK_SHEET, at=at)
    link = make_link(COOK_SHEET, subject=_subject(shoot), expires_at=_open_until(shoot, at), at=at, person=cook)
    _mail(
        shoot,
        "cook_sheet",
        to=email,
        to_name=cook.name if cook else "",
        language=cook.language if cook else shoot.client.language,
        paper=paper,
        at=at,
        link=link,
    )
    return link


@transaction.atomic
def make_cook_sheet_link(shoot: Shoot, *, at: datetime) -> PrivateLink:
    """A private link to the cook's sheet, to be handed over by hand; an earlier one is called back."""
    call_back_links(_subject(shoot), purpose=COOK_SHEET, at=at)
    return make_link(
        COOK_SHEET, subject=_subject(shoot), expires_at=_open_until(shoot, at), at=at, person=cook_of(shoot)
    )


def choose_cook_sheet(shoot: Shoot, *, is_musts_only: bool) -> None:
    """Whether the cook's sheet shows all its moments or the must-haves only: on paper, by mail and behind the link alike."""
    SheetChoice.objects.update_or_create(shoot=shoot, defaults={"is_musts_only": is_musts_only})


def call_back_cook_sheet(shoot: Shoot, *, at: datetime) -> int:
    """The link to the cook's sheet opens nothing from now on. How many were open."""
    return call_back_links(_subject(shoot), purpose=COOK_SHEET, at=at)


@transaction.atomic
def send_call_sheet(shoot: Shoot, *, people: Iterable[Person], at: datetime) -> int:
    """Send the call sheet to everyone who has an address, each in their own language. How many mails were written."""
    papers: dict[str, StoredFile] = {}
    sent = 0
    for person in dict.fromkeys(people):
        if not person.email:
            continue
        if person.language not in papers:
            sheet = call_sheet_of(shoot, language=person.language, at=at)
            papers[person.language] = keep_file(
                call_sheet_pdf(sheet), name=f"call-sheet-{_day_of(shoot)}.pdf", kind="call_sheet", at=at
            )
        _mail(
            shoot,
            "call_sheet",
            to=person.email,
            to_name=person.name,
            language=person.language,
            paper=papers[person.language],
            at=at,
        )
        sent += 1
    return sent


# Below: how shots are written


def _write_shot(shoot: Shoot, coming: ShotToCome) -> Shot:
    draft, moment = coming.draft, coming.moment
    celsius = moment.step.temperature_c if moment and moment.step else None
    shot = Shot.objects.create(
        shoot=shoot,
        dish=coming.dish,
        moment=moment,
        title=with_capital(draft.title)[:160],
        kind=draft.kind,
        stage=stage_of(draft.kind, moment.action if moment else None, moment.hazards if moment else ())
        if coming.dish
        else "",
        is_must=draft.wanted == MUST,
        angle=draft.angle,
        distance=draft.distance,
        frame_mm=draft.frame_mm,
        motion=draft.motion,
        light=draft.light,
        keep_back=draft.keep_back[:200],
        hazard=(hazard_words(moment.hazards, celsius) if moment else draft.hazard)[:200],
        cues=list(draft.cues),
        note=draft.note[:200],
    )
    if coming.picture:
        shot.agreed_pictures.add(coming.picture)
    return shot


def _place_of(shot: Shot, in_order: list[Shot], before: Collection[int] = ()) -> int:
    """Before the first shot of ``before``, or after the last shot of its dish; a new dish before the shots of the day that close the list; those
    of the day at its ends, the portrait behind all of them."""
    first = next((place for place, each in enumerate(in_order) if each.pk in before), None)
    if first is not None:
        return first
    same = [place for place, each in enumerate(in_order) if each.dish_id == shot.dish_id]
    if shot.dish_id is not None:
        if same:
            return same[-1] + 1
        with_dish = [place for place, each in enumerate(in_order) if each.dish_id is not None]
        opening = [
            place for place, each in enumerate(in_order) if each.dish_id is None and each.kind != ShotKind.PORTRAIT
        ]
        return (with_dish or opening or [-1])[-1] + 1
    cards = [place for place in same if in_order[place].kind == ShotKind.GREY_CARD]
    if shot.kind == ShotKind.GREY_CARD:
        return (cards or [-1])[-1] + 1
    if shot.kind == ShotKind.ROOM and same:
        return (cards or same)[-1] + 1
    closes = bool(in_order) and in_order[-1].kind == ShotKind.PORTRAIT
    return len(in_order) - (closes and shot.kind != ShotKind.PORTRAIT)


def _join_pictures(shoot: Shoot, shots: list[Shot]) -> None:
    without = (
        shoot.agreed_pictures.exclude(state=AgreedPicture.State.LEFT_OUT).filter(shots=None).select_related("dish")
    )
    by_key = {shot.pk: shot for shot in shots}
    for picture, shot in match_pictures(titled_pictures(without), titled_shots(shots)).items():
        by_key[shot].agreed_pictures.add(picture)


def _locked(shoot: Shoot) -> Shoot:
    return Shoot.objects.select_for_update().get(pk=shoot.pk)


def _number(rows: Sequence[Row]) -> None:
    """Write the order of rows as they stand, where it changed."""
    for order, row in enumerate(rows):
        if row.order != order:
            row.order = order
            type(row)._default_manager.filter(pk=row.pk).update(order=order)


@transaction.atomic
def _move_in_list(rows: QuerySet[Row], row: Row, places: int) -> None:
    in_order = list(rows.select_for_update().order_by("order", "pk"))
    here = next((index for index, each in enumerate(in_order) if each.pk == row.pk), None)
    if here is None:
        return
    in_order.insert(min(max(here + places, 0), len(in_order) - 1), in_order.pop(here))
    _number(in_order)


# Below: how sheets are sent


def _subject(shoot: Shoot) -> str:
    return f"shoot:{shoot.pk}"


def _day_of(shoot: Shoot) -> str:
    return shoot.first_on.isoformat() if shoot.first_on else f"shoot-{shoot.pk}"


def _open_until(shoot: Shoot, at: datetime) -> datetime:
    last_on = shoot.last_on or shoot.first_on
    days_to_go = max((last_on - today(at)).days, 0) if last_on else 0
    return at + timedelta(days=days_to_go + LINK_DAYS)


def _mail(
    shoot: Shoot,
    template: str,
    *,
    to: str,
    to_name: str,
    language: str,
    paper: StoredFile,
    at: datetime,
    link: PrivateLink | None = None,
) -> None:
    queue_mail(
        to=to,
        to_name=to_name,
        template=template,
        language=language,
        context={"shoot": shoot, "name": to_name, "business": current_business(today(at)), "link": link},
        at=at,
        about=_subject(shoot),
        attachments=[paper],
    )
