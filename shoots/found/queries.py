from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Prefetch, Q, QuerySet

from clients.models import Client
from shared.business.queries import business_on, current_business, today
from shared.files.models import StoredFile
from shared.outbox.queries import messages_about
from shared.papers.printing import kept_picture_uri
from shoots.found.models import FoundShot, FoundState, FoundUse
from shoots.found.snapshot import LetterShown, LicenceFound, PictureSeen, ShotShown
from shoots.found.verdict import Held, OnPicture, Seen, Verdict, copies_are_open, is_overdue, judge, known_on
from shoots.found.wording import (
    missing_in_words,
    reason_sentences,
    seen_in_words,
    unknown_sentences,
    use_seen_in_words,
)
from shoots.licences.cover import Reason
from shoots.licences.models import Licence, LicenceState
from shoots.licences.queries import Holding, address_of, holdings_on, sender_of
from shoots.pictures.models import Picture
from shoots.pictures.queries import pictures_listed
from shoots.uses.days import last_day
from shoots.uses.shipped import IN_FORCE

PICTURES_TO_PICK = 24


# What was seen, and the licences on it, as values


def seen_of(found: FoundUse, pictures: Iterable[Picture]) -> Seen:
    """What was seen, as the calculations ask it."""
    return Seen(
        pictures=tuple(str(picture.pk) for picture in pictures),
        seen_on=found.seen_on,
        since=found.since,
        classes=frozenset(found.use_classes),
        media=frozenset(found.use_media),
        territories=frozenset(found.use_territories),
        copies=found.use_copies,
        user=str(found.client_id) if found.client_id else None,
    )


def held_of(holding: Holding) -> Held:
    """A licence with the days it was agreed and paid on."""
    licence = holding.licence
    agreed = licence.frozen.get("on")
    agreed_on = date.fromisoformat(agreed) if agreed else None
    if agreed_on is None and licence.accepted_at is not None:
        agreed_on = today(licence.accepted_at)
    return Held(holding.grant, licence.number, licence.licensee.name, agreed_on, licence.paid_on)


# Lists


def found_listed(*, text: str = "", state: str = "", client: Client | None = None) -> QuerySet[FoundUse]:
    """Uses whose number, place, link, note, user or picture holds ``text``; the latest seen first. ``state``: ``open`` is without an outcome."""
    found = FoundUse.objects.select_related("client", "licence").prefetch_related(
        Prefetch("pictures", Picture.objects.select_related("shoot").order_by("number")),
        Prefetch("shots", FoundShot.objects.select_related("copy")),
    )
    if state == "open":
        found = found.filter(state__in=(FoundState.NEW, FoundState.WRITTEN))
    elif state:
        found = found.filter(state=state)
    if client is not None:
        found = found.filter(client=client)
    for word in text.split():
        shown = FoundUse.pictures.through.objects.filter(
            Q(picture__number__icontains=word) | Q(picture__title__icontains=word)
        )
        found = found.filter(
            Q(number__icontains=word)
            | Q(place__icontains=word)
            | Q(link__icontains=word)
            | Q(note__icontains=word)
            | Q(user_name__icontains=word)
            | Q(client__name__icontains=word)
            | Q(pk__in=shown.values("founduse"))
        )
    return found


def found_waiting(on: date) -> QuerySet[FoundUse]:
    """Uses without a next step: nobody has looked into them, or the day to answer the letter is over. The oldest first.

    While a licence for it is offered or agreed the next step is the client's.
    """
    waits = Q(state=FoundState.NEW) | Q(state=FoundState.WRITTEN, answer_by__lt=on)
    their_turn = Q(licence__state__in=(LicenceState.OFFERED, LicenceState.ACCEPTED))
    return FoundUse.objects.filter(waits).exclude(their_turn).select_related("client").order_by("seen_on", "pk")


def rows_of(uses: Iterable[FoundUse], on: date) -> list[dict[str, Any]]:
    """Each use with its answer and how it stands, for a list: three queries for any number of uses.

    Hand in what ``found_listed`` gives.
    """
    uses = list(uses)
    pictures = {picture.pk: picture for found in uses for picture in found.pictures.all()}
    held = [held_of(each) for each in holdings_on(pictures.values())]
    return [_row(found, held, on) for found in uses]


def _row(found: FoundUse, held: list[Held], on: date) -> dict[str, Any]:
    verdict = judge(seen_of(found, found.pictures.all()), held)
    shots = list(found.shots.all())
    return {
        "found": found,
        "verdict": verdict,
        "look": state_look(found, on),
        "words": state_words(found, on),
        "shot": next((shot for shot in shots if shot.copy_id), None),
    }


LICENCE_WORDS = {
    LicenceState.DRAFT: ("look", "Licence drafted"),
    LicenceState.OFFERED: ("wait", "Licence offered"),
    LicenceState.ACCEPTED: ("wait", "Licence agreed, not paid yet"),
    LicenceState.PAID: ("look", "Licence paid, record the outcome"),
    LicenceState.DECLINED: ("look", "Licence declined"),
}
"""How a use without an outcome stands once a licence was written up for it."""


def state_look(found: FoundUse, on: date) -> str:
    """The look of the state, as ``state`` draws it."""
    if (step := _step_of_licence(found)) is not None:
        return step[0]
    if found.state == FoundState.NEW:
        return "look"
    if found.state == FoundState.WRITTEN:
        return "look" if is_answer_overdue(found, on) else "wait"
    return "plain" if found.state in (FoundState.GIVEN_UP, FoundState.LAWYER) else "done"


def state_words(found: FoundUse, on: date) -> str:
    """The state in words; of a use without an outcome how its licence stands, of a letter that nobody answered in time, that."""
    if (step := _step_of_licence(found)) is not None:
        return step[1]
    return "No answer in time" if is_answer_overdue(found, on) else found.get_state_display()


def _step_of_licence(found: FoundUse) -> tuple[str, str] | None:
    is_open = found.state in (FoundState.NEW, FoundState.WRITTEN)
    return LICENCE_WORDS.get(LicenceState(found.licence.state)) if is_open and found.licence else None


def is_settled(found: FoundUse) -> bool:
    """True where the licence for it is paid and nobody has written down yet that this was the outcome."""
    return (
        found.licence is not None and found.licence.state == LicenceState.PAID and _step_of_licence(found) is not None
    )


ON_ITS_WAY = (LicenceState.DRAFT, LicenceState.OFFERED, LicenceState.ACCEPTED)
"""States of a licence for a use that leave no room for a second one."""


def may_be_offered(found: FoundUse, now: Verdict) -> bool:
    """True where it is known what was used, it is not covered, and no licence for it is on its way."""
    is_on_its_way = found.licence is not None and found.licence.state in ON_ITS_WAY
    return not now.missing and not now.is_covered and not is_on_its_way


def asks_for_copies(found: FoundUse) -> bool:
    """True where the medium counts copies and nobody saw how many were made: a licence for it has to say so."""
    return found.use_copies is None and IN_FORCE.media.is_counted(frozenset(found.use_media))


def is_answer_overdue(found: FoundUse, on: date) -> bool:
    """True where a letter was written and its day to answer is over."""
    return found.state == FoundState.WRITTEN and is_overdue(found.answer_by, on)


# One use


def found_in_full(pk: int) -> QuerySet[FoundUse]:
    """One use with what its page names."""
    return (
        FoundUse.objects.filter(pk=pk)
        .select_related("client", "licence")
        .prefetch_related(
            Prefetch("pictures", Picture.objects.select_related("shoot", "thumbnail").order_by("number")),
            Prefetch("shots", FoundShot.objects.select_related("file", "copy")),
            "letters",
            "licence__renewed_by",
        )
    )


@dataclass(frozen=True, slots=True)
class LicenceSaid:
    """A licence and why it does not cover alone; without sentences it does. ``is_note``: covering, with a note."""

    licence: Licence
    sentences: tuple[str, ...]
    is_covering: bool


def answer_of(found: FoundUse) -> dict[str, Any]:
    """Covered or not, by what and why not, now and as on the day it was seen: two queries for any number of pictures and licences.

    Hand in what ``found_in_full`` gives.
    """
    pictures = list(found.pictures.all())
    holdings = holdings_on(pictures)
    held = [held_of(each) for each in holdings]
    seen = seen_of(found, pictures)
    now, then = judge(seen, held), judge(seen, known_on(held, found.seen_on))
    licences = {each.grant.id: each.licence for each in holdings}
    names = {each.grant.licensee: each.licence.licensee for each in holdings}
    return {
        "seen": seen,
        "now": now,
        "then": then,
        "has_changed": now.is_covered is not then.is_covered,
        "missing": missing_in_words(now.missing),
        "rows": _picture_rows(now, seen, pictures, {each.grant.id: each for each in held}, licences, names),
        "would_be": [names[who] for who in sorted(now.would_be)],
        "unknown": unknown_sentences(seen, are_copies_open=copies_are_open(seen, held)),
        "when": seen_in_words(seen),
        "use": use_seen_in_words(seen),
        "held": held,
    }


def _picture_rows(
    verdict: Verdict,
    seen: Seen,
    pictures: list[Picture],
    held: Mapping[str, Held],
    licences: Mapping[str, Licence],
    names: Mapping[str, Client],
) -> list[dict[str, Any]]:
    by_key = {str(picture.pk): picture for picture in pictures}
    return [
        {
            "picture": by_key[each.picture],
            "is_covered": each.is_covered,
            "own": _own_rows(each, seen, held, licences),
            "has_gap": bool(each.own and each.own.first_gap and any(not why for why in each.own.reasons.values())),
            "would": [
                {
                    "client": names[who],
                    "licences": [
                        licences[key]
                        for key, reasons in cover.reasons.items()
                        if set(reasons) <= ({Reason.UNPAID} if key in cover.unpaid_notes else set())
                    ],
                }
                for who, cover in each.would
            ],
        }
        for each in verdict.pictures
    ]


def _own_rows(
    each: OnPicture, seen: Seen, held: Mapping[str, Held], licences: Mapping[str, Licence]
) -> list[LicenceSaid]:
    if each.own is None:
        return []
    return [
        LicenceSaid(
            licences[key],
            reason_sentences(held[key], seen.use, reasons),
            is_covering=set(reasons) <= ({Reason.UNPAID} if key in each.own.unpaid_notes else set()),
        )
        for key, reasons in each.own.reasons.items()
    ]


def found_facts(found: FoundUse) -> dict[str, Any]:
    """The mails written about a use."""
    return {"mails": messages_about(f"found:{found.pk}")}


def pictures_to_pick(*, text: str = "") -> QuerySet[Picture]:
    """Pictures to pick the one that was seen from."""
    return pictures_listed(text=text)


def home_of(on: date) -> str:
    """The country of the business: the market a use is taken to be meant for until somebody says otherwise."""
    business = business_on(on)
    return business.country if business and business.country else "DE"


# What others show of found uses


def found_with(picture: Picture) -> QuerySet[FoundUse]:
    """The uses in which a picture was seen."""
    return found_listed().filter(pk__in=FoundUse.pictures.through.objects.filter(picture=picture).values("founduse"))


def found_beside(licence: Licence) -> QuerySet[FoundUse]:
    """The uses that a licence was taken for afterwards, and those by its licensee of a picture it is on."""
    rows = FoundUse.pictures.through.objects.filter(picture__licences=licence).values("founduse")
    return found_listed().filter(Q(licence=licence) | Q(client=licence.licensee, pk__in=rows))


# The letter


def address_of_user(found: FoundUse) -> tuple[str, str]:
    """The e-mail address and name to write to; empty where the user is no client."""
    return address_of(found.client) if found.client else ("", found.user_name)


def letter_shown(
    found: FoundUse,
    *,
    language: str,
    address: str,
    asks: Iterable[str],
    answer_by: date,
    answer: Mapping[str, Any],
    at: datetime,
) -> LetterShown:
    """What a letter says at this moment. Hand in what ``found_in_full`` and ``answer_of`` give."""
    on, seen = today(at), answer["seen"]
    business = current_business(on)
    if found.client:
        to = found.client.in_the_window(language, home=business.country)
    else:
        to = (found.user_name, *(line.strip() for line in address.splitlines() if line.strip()))
    return LetterShown(
        number=found.number,
        version=len(found.letters.all()) + 1,
        language=language,
        printed_on=on,
        **sender_of(business),
        to=tuple(to),
        user=found.user,
        place=found.place,
        link=found.link,
        classes=tuple(sorted(seen.classes)),
        media=tuple(sorted(seen.media)),
        territories=tuple(sorted(seen.territories)),
        seen_on=found.seen_on,
        since=found.since,
        copies=found.use_copies,
        pictures=tuple(
            PictureSeen(each.number, each.title, each.alt_text, each.thumbnail.sha256) for each in found.pictures.all()
        ),
        licences=_licences_found(answer["now"], answer["held"]),
        shots=tuple(
            ShotShown(shot.file.name, shot.file.sha256, shot.copy.sha256 if shot.copy else "")
            for shot in found.shots.all()
        ),
        asks=tuple(asks),
        answer_by=answer_by,
        covered_then=bool(answer["then"].is_covered),
        covered_now=bool(answer["now"].is_covered),
    )


def _licences_found(verdict: Verdict, held: Iterable[Held]) -> tuple[LicenceFound, ...]:
    reasons: dict[str, set[Reason]] = {}
    for each in verdict.pictures:
        for key, why in (each.own.reasons if each.own else {}).items():
            reasons.setdefault(key, set()).update(why)
    return tuple(
        LicenceFound(
            number=each.number,
            classes=tuple(sorted(each.grant.classes)),
            media=tuple(sorted(each.grant.media)),
            territories=tuple(sorted(each.grant.territories)),
            first_on=each.grant.covered_from,
            last_on=last_day(each.grant.covered_until) if each.grant.covered_until else None,
            reasons=tuple(str(reason) for reason in Reason if reason in reasons[each.grant.id]),
        )
        for each in held
        if each.grant.id in reasons and each.agreed_on is not None
    )


def print_sources(shown: LetterShown) -> dict[str, Any]:
    """The frames of pictures and screenshots as data addresses by SHA-256; what is lost or no JPEG or PNG stays out."""
    wanted = {picture.thumbnail for picture in shown.pictures} | {shot.copy for shot in shown.shots if shot.copy}
    frames = {sha256: kept_picture_uri(StoredFile(sha256=sha256)) for sha256 in wanted}
    return {sha256: uri for sha256, uri in frames.items() if uri}
