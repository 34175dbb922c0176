from collections import defaultdict
from collections.abc import Iterable
from typing import Any

from django.db.models import Count, Prefetch, Q, QuerySet

from shoots.brief.models import AgreedPicture, Part, Shoot
from shoots.pictures.models import Assessment, Picture, PicturePerson, PictureProperty, Recognisable
from shoots.releases.clearance import Recognisable as IsRecognisable
from shoots.releases.clearance import Subject
from shoots.releases.models import Release
from shoots.releases.queries import best_release, terms_of

WITH_THUMBNAIL = ("thumbnail", "shoot", "shoot__client")


def pictures_listed(
    *, text: str = "", state: str = "", missing: str = "", shoot: Shoot | None = None
) -> QuerySet[Picture]:
    """Pictures whose number, title, shoot, client, dish or person holds ``text``; newest first.

    ``missing``: ``people`` (not looked at yet), ``caption`` or ``check``.
    """
    found = Picture.objects.select_related(*WITH_THUMBNAIL)
    if shoot is not None:
        found = found.filter(shoot=shoot)
    if state:
        found = found.filter(state=state)
    if missing == "people":
        found = found.filter(Q(people=Assessment.NOT_ASSESSED) | Q(properties=Assessment.NOT_ASSESSED))
    elif missing == "caption":
        found = found.filter(caption="")
    elif missing == "check":
        found = found.filter(is_checked=False)
    for word in text.split():
        found = found.filter(
            Q(number__icontains=word)
            | Q(title__icontains=word)
            | Q(caption__icontains=word)
            | Q(shoot__title__icontains=word)
            | Q(shoot__client__name__icontains=word)
            | Q(pk__in=PicturePerson.objects.filter(person__name__icontains=word).values("picture"))
        )
    return found


def pictures_of(shoot: Shoot) -> QuerySet[Picture]:
    """The pictures of a shoot in the order they were taken."""
    return shoot.pictures.select_related("thumbnail").order_by("captured_at", "number")


def picture_in_full(pk: int) -> QuerySet[Picture]:
    """One picture with what its page names."""
    return (
        Picture.objects.filter(pk=pk)
        .select_related(
            "shoot", "shoot__client", "shoot__licensee", "shoot__kitchen", "original", "preview", "thumbnail"
        )
        .prefetch_related(
            "agreed_pictures",
            "shots",
            Prefetch("persons_shown", PicturePerson.objects.select_related("person")),
            Prefetch("properties_shown", PictureProperty.objects.select_related("kitchen")),
        )
    )


def counts_of(shoot: Shoot) -> dict[str, int]:
    """How many pictures of a shoot there are, and how many are chosen or not looked at for people."""
    return shoot.pictures.aggregate(
        all=Count("pk"),
        chosen=Count("pk", filter=Q(state=Picture.State.CHOSEN)),
        unassessed=Count("pk", filter=Q(people=Assessment.NOT_ASSESSED) | Q(properties=Assessment.NOT_ASSESSED)),
    )


def agreed_to_fulfil(shoot: Shoot) -> QuerySet[AgreedPicture]:
    """The agreed pictures of a shoot that a picture may fulfil."""
    return shoot.agreed_pictures.exclude(state=AgreedPicture.State.LEFT_OUT)


def people_to_name(shoot: Shoot) -> list[Any]:
    """The people of a shoot who may be in its pictures, the cook first."""
    parts = shoot.people.select_related("person")
    return [part.person for part in sorted(parts, key=lambda part: (part.part != Part.COOK, part.pk))]


def subjects_of(pictures: Iterable[Picture]) -> dict[int, tuple[list[Subject] | None, list[Subject] | None]]:
    """People and properties of each picture with the release that speaks for them, as clearance asks: two queries for any number.

    None where the question is not assessed yet. Hand in pictures with ``persons_shown`` and ``properties_shown`` prefetched.
    """
    pictures = list(pictures)
    persons = {shown.person_id for picture in pictures for shown in picture.persons_shown.all()}
    kitchens = {
        shown.kitchen_id for picture in pictures for shown in picture.properties_shown.all() if shown.kitchen_id
    }
    of_person, of_kitchen = defaultdict(list), defaultdict(list)
    releases = Release.objects.filter(Q(kind="model", person__in=persons) | Q(kind="property", kitchen__in=kitchens))
    for release in releases:
        if release.kind == Release.Kind.MODEL:
            of_person[release.person_id].append(release)
        else:
            of_kitchen[release.kitchen_id].append(release)
    found: dict[int, tuple[list[Subject] | None, list[Subject] | None]] = {}
    for picture in pictures:
        people = [
            _subject(f"{shown.person_id}", of_person[shown.person_id], shown.recognisable)
            for shown in picture.persons_shown.all()
        ]
        things = [
            _subject(
                f"kitchen-{shown.kitchen_id}" if shown.kitchen_id else f"thing-{shown.pk}",
                of_kitchen[shown.kitchen_id] if shown.kitchen_id else [],
                Recognisable.YES,
            )
            for shown in picture.properties_shown.all()
        ]
        found[picture.pk] = (
            None if picture.people == Assessment.NOT_ASSESSED else people,
            None if picture.properties == Assessment.NOT_ASSESSED else things,
        )
    return found


def shown_with_releases(picture: Picture) -> dict[str, Any]:
    """Each person and property in a picture with the release that speaks for them, for its page."""
    persons = [
        (shown, best_release(shown.person.releases.all()))
        for shown in picture.persons_shown.select_related("person").prefetch_related("person__releases")
    ]
    things = [
        (shown, best_release(shown.kitchen.releases.all()) if shown.kitchen else None)
        for shown in picture.properties_shown.select_related("kitchen").prefetch_related("kitchen__releases")
    ]
    return {"persons": persons, "things": things}


def _subject(name: str, releases: list[Release], recognisable: str) -> Subject:
    release = best_release(releases)
    return Subject(id=name, release=terms_of(release) if release else None, recognisable=IsRecognisable(recognisable))
