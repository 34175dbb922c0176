from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db import transaction

from clients.models import Client
from shared.business.queries import current_business, today
from shared.edits import save_edit
from shared.errors import Refusal
from shared.evidence.actions import conceal, record_evidence
from shared.files.actions import keep_file
from shared.files.pictures import check_picture
from shared.files.refusals import FileTooLarge
from shared.numbers.actions import take_count
from shared.numbers.series import format_number
from shared.outbox.actions import queue_mail
from shared.outbox.models import Message
from shared.papers.kept import as_json
from shared.papers.printing import kept_picture_uri
from shared.states import move
from shared.words import formats
from shoots.brief.models import USE_FIELDS, Exclusivity
from shoots.found.models import FOUND_MOVES, FoundLetter, FoundShot, FoundState, FoundUse
from shoots.found.papers import letter_pdf
from shoots.found.queries import (
    ON_ITS_WAY,
    answer_of,
    asks_for_copies,
    found_in_full,
    letter_shown,
    print_sources,
    seen_of,
)
from shoots.found.snapshot import LetterShown
from shoots.found.wording import missing_in_words
from shoots.licences.actions import NoCell, draft_licence, offer_licence
from shoots.licences.models import Licence
from shoots.licences.queries import PAST_USE
from shoots.pictures.models import Picture
from shoots.pictures.reading import screen_copy

SCREENSHOTS = frozenset({"image/jpeg", "image/png", "image/webp", "application/pdf"})
LARGEST_SCREENSHOT = 20 * 1024 * 1024
LONGEST_COPY = 1600
FACTS = (
    "seen_on", "since", "place", "link", "client", "user_name", "use_classes", "use_media", "use_territories", "use_copies", "note",
)  # fmt: skip


class NotKnownEnough(Refusal):
    """A letter about a use, and an offer, need to know which picture, where and by whom."""

    def __init__(self, missing: str, *, what: str = "The letter cannot be written") -> None:
        super().__init__(
            f"{what} yet: it is not known {missing}.",
            "Nothing was changed.",
            "Add that to the use first.",
        )


class OnItsWay(Refusal):
    """A licence for the use is drafted, offered or agreed: a second one would bill it twice."""

    def __init__(self, licence: Licence) -> None:
        super().__init__(
            f"{licence.number} for this use is {licence.get_state_display().lower()} already.",
            "No other licence was made.",
            "Open that licence: it is accepted, declined or deleted there.",
        )


class NothingToAsk(Refusal):
    """The user has a licence that covers what was seen."""

    def __init__(self, user: str) -> None:
        super().__init__(
            f"{user} holds a licence for this use.",
            "Nothing was written.",
            "Read the answer on the page of the use. If more was used than is written there, correct it first.",
        )


class NoLetterYet(Refusal):
    """There is no letter to send."""

    def __init__(self) -> None:
        super().__init__("There is no letter yet.", "Nothing was sent.", "Write the letter first.")


@dataclass(frozen=True, slots=True)
class Upload:
    """A file as it came in: its bytes and the name it had."""

    data: bytes
    name: str


@transaction.atomic
def record_use(*, pictures: Iterable[Picture], screenshots: Iterable[Upload], at: datetime, **facts: Any) -> FoundUse:
    """Record a use seen in the wild, numbered, with its screenshots. ``facts`` are the fields of ``FACTS``; only seen_on and place must be.

    Raises FileTypeRefused, FileTooLarge, PictureRefused: then nothing is recorded.
    """
    on = today(at)
    found = FoundUse(number=format_number("F-", on.year, take_count("found", year=on.year)), made_at=at, **facts)
    found.save(force_insert=True)
    found.pictures.set(pictures)
    payload = {"number": found.number, "seen_on": found.seen_on.isoformat(), "pictures": _numbers(found)}
    record_evidence("use_found", subject=_subject(found), payload=payload, at=at)
    for upload in screenshots:
        _keep_shot(found, upload, at)
    return found


@transaction.atomic
def change_use(found: FoundUse, *, version: int, at: datetime, **facts: Any) -> FoundUse:
    """Correct or complete what was recorded. Letters keep what they said. Raises EditedMeanwhile."""
    for name, value in facts.items():
        setattr(found, name, value)
    save_edit(found, list(facts), version=version)
    record_evidence("use_changed", subject=_subject(found), payload={"fields": sorted(facts)}, at=at)
    return found


@transaction.atomic
def name_pictures(found: FoundUse, pictures: Iterable[Picture], *, at: datetime) -> FoundUse:
    """Say which pictures were seen, instead of those said before."""
    found = FoundUse.objects.select_for_update().get(pk=found.pk)
    found.pictures.set(pictures)
    record_evidence("pictures_named", subject=_subject(found), payload={"pictures": _numbers(found)}, at=at)
    return found


@transaction.atomic
def add_screenshots(found: FoundUse, screenshots: Iterable[Upload], *, at: datetime) -> list[FoundShot]:
    """Keep further screenshots or photographs of a use, all or none. Raises FileTypeRefused, FileTooLarge, PictureRefused."""
    return [_keep_shot(found, upload, at) for upload in screenshots]


@transaction.atomic
def write_letter(
    found: FoundUse, *, language: str, address: str = "", asks: Iterable[str], answer_by: date, at: datetime
) -> FoundLetter:
    """Freeze what is known, print the letter and keep its bytes; a further letter is a further version, the earlier ones stay.

    Nothing is sent. Raises NotKnownEnough, NothingToAsk.
    """
    FoundUse.objects.select_for_update().get(pk=found.pk)
    found = found_in_full(found.pk).get()
    answer = answer_of(found)
    if answer["now"].missing:
        raise NotKnownEnough(missing_in_words(answer["now"].missing))
    if not found.user:
        raise NotKnownEnough("who uses it")
    if answer["now"].is_covered:
        raise NothingToAsk(found.user)
    shown = letter_shown(
        found, language=language, address=address, asks=asks, answer_by=answer_by, answer=answer, at=at
    )
    printed = _printed(shown, at)
    file = keep_file(printed, name=f"letter-{shown.number}-{shown.version}.pdf", kind="found_letter", at=at)
    letter = FoundLetter.objects.create(
        found=found, version=shown.version, snapshot=as_json(shown), file=file, made_at=at
    )
    move(found, FoundState.WRITTEN, moves=FOUND_MOVES, noun="use", answer_by=answer_by, answer="", answered_on=None)
    payload = {
        "number": found.number,
        "version": letter.version,
        "paper": file.sha256,
        "covered_then": shown.covered_then,
        "covered_now": shown.covered_now,
        "screenshots": [shot.sha256 for shot in shown.shots],
    }
    record_evidence("letter_written", subject=_subject(found), payload=payload, at=at)
    return letter


@transaction.atomic
def send_letter(found: FoundUse, *, to: str, at: datetime) -> Message:
    """Put the last letter, with its screenshots, into an e-mail. Without a mail server it is kept as a draft. Raises NoLetterYet."""
    letter = FoundLetter.objects.filter(found=found).select_related("file").order_by("version").last()
    if letter is None:
        raise NoLetterYet
    wanted = {shot["sha256"] for shot in letter.snapshot["shots"]}
    shots = [shot.file for shot in found.shots.select_related("file") if shot.file.sha256 in wanted]
    message = queue_mail(
        to=to,
        to_name=letter.snapshot["user"],
        template="found_letter",
        language=letter.snapshot["language"],
        context=_mail_words(letter.snapshot, current_business(today(at))),
        attachments=[letter.file, *shots],
        at=at,
        about=_subject(found),
    )
    record_evidence("sent", subject=_subject(found), payload={"version": letter.version, "to": conceal(to)}, at=at)
    return message


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
def offer_for_use(
    found: FoundUse,
    *,
    licensee: Client,
    first_day: date,
    last_day: date,
    fee_net: Decimal,
    copies: int | None = None,
    goes_on_until: date | None = None,
    goes_on_fee: Decimal | None = None,
    is_draft: bool = False,
    write_to_client: bool = False,
    at: datetime,
) -> Licence:
    """Offer (or draft) the user a licence for exactly the days on which it was used, today the last at most; fees are handed in.

    With ``goes_on_until`` a second, ordinary licence is offered for the days after, and its fee: the first is about a fact and refused by
    no rival, the second is checked like any other. Nothing is covered before they are accepted and paid. Gives the one for the days
    that are over. ``copies``: how many a printed use was made in where nobody saw it, or ``ANY_NUMBER``. Raises NotKnownEnough (also
    while a counted medium has neither), OnItsWay, and what ``offer_for_past_use`` and ``offer_licence`` raise; then nothing is offered.
    """
    found = FoundUse.objects.select_for_update().get(pk=found.pk)
    if found.licence is not None and found.licence.state in ON_ITS_WAY:
        raise OnItsWay(found.licence)
    pictures = list(found.pictures.select_related("shoot").order_by("number"))
    missing = seen_of(found, pictures).missing
    if missing:
        raise NotKnownEnough(missing_in_words(missing), what="The licence cannot be offered")
    if asks_for_copies(found) and copies is None:
        raise NotKnownEnough("how many copies were made", what="The licence cannot be offered")
    told = {} if is_draft else {"write_to_client": write_to_client}
    licence = offer_for_past_use(
        licensee=licensee,
        pictures=pictures,
        classes=found.use_classes,
        media=found.use_media,
        territories=found.use_territories,
        copies=copies if asks_for_copies(found) else found.use_copies,
        first_day=first_day,
        last_day=last_day,
        fee_net=fee_net,
        reason=f"{found.number}: {found.place}, seen on {formats.day(found.seen_on, 'en')}",
        is_draft=is_draft,
        at=at,
        **told,
    )
    payload = {"licence": licence.number}
    if goes_on_until is not None:
        payload["goes_on_with"] = _offer_what_follows(
            licence, goes_on_until, goes_on_fee, is_draft=is_draft, told=told, at=at
        )
    FoundUse.objects.filter(pk=found.pk).update(licence=licence)
    deed = "licence_drafted" if is_draft else "licence_offered"
    record_evidence(deed, subject=_subject(found), payload=payload, at=at)
    return licence


def _offer_what_follows(
    past: Licence, until: date, fee: Decimal | None, *, is_draft: bool, told: Mapping[str, Any], at: datetime
) -> str:
    """The same use from the day after; gives its number."""
    make = draft_licence if is_draft else offer_licence
    follows = make(
        licensee=past.licensee,
        pictures=past.pictures.select_related("shoot").order_by("number"),
        use={name: getattr(past, name) for name in USE_FIELDS},
        first_day=past.use_until,
        last_day=until,
        fee_net=fee or Decimal(0),
        renews=past,
        at=at,
        **told,
    )
    return follows.number


@transaction.atomic
def record_outcome(
    found: FoundUse,
    outcome: str,
    *,
    answered_on: date | None,
    answer: str = "",
    licence: Licence | None = None,
    at: datetime,
) -> FoundUse:
    """Say what came of it. ``licence`` is the one taken afterwards; without it one offered before stays beside the use. Raises MoveRefused where it stands so already."""
    found = FoundUse.objects.select_for_update().get(pk=found.pk)
    move(
        found,
        outcome,
        moves=FOUND_MOVES,
        noun="use",
        answered_on=answered_on,
        answer=answer,
        licence=licence or found.licence,
    )
    payload = {
        "outcome": outcome,
        "licence": licence.number if licence else "",
        "answer": conceal(answer) if answer else "",
    }
    record_evidence("outcome_recorded", subject=_subject(found), payload=payload, at=at)
    return found


# Inside


def _subject(found: FoundUse) -> str:
    return f"found:{found.pk}"


def _numbers(found: FoundUse) -> list[str]:
    return list(found.pictures.order_by("number").values_list("number", flat=True))


def _keep_shot(found: FoundUse, upload: Upload, at: datetime) -> FoundShot:
    if len(upload.data) > LARGEST_SCREENSHOT:
        raise FileTooLarge(upload.name, len(upload.data), LARGEST_SCREENSHOT)
    file = keep_file(upload.data, name=upload.name, kind="screenshot", at=at, accepts=SCREENSHOTS)
    copy = None
    if file.media_type != "application/pdf":
        check_picture(upload.data, name=upload.name)
        copy = keep_file(
            screen_copy(upload.data, LONGEST_COPY), name=f"{file.sha256[:12]}.jpg", kind="screenshot_copy", at=at
        )
    shot = FoundShot.objects.create(found=found, file=file, copy=copy)
    record_evidence("screenshot_kept", subject=_subject(found), payload={"sha256": file.sha256}, at=at)
    return shot


def _printed(shown: LetterShown, at: datetime) -> bytes:
    logo = kept_picture_uri(current_business(today(at)).logo)
    return letter_pdf(shown, logo=logo, frames=print_sources(shown))


def _mail_words(kept: Mapping[str, Any], business: Any) -> dict[str, Any]:
    return {
        "number": kept["number"],
        "name": kept["user"],
        "place": kept["place"],
        "link": kept["link"],
        "count": len(kept["pictures"]),
        "numbers": ", ".join(picture["number"] for picture in kept["pictures"]),
        "seen_on": date.fromisoformat(kept["seen_on"]),
        "answer_by": date.fromisoformat(kept["answer_by"]),
        "business": business,
    }
