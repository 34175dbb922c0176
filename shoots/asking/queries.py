from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.db.models import Exists, F, OuterRef, Q, QuerySet
from django.urls import reverse

from clients.models import Client
from shoots.asking.addresses import Pairs, day_word, pictures_word, suppose_word
from shoots.asking.answers import Answer, Asked, Found, Stand, ask, clashes_with, held_already
from shoots.asking.changes import ASKED_OF_OTHERS, Change, Changes, Place, applied, best_for_all, smallest_changes
from shoots.asking.wording import LOOKS, WORDS, Names, Rival, changes_in_words, what_they_hold, why
from shoots.brief.models import Shoot
from shoots.licences.conflicts import claim_of, stands_against_others
from shoots.licences.queries import (
    STATES_THAT_BLOCK,
    Holding,
    holdings_on,
    names_shown,
    selling_on_of,
    use_line,
    with_people,
)
from shoots.licences.wording import held_line
from shoots.pictures.models import Picture
from shoots.pictures.queries import pictures_listed, subjects_of
from shoots.releases.addresses import WantedUses, address_pairs
from shoots.uses.days import last_day
from shoots.uses.forms import use_address
from shoots.uses.intended import MOST_COPIES
from shoots.uses.sentences import LicenceWords, use_sentence
from shoots.uses.shipped import IN_FORCE

MOST = 500
"""Pictures asked about at once."""
SHOWN_OF_MANY = 3
"""So many ways are shown of each picture where many are asked about."""
MANY = 10
MOST_SETS = 60
"""So many different ways are tried on all pictures: those that help most pictures by themselves."""


def shoots_to_choose() -> QuerySet[Shoot]:
    """Shoots that have pictures, the latest first."""
    return Shoot.objects.filter(Exists(Picture.objects.filter(shoot=OuterRef("pk")))).order_by(
        F("first_on").desc(nulls_last=True), "-pk"
    )


def pictures_asked(keys: Sequence[int], *, text: str = "", shoot: Shoot | None = None) -> list[Picture]:
    """The pictures handed in and those that a search or a shoot names, those left out of the choice apart; one more than the most.

    In the order of their numbers, with what the answer asks about.
    """
    wanted = Q(pk__in=keys)
    if text or shoot:
        listed = pictures_listed(text=text, shoot=shoot).exclude(state=Picture.State.LEFT).order_by()
        wanted |= Q(pk__in=listed.values("pk"))
    # Many pictures of few shoots: joined, each picture would bring its whole shoot and house along again.
    found = with_people(Picture.objects.filter(wanted)).select_related(None)
    found = found.prefetch_related("shoot__licensee", "thumbnail")
    return list(found.order_by("number", "pk")[: MOST + 1])


@dataclass(frozen=True, slots=True)
class Offer:
    """A set of changes in words with the link that asks again; `needs`: somebody has to sign, agree or look first."""

    words: str
    url: str
    needs: bool
    yes: int = 0
    asks: tuple[tuple[str, str], ...] = ()
    """Each release among the changes: whose it is, and the address of its form, filled in for this use."""


@dataclass(frozen=True, slots=True)
class Showing:
    """Which of the pictures asked about show each subject, by its id, and which subjects are under age there."""

    pictures: Mapping[str, Sequence[Picture]]
    minors: frozenset[str]


@dataclass(frozen=True, slots=True)
class Row:
    """One picture's answer for the page and the table."""

    picture: Picture
    answer: str
    look: str
    words: str
    sentences: list[str]
    held: str
    offers: list[Offer]
    more: int
    needs_more: bool


@dataclass(frozen=True, slots=True)
class Question:
    """What was asked, for links: the use's fields, the buyer, what is supposed, whether the last day was typed."""

    asked: Asked
    use: Mapping[str, Any]
    client: Client | None
    trade: str
    has_last_day: bool
    supposed: Changes = ()
    trade_field: str = "trade"  # "new_trade" for one that is not on the list

    def pairs(self, keys: Iterable[int], changes: Changes = ()) -> Pairs:
        """The address of the question about these pictures, with changes made."""
        after, _stand = applied(self.asked, Stand(), changes)
        use = {
            **self.use,
            "use_classes": sorted(after.classes),
            "use_media": sorted(after.media),
            "use_territories": sorted(after.territories),
            "exclusivity": after.exclusivity.value,
            "exclusive_months": after.exclusive_months,
        }
        last = last_day(after.until) if after.until and (self.has_last_day or after.end) else None
        pairs = [("pictures", pictures_word(keys)), ("client", str(self.client.pk) if self.client else "")]
        pairs += [(self.trade_field, self.trade), *use_address(use)]
        pairs += [("first_day", day_word(after.first)), ("last_day", day_word(last))]
        others = [each for each in (*self.supposed, *changes) if each.place in ASKED_OF_OTHERS]
        return pairs + [("suppose", suppose_word(each)) for each in dict.fromkeys(others)]

    def sentence(self) -> str:
        """The question in words, with its days."""
        asked = self.asked
        is_unlimited = asked.copies is not None and asked.copies > MOST_COPIES
        words = LicenceWords(
            licensee=self.client.name if self.client else "somebody not known yet",
            classes=asked.classes,
            media=asked.media,
            territories=asked.territories,
            use_from=asked.first,
            use_until=asked.until,
            exclusivity=asked.exclusivity,
            exclusive_months=asked.exclusive_months,
            copies=None if is_unlimited else asked.copies,
            are_copies_unlimited=is_unlimited,
        )
        return use_sentence(words, "en")

    def link(self, keys: Iterable[int], changes: Changes = ()) -> str:
        """The same as an address."""
        return f"{reverse('can_i_sell')}?{urlencode(self.pairs(keys, changes))}"


def answers_to(question: Question, pictures: Sequence[Picture]) -> dict[str, Any]:
    """A row a picture, how many of each answer, and the changes that help most. A constant number of queries.

    Hand in what ``pictures_asked`` gives.
    """
    holdings = holdings_on(pictures, states=STATES_THAT_BLOCK)
    on_picture: dict[str, list[Holding]] = defaultdict(list)
    for holding in holdings:
        for key in holding.grant.pictures:
            on_picture[key].append(holding)
    claims = {each.grant.id: claim_of(each.grant) for each in holdings if stands_against_others(each.grant)}
    subjects, asked = subjects_of(pictures), question.asked
    names = Names(
        names_shown(pictures),
        {
            each.grant.id: Rival(each.licence.number, each.licence.licensee.name, each.grant.is_exclusive)
            for each in holdings
        },
        {str(each.shoot_id): (each.shoot.licensee.name, each.shoot.title) for each in pictures},
        question.client.name if question.client else "others",
    )
    terms = {each.shoot_id: selling_on_of(each.shoot) for each in pictures}
    stands: dict[int, Stand] = {}
    for picture in pictures:
        held = on_picture[str(picture.pk)]
        people, things = subjects[picture.pk]
        stand = Stand(
            tuple(claims[each.grant.id] for each in held if each.grant.id in claims),
            terms[picture.shoot_id],
            str(picture.shoot_id),
            None if people is None else tuple(people),
            None if things is None else tuple(things),
        )
        stands[picture.pk] = applied(asked, stand, question.supposed)[1]
    shown = _showing(pictures, subjects)
    distinct = Counter(stands.values())
    found = {stand: (ask(asked, stand), smallest_changes(asked, stand)) for stand in distinct}
    rows = [
        _row(
            question,
            picture,
            stands[picture.pk],
            found[stands[picture.pk]],
            on_picture,
            names,
            shown,
            many=len(pictures) > MANY,
        )
        for picture in pictures
    ]
    counts = Counter(row.answer for row in rows)
    by_help: Counter[Changes] = Counter()
    for stand, count in distinct.items():
        by_help.update(dict.fromkeys(found[stand][1].sets, count))
    sets = [changes for changes, _count in by_help.most_common(MOST_SETS)]
    keys = [picture.pk for picture in pictures]
    gains = [
        Offer(
            changes_in_words(gain.changes, asked, names),
            question.link(keys, gain.changes),
            _needs(gain.changes),
            gain.yes,
            _asks(gain.changes, question, shown, names),
        )
        for gain in (best_for_all(asked, dict(distinct), sets) if len(pictures) > 1 else ())
    ]
    return {
        "rows": rows,
        "counts": {each.value: counts[each.value] for each in Answer},
        "gains": gains,
        "supposed": [
            (changes_in_words([each], asked, names), _where_to(each, question, pictures[0], shown, names))
            for each in question.supposed
        ],
    }


def _showing(pictures: Iterable[Picture], subjects: Mapping[int, Any]) -> Showing:
    """The pictures that show each person, place or thing, and who is under age there."""
    shown: dict[str, list[Picture]] = defaultdict(list)
    minors = set()
    for picture in pictures:
        for subject in (*(subjects[picture.pk][0] or ()), *(subjects[picture.pk][1] or ())):
            shown[subject.id].append(picture)
            if subject.is_minor:
                minors.add(subject.id)
    return Showing(dict(shown), frozenset(minors))


def _where_to(change: Change, question: Question, picture: Picture, shown: Showing, names: Names) -> str:
    """The page on which what is supposed is done."""
    if change.place is Place.COMMISSION:
        return reverse("selling_on", args=[change.who]) if change.who in names.shoots else ""
    if change.place is Place.RELEASE:
        return _release_form(change.who, question, shown)
    return reverse("picture_page", args=[picture.pk])


def _asks(changes: Changes, question: Question, shown: Showing, names: Names) -> tuple[tuple[str, str], ...]:
    found = [
        (names.subjects.get(each.who, each.who), _release_form(each.who, question, shown))
        for each in changes
        if each.place is Place.RELEASE
    ]
    return tuple((words, url) for words, url in found if url)


def _release_form(who: str, question: Question, shown: Showing) -> str:
    """The form for a release of what these pictures show, filled in for the use asked about; one release names all their shoots.

    Empty where no picture shows it. Somebody under age is asked about one shoot at a time, a thing about its house's shoots.
    """
    if not shown.pictures.get(who):
        return ""
    shoots = {each.shoot_id: each.shoot for each in shown.pictures[who]}
    shoot, *others = shoots.values()
    kind, _dash, key = who.partition("-")
    if kind == "kitchen":
        about = {"about": f"kitchen:{key}"}
    elif kind == "thing":
        thing = next((each for each in shown.pictures[who][0].properties_shown.all() if f"{each.pk}" == key), None)
        about = {"about": "thing", "thing": thing.description if thing else ""}
        others = [each for each in others if each.licensee_id == shoot.licensee_id]
    else:
        about = {"about": f"person:{who}"}
        if who in shown.minors:
            about["age"], others = "minor", []
    asked = question.asked
    is_house = (
        question.client is not None
        and question.client.pk == shoot.licensee_id
        and asked.classes == {"advertising"}
        and IN_FORCE.media.is_own_promotion(asked.media)
    )
    uses = WantedUses(
        is_house=is_house,
        classes=asked.classes,
        media=asked.media,
        territories=asked.territories,
        last_on=last_day(asked.until) if asked.until else None,
    )
    pairs = address_pairs(about, uses, [each.pk for each in others])
    return f"{reverse('new_release', args=[shoot.pk])}?{urlencode(pairs)}"


def _needs(changes: Iterable[Change]) -> bool:
    return any(each.place in ASKED_OF_OTHERS for each in changes)


def _row(
    question: Question,
    picture: Picture,
    stand: Stand,
    found: tuple[Found, Any],
    on_picture: Mapping[str, list[Holding]],
    names: Names,
    shown: Showing,
    *,
    many: bool,
) -> Row:
    asked, (answer, proposal) = question.asked, found
    key, held = str(picture.pk), [each.grant for each in on_picture[str(picture.pk)]]
    rivals = [grant for grant in held if grant.id in answer.rivals]
    sets = proposal.sets[:SHOWN_OF_MANY] if many else proposal.sets
    needed = question.supposed and answer.answer is Answer.YES
    numbers = {each.grant.id: each.licence.number for each in on_picture[key]}
    lines = {
        each.grant.id: held_line(
            each.licence.number, use_line(each.licence), each.licence.last_day, is_paid=each.grant.is_paid
        )
        for each in on_picture[key]
        if each.grant.licensee == asked.licensee
    }
    return Row(
        picture=picture,
        answer=answer.answer.value,
        look=LOOKS[answer.answer],
        words="Yes, once that is there" if needed else WORDS[answer.answer],
        sentences=why(answer, clashes_with(asked, key, rivals) if rivals else [], names, shoot=stand.shoot),
        held=what_they_hold(held_already(asked, key, held), names, numbers, lines) if asked.licensee else "",
        offers=[
            Offer(
                changes_in_words(each, asked, names),
                question.link([picture.pk], each),
                _needs(each),
                asks=_asks(each, question, shown, names),
            )
            for each in sets
        ],
        more=len(proposal.sets) - len(sets),
        needs_more=proposal.needs_more,
    )


def grants_offered(question: Question, rows: Iterable[Row]) -> list[dict[str, Any]]:
    """The shoots with pictures that are a yes, each a licence of its own, with how many."""
    shoots: dict[int, dict[str, Any]] = {}
    for row in rows:
        if row.answer == Answer.YES and not question.supposed:
            entry = shoots.setdefault(row.picture.shoot_id, {"shoot": row.picture.shoot, "count": 0})
            entry["count"] += 1
    return list(shoots.values())


def table_rows(rows: Iterable[Row]) -> list[list[object]]:
    """The answers for a spreadsheet."""
    return [
        [
            row.picture.number,
            row.picture.title,
            row.picture.shoot.title,
            row.words,
            " ".join(row.sentences),
            row.held,
            "; ".join(offer.words for offer in row.offers),
        ]
        for row in rows
    ]


TABLE_COLUMNS = ("Picture", "Title", "Shoot", "Answer", "Why", "What the buyer holds", "What would make it a yes")
