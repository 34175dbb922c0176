from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.db.models import Exists, OuterRef, Q, QuerySet

from shared.evidence.models import Evidence
from shared.words import formats
from shared.words.formats import with_capital
from shoots.brief.models import USE_FIELDS
from shoots.licences.models import Licence, LicencePicture
from shoots.licences.queries import with_people
from shoots.licences.wording import shared_in_words
from shoots.life.reach import Reach
from shoots.pictures.models import Picture
from shoots.uses.intended import Exclusivity
from shoots.uses.sentences import LicenceWords, use_sentence
from shoots.uses.shipped import IN_FORCE

USED = ("is_own_promotion", "use_classes", "use_media", "use_territories", "exclusivity", "use_copies")


def renewed_use(licence: Licence, months: int | None) -> dict[str, Any]:
    """The same use for so many months (None: without end), as the fields of a row: exclusive for as long as before where that is no longer."""
    alone = licence.exclusive_months
    is_within = alone is not None and (months is None or alone <= months)
    same = {name: getattr(licence, name) for name in USE_FIELDS}
    return same | {"use_months": months, "exclusive_months": alone if is_within else None}


def reach_of(licence: Licence) -> Reach:
    """How far a placed licence reaches."""
    return wanted_reach({name: getattr(licence, name) for name in USED}, licence.pictures.all(), licence.last_day)


def wanted_reach(use: Mapping[str, Any], pictures: Iterable[Picture], last_day: date | None) -> Reach:
    """How far a licence with this use, on these pictures, up to this last day, would reach."""
    return Reach(
        pictures=frozenset(picture.pk for picture in pictures),
        classes=frozenset(use["use_classes"]),
        media=frozenset(use["use_media"]),
        territories=frozenset(use["use_territories"]),
        last_day=last_day,
    )


@dataclass(frozen=True, slots=True)
class Changes:
    """What a changed licence has otherwise: ``rows`` of (label, now, then, differs); ``names`` of what differs.

    ``is_part``: it lies wholly inside what is held. ``is_top_up``: nothing but more copies.
    """

    rows: tuple[tuple[str, str, str, bool], ...]
    names: tuple[str, ...]
    is_part: bool
    is_top_up: bool


def changes_of(licence: Licence, use: Mapping[str, Any], pictures: Iterable[Picture], last_day: date | None) -> Changes:
    """What is held beside what is wanted instead. Hand in what ``licence_in_full`` gives."""
    held_on, wanted_on = sorted(licence.pictures.all(), key=str), sorted(pictures, key=str)
    held: dict[str, Any] = {name: getattr(licence, name) for name in USED}
    exclusivity = dict(Licence._meta.get_field("exclusivity").choices or ())

    def words(of: Mapping[str, Any], end: date | None, on_them: list[Picture]) -> dict[str, str]:
        line = shared_in_words(of["use_classes"], of["use_media"], of["use_territories"])
        return {
            "For": "Own promotion" if of["is_own_promotion"] else ", ".join(of["use_classes"]).capitalize(),
            "Use": with_capital(line),
            "Last day": formats.day(end, "en") if end else "Without end",
            "Exclusive": str(exclusivity.get(of["exclusivity"], "")),
            "Copies": f"{of['use_copies']:,}" if of["use_copies"] else "Not limited",
            "Pictures": ", ".join(picture.number for picture in on_them),
        }

    now, then = words(held, licence.last_day, held_on), words(use, last_day, wanted_on)
    differs = {
        "For": set(held["use_classes"]) != set(use["use_classes"]) or held["is_own_promotion"] != use["is_own_promotion"],
        "Use": any(set(held[name]) != set(use[name]) for name in ("use_classes", "use_media", "use_territories")),
        "Last day": licence.last_day != last_day,
        "Exclusive": held["exclusivity"] != use["exclusivity"],
        "Copies": held["use_copies"] != use["use_copies"] and IN_FORCE.media.is_counted(frozenset(use["use_media"])),
        "Pictures": held_on != wanted_on,
    }  # fmt: skip
    names = tuple(name for name, is_other in differs.items() if is_other)
    more = bool(held["use_copies"] and use["use_copies"] and use["use_copies"] > held["use_copies"])
    is_inside = not reach_of(licence).falls_short_of(wanted_reach(use, wanted_on, last_day))
    return Changes(
        rows=tuple((name, now[name], then[name], differs[name]) for name in now),
        names=names,
        is_part=bool(names) and is_inside and not {"Exclusive", "Copies"} & set(names) and held["is_own_promotion"] == use["is_own_promotion"],
        is_top_up=names == ("Copies",) and more,
    )  # fmt: skip


def change_in_sentences(
    licence: Licence, use: Mapping[str, Any], pictures: Iterable[Picture], last_day: date | None, on: date
) -> list[str]:
    """What the client would hold from today on, in the words of a licence."""
    exclusive_until = licence.exclusive_until if use["exclusivity"] == licence.exclusivity else None
    words = LicenceWords(
        licensee=licence.licensee.name,
        classes=frozenset(use["use_classes"]),
        media=frozenset(use["use_media"]),
        territories=frozenset(use["use_territories"]),
        use_from=max(on, licence.use_from or on),
        use_until=last_day + timedelta(days=1) if last_day else None,
        exclusivity=Exclusivity(use["exclusivity"]),
        exclusive_until=exclusive_until,
        copies=use["use_copies"],
    )
    count = len(list(pictures))
    return [use_sentence(words, "en"), f"On {count} picture{'' if count == 1 else 's'}."]


def pictures_to_change_to(licence: Licence) -> QuerySet[Picture]:
    """The pictures of the shoots a licence reaches, its own first; those left out of the choice only where it is on them."""
    own = LicencePicture.objects.filter(licence=licence)
    shoots = own.values("picture__shoot")
    return (
        with_people(Picture.objects.filter(shoot__in=shoots))
        .annotate(is_held=Exists(own.filter(picture=OuterRef("pk"))))
        .filter(Q(is_held=True) | ~Q(state=Picture.State.LEFT))
        .order_by("-is_held", "captured_at", "number")
    )


def after_declining(licence: Licence) -> str:
    """What became of the licences whose place a declined one was to take, as sentences; empty where there was none."""
    if licence.supersedes_id is None:
        return ""
    told = []
    for row in Evidence.objects.filter(kind__in=("given_back", "not_given_back"), payload__by=licence.number):
        number, why = row.payload["number"], row.payload.get("because")
        if why is None:
            told.append(f"{number} stands again as it did before; no day is lost.")
            continue
        last = Licence.objects.get(number=number).last_day
        end = f"its last day is {formats.day(last, 'en')}" if last else "it has no last day"
        told.append(f"{number} does not come back, because {why}: {end}. Tell {licence.licensee}.")
    return " ".join(told)
