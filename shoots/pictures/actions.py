from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction

from clients.models import Kitchen, Person
from shared.business.queries import today
from shared.edits import save_edit
from shared.errors import Refusal
from shared.files.actions import PICTURES, keep_file
from shared.files.media_types import media_type_of
from shared.files.pictures import check_picture
from shared.files.refusals import FileTypeRefused
from shared.numbers.actions import take_count
from shoots.brief.models import AgreedPicture, Shoot
from shoots.pictures.models import Assessment, Picture, PicturePerson, PictureProperty
from shoots.pictures.naming import picture_number, series_of
from shoots.pictures.reading import PREVIEW_PIXELS, THUMBNAIL_PIXELS, read_capture, screen_copy


class PictureAlreadyHere(Refusal):
    """The same file was taken in for this shoot before."""

    def __init__(self, name: str, number: str) -> None:
        self.number = number
        super().__init__(
            f"“{name}” is here already, as {number}.",
            "The picture that is here is kept.",
            "Nothing is left to do for this file.",
        )


@transaction.atomic
def take_in_picture(shoot: Shoot, *, data: bytes, name: str, at: datetime) -> Picture:
    """Take a picture file in: checked whole, kept byte for byte, numbered, with upright sRGB copies for the screen.

    Raises the refusals of ``check_picture`` and ``keep_file``, or PictureAlreadyHere. Nothing is written when one is raised.
    """
    if data and (found := media_type_of(data)) not in PICTURES:
        raise FileTypeRefused(name, found, PICTURES)
    check_picture(data, name=name)
    original = keep_file(data, name=name, kind="picture", at=at, accepts=PICTURES)
    twin = shoot.pictures.filter(sha256=original.sha256).first()
    if twin:
        raise PictureAlreadyHere(name, twin.number)
    capture = read_capture(data)
    on = today(at)
    series = series_of(shoot.client.name, shoot.first_on or on)
    number = picture_number(series, take_count(f"picture:{series}", year=(shoot.first_on or on).year))
    copies = {
        kind: keep_file(screen_copy(data, longest), name=f"{number}-{kind}.jpg", kind=kind, at=at)
        for kind, longest in (("thumbnail", THUMBNAIL_PIXELS), ("preview", PREVIEW_PIXELS))
    }
    try:
        with transaction.atomic():
            return Picture.objects.create(
                number=number,
                shoot=shoot,
                original=original,
                thumbnail=copies["thumbnail"],
                preview=copies["preview"],
                original_name=original.name,
                sha256=original.sha256,
                width=capture.width,
                height=capture.height,
                captured_at=capture.taken_at,
                captured_zone_known=capture.is_zone_known,
                is_drawn=capture.is_drawn,
                received_at=at,
            )
    except IntegrityError:  # the same file in the same moment, from another window
        twin = shoot.pictures.get(sha256=original.sha256)
        raise PictureAlreadyHere(name, twin.number) from None


@transaction.atomic
def choose_pictures(pictures: Iterable[Picture], *, state: str) -> int:
    """Choose or leave several pictures at once; how many changed."""
    keys = [picture.pk for picture in pictures]
    return Picture.objects.filter(pk__in=keys).exclude(state=state).update(state=state)


@transaction.atomic
def describe_picture(
    picture: Picture, typed: Mapping[str, Any], *, agreed: Iterable[AgreedPicture] | None = None, version: int
) -> Picture:
    """Save title, caption, alternative text, what was substituted, and which agreed pictures it fulfils.

    A picture that fulfils an agreed one is chosen. Raises EditedMeanwhile.
    """
    for name, value in typed.items():
        setattr(picture, name, value)
    fields = list(typed)
    if agreed is not None:
        picture.agreed_pictures.set(agreed)
        if picture.agreed_pictures.exists() and picture.state == Picture.State.NEW:
            picture.state = Picture.State.CHOSEN
            fields.append("state")
    return save_edit(picture, fields, version=version)


@transaction.atomic
def say_nobody_is_shown(pictures: Iterable[Picture]) -> int:
    """Looked at: nobody can be recognised. People named before are taken out."""
    keys = [picture.pk for picture in pictures]
    PicturePerson.objects.filter(picture__in=keys).delete()
    return Picture.objects.filter(pk__in=keys).update(people=Assessment.NONE)


@transaction.atomic
def say_nothing_is_shown(pictures: Iterable[Picture]) -> int:
    """Looked at: no place or thing that somebody owns can be recognised."""
    keys = [picture.pk for picture in pictures]
    PictureProperty.objects.filter(picture__in=keys).delete()
    return Picture.objects.filter(pk__in=keys).update(properties=Assessment.NONE)


@transaction.atomic
def name_person(
    pictures: Iterable[Picture], person: Person, *, recognisable: str, is_minor: bool | None = None, remark: str = ""
) -> int:
    """Say that a person is in the pictures, and whether they can be recognised: yes, no, or ask.

    ``is_minor``: under age on the day of the shoot, which then holds for every picture of that shoot; None keeps what was said of it.
    """
    pictures = list(pictures)
    count = 0
    known = PicturePerson.objects.filter(person=person, picture__shoot__in={picture.shoot_id for picture in pictures})
    if is_minor is not None:
        known.update(is_minor=is_minor)
    minor_in = set(known.filter(is_minor=True).values_list("picture__shoot", flat=True))
    for picture in pictures:
        PicturePerson.objects.update_or_create(
            picture=picture,
            person=person,
            defaults={
                "recognisable": recognisable,
                "remark": remark,
                "is_minor": picture.shoot_id in minor_in if is_minor is None else is_minor,
            },
        )
        Picture.objects.filter(pk=picture.pk).update(people=Assessment.LISTED)
        count += 1
    return count


@transaction.atomic
def take_person_out(shown: PicturePerson) -> None:
    """The person is not in the picture after all. When nobody is left, the question is open again."""
    picture = shown.picture
    shown.delete()
    if not picture.persons_shown.exists():
        Picture.objects.filter(pk=picture.pk).update(people=Assessment.NOT_ASSESSED)


@transaction.atomic
def name_property(pictures: Iterable[Picture], *, kitchen: Kitchen | None = None, description: str = "") -> int:
    """Say that a place, or a thing somebody owns, can be recognised in the pictures."""
    count = 0
    for picture in pictures:
        PictureProperty.objects.get_or_create(picture=picture, kitchen=kitchen, description=description)
        Picture.objects.filter(pk=picture.pk).update(properties=Assessment.LISTED)
        count += 1
    return count


@transaction.atomic
def take_property_out(shown: PictureProperty) -> None:
    """The place or thing is not in the picture after all. When none is left, the question is open again."""
    picture = shown.picture
    shown.delete()
    if not picture.properties_shown.exists():
        Picture.objects.filter(pk=picture.pk).update(properties=Assessment.NOT_ASSESSED)


@transaction.atomic
def check_pictures(pictures: Iterable[Picture], *, is_checked: bool = True) -> int:
    """Mark pictures as looked at in full size: sharp, clean, cropped right."""
    return Picture.objects.filter(pk__in=[picture.pk for picture in pictures]).update(is_checked=is_checked)
