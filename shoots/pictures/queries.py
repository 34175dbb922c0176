from collections import defaultdict
from collections.abc import Callable, Iterable
from typing import Any

from django.db.models import Count, Prefetch, Q, QuerySet, prefetch_related_objects

from shoots.brief.models import AgreedPicture, Part, Shoot
from shoots.pictures.models import Assessment, Picture, PicturePerson, PictureProperty, Recognisable
from shoots.releases.clearance import Recognisable as IsRecognisable
from shoots.releases.clearance import ReleaseTerms, Subject, is_withdrawn
from shoots.releases.models import Release, ReleaseState
from shoots.releases.queries import best_release, terms_of, things_released
from shoots.releases.things import thing_key

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


def things_known(shoot: Shoot) -> list[str]:
    """Things that may be in a shoot's pictures: those of releases that reach it, and those named in its pictures, each once."""
    named = PictureProperty.objects.filter(picture__shoot=shoot, kitchen=None).order_by("pk")
    found: dict[str, str] = {}
    for name in (*things_released(shoot), *named.values_list("description", flat=True)):
        found.setdefault(thing_key(name), name)
    return list(found.values())


def subjects_of(pictures: Iterable[Picture]) -> dict[int, tuple[list[Subject] | None, list[Subject] | None]]:
    """People and properties of each picture with the releases that reach it, as clearance asks: two queries for any number.

    None where the question is not assessed yet. Hand in pictures with ``persons_shown`` and ``properties_shown`` prefetched.
    """
    pictures = list(pictures)
    about = _releases_about(pictures)
    found: dict[int, tuple[list[Subject] | None, list[Subject] | None]] = {}
    for picture in pictures:
        people = [
            Subject(
                id=f"{shown.person_id}",
                releases=_terms(about(picture, shown)),
                is_minor=is_minor_in(shown, about(picture, shown)),
                recognisable=IsRecognisable(shown.recognisable),
            )
            for shown in picture.persons_shown.all()
        ]
        things = [
            Subject(
                id=f"kitchen-{shown.kitchen_id}" if shown.kitchen_id else f"thing-{shown.pk}",
                releases=_terms(about(picture, shown)),
            )
            for shown in picture.properties_shown.all()
        ]
        found[picture.pk] = (
            None if picture.people == Assessment.NOT_ASSESSED else people,
            None if picture.properties == Assessment.NOT_ASSESSED else things,
        )
    return found


def shown_with_releases(picture: Picture) -> dict[str, Any]:
    """Each person and property in a picture with the release that a page names for them. Hand in what ``picture_in_full`` gives."""
    about = _releases_about([picture])
    persons = []
    for shown in picture.persons_shown.all():
        releases = about(picture, shown)
        persons.append((shown, best_release(releases), is_minor_in(shown, releases)))
    things = [(shown, best_release(about(picture, shown))) for shown in picture.properties_shown.all()]
    return {"persons": persons, "things": things}


def withdrawn_in(pictures: Iterable[Picture]) -> set[int]:
    """The keys of the pictures that show somebody or something whose release was withdrawn. Four queries for any number."""
    pictures = list(pictures)
    prefetch_related_objects(pictures, "persons_shown", "properties_shown")
    return {
        key
        for key, (people, things) in subjects_of(pictures).items()
        if any(is_withdrawn(subject) for subject in (*(people or ()), *(things or ())))
    }


def is_minor_in(shown: PicturePerson, releases: Iterable[Release]) -> bool:
    """Whether somebody was under age on the day of the shoot: said of its pictures, or by a release made for that shoot."""
    return shown.is_minor or any(release.is_minor and release.state != ReleaseState.CALLED_BACK for release in releases)


def pictures_showing(release: Release) -> QuerySet[Picture]:
    """The pictures that a release reaches and that show its person, place or thing; the newest first."""
    found = Picture.objects.select_related(*WITH_THUMBNAIL)
    if release.reach == Release.Reach.SHOOT:
        found = found.filter(shoot=release.shoot_id)
    elif release.reach == Release.Reach.NAMED:
        found = found.filter(shoot__in=release.named_shoots)
    elif release.reach == Release.Reach.HOUSE:
        found = found.filter(shoot__licensee=release.reach_house_id)
    if release.kind == Release.Kind.MODEL:
        shown = PicturePerson.objects.filter(person=release.person_id).exclude(recognisable=Recognisable.NO)
        return found.filter(pk__in=shown.values("picture"))
    if release.kitchen_id:
        return found.filter(pk__in=PictureProperty.objects.filter(kitchen=release.kitchen_id).values("picture"))
    key = thing_key(release.property_description)
    things = PictureProperty.objects.filter(kitchen=None, picture__in=found.order_by().values("pk"))
    named = {name for name in things.values_list("description", flat=True).distinct() if thing_key(name) == key}
    return found.filter(pk__in=things.filter(description__in=named).values("picture"))


def _releases_about(pictures: list[Picture]) -> Callable[[Picture, PicturePerson | PictureProperty], list[Release]]:
    """The releases about what a picture shows that reach its shoot, signed or not, looked up once for all pictures."""
    persons = {shown.person_id for picture in pictures for shown in picture.persons_shown.all()}
    things = [shown for picture in pictures for shown in picture.properties_shown.all()]
    if not persons and not things:
        return lambda _picture, _shown: []
    kitchens = {shown.kitchen_id for shown in things if shown.kitchen_id}
    houses = _houses_of(pictures)
    # Which shoots a release for several names is read below: those of the people and places asked about are few.
    several = (Release.Reach.NAMED, Release.Reach.ALL)
    reach = Q(shoot__in=houses) | Q(reach_house__in=set(houses.values())) | Q(reach__in=several)
    asked = Q(kind=Release.Kind.MODEL, person__in=persons) | Q(kind=Release.Kind.PROPERTY, kitchen__in=kitchens)
    if len(kitchens) < len(things):
        asked |= Q(kind=Release.Kind.PROPERTY, kitchen=None)
    found: dict[tuple[str, Any], list[Release]] = defaultdict(list)
    for release in Release.objects.filter(asked).filter(reach):
        if release.kind == Release.Kind.MODEL:
            found["person", release.person_id].append(release)
        elif release.kitchen_id:
            found["kitchen", release.kitchen_id].append(release)
        else:
            found["thing", thing_key(release.property_description)].append(release)

    def about(picture: Picture, shown: PicturePerson | PictureProperty) -> list[Release]:
        if isinstance(shown, PicturePerson):
            key: tuple[str, Any] = ("person", shown.person_id)
        else:
            key = ("kitchen", shown.kitchen_id) if shown.kitchen_id else ("thing", thing_key(shown.description))
        shoot = picture.shoot_id
        return [release for release in found[key] if release.reaches(shoot, houses[shoot])]

    return about


def _houses_of(pictures: list[Picture]) -> dict[int, int]:
    """The house each shoot of the pictures is for, by the shoot's key; asked of the database only where the shoots are not at hand."""
    if all(Picture.shoot.is_cached(picture) for picture in pictures):
        return {picture.shoot_id: picture.shoot.licensee_id for picture in pictures}
    shoots = Shoot.objects.filter(pk__in={picture.shoot_id for picture in pictures})
    return dict(shoots.order_by().values_list("pk", "licensee_id"))


def _terms(releases: Iterable[Release]) -> tuple[ReleaseTerms, ...]:
    return tuple(terms_of(release) for release in releases)
