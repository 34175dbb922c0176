from collections.abc import Iterable
from typing import Any

from django.db.models import F, Q, QuerySet
from django.utils import timezone

from clients.models import Kitchen, Person
from shared.business.queries import business_or_none
from shoots.brief.models import Part, Shoot
from shoots.releases.clearance import ReleaseTerms, that_stand
from shoots.releases.models import Release, ReleaseState
from shoots.uses.shipped import IN_FORCE

LANGUAGE_NAMES = {"en": "English", "de": "Deutsch"}
WAITING = (ReleaseState.DRAFT, ReleaseState.OFFERED)


def releases_listed(*, text: str = "", state: str = "") -> QuerySet[Release]:
    """Releases of a state whose number, person, place or shoot holds ``text``; newest first."""
    found = Release.objects.select_related("shoot", "shoot__client", "person", "kitchen", "signer")
    if state:
        found = found.filter(state=state)
    for word in text.split():
        found = found.filter(
            Q(number__icontains=word)
            | Q(person__name__icontains=word)
            | Q(kitchen__name__icontains=word)
            | Q(property_description__icontains=word)
            | Q(shoot__title__icontains=word)
            | Q(shoot__client__name__icontains=word)
        )
    return found


def releases_of(shoot: Shoot) -> QuerySet[Release]:
    """Every release made for a shoot, newest first."""
    return shoot.releases.select_related("person", "kitchen", "signer")


def releases_with(person: Person) -> QuerySet[Release]:
    """Releases about a person, and those they sign for a place or for somebody else; newest first."""
    return Release.objects.filter(Q(person=person) | Q(signer=person)).select_related(
        "shoot", "shoot__client", "person", "kitchen"
    )


def releases_for(kitchen: Kitchen) -> QuerySet[Release]:
    """Releases about a kitchen, newest first."""
    return Release.objects.filter(kitchen=kitchen).select_related("shoot", "shoot__client", "person", "kitchen")


def releases_waiting() -> QuerySet[Release]:
    """Releases without an answer; those of the nearest coming shoot first."""
    return (
        Release.objects.filter(state__in=WAITING)
        .select_related("shoot", "shoot__client", "person", "kitchen")
        .order_by("shoot__first_on", "pk")
    )


def terms_of(release: Release) -> ReleaseTerms:
    """A release as the value that clearance asks of."""
    return ReleaseTerms(
        is_signed=release.state in (ReleaseState.SIGNED, ReleaseState.WITHDRAWN),
        is_withdrawn=release.state == ReleaseState.WITHDRAWN,
        classes=frozenset(release.use_classes),
        media=frozenset(release.use_media),
        territories=frozenset(release.use_territories),
        use_from=release.use_from,
        use_until=release.use_until,
        own_promotion_of=str(release.own_promotion_of_id) if release.own_promotion_of_id else None,
        has_guardian_signed=release.is_signed_by_guardian,
        signed_at=release.signed_at,
        withdrawn_at=release.withdrawn_at,
    )


def best_release(releases: Iterable[Release]) -> Release | None:
    """The release that a page names for a person or place: the newest that stands, else the last one withdrawn.

    For which uses it counts is asked of clearance, which reads all of them.
    """
    answered = [each for each in releases if each.state in (ReleaseState.SIGNED, ReleaseState.WITHDRAWN)]
    stand = that_stand(terms_of(each) for each in answered)
    if stand:
        return max((each for each in answered if terms_of(each) in stand), key=lambda each: (each.signed_at, each.pk))
    withdrawn = [each for each in answered if each.state == ReleaseState.WITHDRAWN]
    return max(withdrawn, key=lambda each: (each.withdrawn_at, each.pk), default=None)


def withdrawals_open() -> QuerySet[Release]:
    """Withdrawn releases about which nobody has decided yet; the oldest withdrawal first."""
    return (
        Release.objects.filter(state=ReleaseState.WITHDRAWN, decision="")
        .select_related("shoot", "shoot__client", "person", "kitchen")
        .order_by("withdrawn_at", "pk")
    )


def things_released(shoot: Shoot) -> list[str]:
    """The things named in releases that reach a shoot, as they are called there."""
    named = Q(reach=Release.Reach.NAMED, shoot__licensee=shoot.licensee_id)  # a thing stays in its house
    reach = Q(shoot=shoot) | Q(reach_house=shoot.licensee_id) | Q(reach=Release.Reach.ALL) | named
    found = Release.objects.filter(reach, kind=Release.Kind.PROPERTY, kitchen=None)
    found = found.exclude(state=ReleaseState.CALLED_BACK).order_by("pk")
    return [each.property_description for each in found if each.reaches(shoot.pk, shoot.licensee_id)]


def shoots_to_name(shoot: Shoot, *, wanted: Iterable[int] = ()) -> QuerySet[Shoot]:
    """The shoots that one release may name beside this one: of its client or house, or with one of its people, and those wanted; the latest first."""
    people = shoot.people.values("person")
    near = (
        Q(pk__in=list(wanted))
        | Q(client=shoot.client_id)
        | Q(licensee=shoot.licensee_id)
        | Q(pk__in=Shoot.objects.filter(people__person__in=people).values("pk"))
    )
    found = Shoot.objects.filter(near).exclude(pk=shoot.pk).exclude(state="cancelled")
    return found.order_by(F("first_on").desc(nulls_last=True), "-pk")


def shoots_named(release: Release) -> list[Shoot]:
    """Every shoot that a release for several names, the earliest first."""
    found = Shoot.objects.filter(pk__in=release.named_shoots).select_related("client")
    return list(found.order_by(F("first_on").asc(nulls_last=True), "pk"))


def person_wanted(about: str) -> Person | None:
    """Whom an address asks about as ``person:12``; None for anything else."""
    kind, _colon, key = about.partition(":")
    return (
        Person.objects.filter(pk=int(key)).first()
        if kind == "person" and key.isascii() and key.isdecimal() and len(key) < 15
        else None
    )


def minor_signs_from() -> int | None:
    """From which age somebody under age signs beside the guardian, by the studio's own rule; None while it set none."""
    business = business_or_none(timezone.now())
    return business.minor_signs_from if business else None


def release_in_full(pk: int) -> QuerySet[Release]:
    """One release with what its page names."""
    return Release.objects.filter(pk=pk).select_related(
        "shoot",
        "shoot__client",
        "person",
        "kitchen",
        "signer",
        "own_promotion_of",
        "reach_house",
        "paper",
        "supersedes",
    )


def first_choices(shoot: Shoot, *, about: str = "", thing: str = "", is_minor: bool = False) -> dict[str, Any]:
    """What a new release form starts with: the cook, own promotion of the house, both languages if they differ."""
    business = business_or_none(timezone.now())
    ours = business.language if business else "en"
    cook = shoot.people.filter(part=Part.COOK).select_related("person").first()
    person = cook.person if cook else None
    if is_minor:  # a guardian signs, whose name, address and language nobody has told yet
        person = None
    theirs = person.language if person else shoot.client.language
    media = [code for code in shoot.use_media if IN_FORCE.media.is_own_promotion(frozenset({code}))]
    return {
        "about": about
        or (f"person:{cook.person_id}" if cook else f"kitchen:{shoot.kitchen_id}" if shoot.kitchen_id else "thing"),
        "thing": thing,
        "is_minor": is_minor,
        "reach": Release.Reach.SHOOT,
        "signer": person if about.startswith("kitchen") else None,
        "email": person.email if person else "",
        "media": media or ["web.own", "web.social"],
        "first_language": theirs,
        "second_language": ours if ours != theirs else "de" if theirs == "en" else "en",
        "prevailing_language": ours,
    }


def recorded_choices(release: Release) -> dict[str, Any]:
    """What the form for a signed print starts with."""
    return {"signer_name": release.signer_name, "email": release.signer_email, "witness_name": ""}


def known_of(release: Release) -> dict[str, Any]:
    """What the sign page already knows of the signer."""
    return {"text_sha256": release.text_sha256, "signer_name": release.signer_name, "email": release.signer_email}


def sign_context(release: Release, show: str) -> dict[str, Any]:
    """What the sign page shows: the paragraphs side by side in all languages, or in the one chosen."""
    texts = release.snapshot["texts"]
    languages = [each["language"] for each in texts]
    shown = [each for each in texts if each["language"] == show] or texts
    rows = [
        [(text["language"], paragraph) for text, paragraph in zip(shown, paragraphs, strict=True)]
        for paragraphs in zip(*(text["paragraphs"] for text in shown), strict=True)
    ]
    return {
        "release": release,
        "language": languages[0],
        "languages": [(each, LANGUAGE_NAMES[each]) for each in languages],
        "show": show if show in languages else "",
        "titles": [(each["language"], each["title"]) for each in shown],
        "rows": rows,
        "is_open": release.state == ReleaseState.OFFERED,
        "minor_waits": release.minor_signs and release.minor_signed_at is None,
    }


def _wider_releases(shoot: Shoot) -> list[Release]:
    """Signed releases of other shoots that take in this one: of its people, and of its kitchen."""
    reach = Q(reach_house=shoot.licensee_id) | Q(reach__in=(Release.Reach.NAMED, Release.Reach.ALL))
    found = (
        Release.objects.filter(reach, state=ReleaseState.SIGNED)
        .filter(Q(person__in=shoot.people.values("person")) | Q(kitchen=shoot.kitchen_id, kitchen__isnull=False))
        .exclude(shoot=shoot)
        .select_related("shoot", "person", "kitchen")
    )
    return [each for each in found if each.reaches(shoot.pk, shoot.licensee_id)]


def asked_and_unasked(shoot: Shoot) -> dict[str, Any]:
    """The releases of a shoot, and the people and the place nobody has been asked about."""
    releases = list(releases_of(shoot))
    asked = {each.person_id for each in releases if each.person_id}
    places = {each.kitchen_id for each in releases if each.kitchen_id}
    people = [part for part in shoot.people.select_related("person") if part.person_id not in asked]
    wider = _wider_releases(shoot)
    covered = {each.person_id for each in wider if each.person_id}
    places |= {each.kitchen_id for each in wider if each.kitchen_id}
    return {
        "releases": releases,
        "wider": [each for each in wider if each.person_id in {part.person_id for part in people} or each.kitchen_id],
        "unasked": [part for part in people if part.person_id not in covered],
        "unasked_kitchen": shoot.kitchen
        if shoot.kitchen and shoot.kitchen.client_id and shoot.kitchen_id not in places
        else None,
    }
