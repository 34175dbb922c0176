from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from shared.edits import EditedMeanwhile
from shared.evidence.models import Evidence
from shared.evidence.queries import first_broken_link
from shared.files.models import StoredFile
from shared.files.refusals import FileTooLarge, FileTypeRefused, PictureRefused
from shared.states import MoveRefused
from shared.words.formats import plain_spaces
from shoots.brief.models import SellingOn
from shoots.found import actions
from shoots.found.models import FOUND_MOVES, OUTCOMES, FoundLetter, FoundShot, FoundState, FoundUse
from shoots.found.queries import answer_of, found_in_full, may_be_offered, state_words
from shoots.licences.actions import (
    CannotChange,
    HeldAlready,
    LicenceConflict,
    NoCell,
    NotForSale,
    accept_licence,
    discard_draft,
    offer_draft,
    start_licence,
)
from shoots.licences.models import Licence
from shoots.licences.queries import grant_of, sentences_of
from shoots.life.actions import decline_licence
from shoots.pictures.models import Assessment
from shoots.uses.intended import ANY_NUMBER
from tests.factories import licences
from tests.factories.found import AT, ONLINE, SEEN, Upload, recorded, screenshot, used_by, written
from tests.shoots.licences.test_actions import kinds as kinds_of_licence

pytestmark = pytest.mark.django_db


def kinds(found):
    return list(Evidence.objects.filter(subject=f"found:{found.pk}").values_list("kind", flat=True))


@pytest.mark.both
def test_a_use_is_recorded_with_its_number_and_its_screenshot():
    picture = licences.picture_of()
    found = recorded(
        [picture], screenshots=[Upload(screenshot(), "banner.png"), Upload(b"%PDF-1.7 a page", "page.pdf")]
    )
    assert found.number == "F-2026-001"
    assert recorded().number == "F-2026-002"
    assert found.state == FoundState.NEW
    assert list(found.pictures.all()) == [picture]
    image, page = found.shots.all()
    assert image.file.read_bytes() == screenshot()
    assert image.copy.media_type == "image/jpeg"
    assert page.copy is None
    assert kinds(found) == ["use_found", "screenshot_kept", "screenshot_kept"]


def test_where_and_when_are_enough():
    found = actions.record_use(pictures=[], screenshots=[], place="A shop", seen_on=SEEN, at=AT)
    assert (found.user, list(found.pictures.all()), list(found.shots.all())) == ("", [], [])


@pytest.mark.parametrize(
    ("data", "refusal"),
    [
        (b"MZ no picture", FileTypeRefused),
        (screenshot()[:400], PictureRefused),
        (b"\xff\xd8\xff" + b"0" * (20 * 1024 * 1024), FileTooLarge),
    ],
)
def test_what_is_no_screenshot_leaves_nothing_half_recorded(data, refusal):
    with pytest.raises(refusal), transaction.atomic():
        recorded(screenshots=[Upload(screenshot(), "good.png"), Upload(data, "bad.png")])
    assert not FoundUse.objects.exists()
    assert not StoredFile.objects.filter(kind__startswith="screenshot").exists()
    found = recorded()
    with pytest.raises(refusal):
        actions.add_screenshots(found, [Upload(screenshot(), "good.png"), Upload(data, "bad.png")], at=AT)
    assert found.shots.count() == 1


def test_a_screenshot_of_just_20_mb_is_taken():
    page = b"%PDF-1.7" + b" " * (20 * 1024 * 1024 - 8)
    found = recorded()
    (shot,) = actions.add_screenshots(found, [Upload(page, "long.pdf")], at=AT)
    assert shot.file.size == 20 * 1024 * 1024


def test_details_follow_and_a_stale_form_is_told():
    found = recorded()
    actions.change_use(found, version=1, at=AT, use_copies=None, place="A menu")
    assert FoundUse.objects.get().place == "A menu"
    with pytest.raises(EditedMeanwhile):
        actions.change_use(FoundUse.objects.get(), version=1, at=AT, place="Another")
    assert FoundUse.objects.get().place == "A menu"


def test_the_picture_is_named_later_and_again():
    found, picture, other = recorded([]), licences.picture_of(), licences.picture_of()
    actions.name_pictures(found, [picture], at=AT)
    actions.name_pictures(found, [other], at=AT)
    assert list(found.pictures.all()) == [other]
    assert kinds(found).count("pictures_named") == 2


def test_a_letter_freezes_what_is_known_and_what_was_then_and_is_now():
    picture = licences.picture_of()
    found = used_by(licences.kvernmoor(), picture)
    letter = written(found)
    kept = letter.snapshot
    assert (kept["covered_then"], kept["covered_now"], kept["licences"]) == (False, False, [])
    assert letter.file.read_bytes().startswith(b"%PDF")
    found.refresh_from_db()
    assert (found.state, found.answer_by) == (FoundState.WRITTEN, date(2026, 12, 4))
    row = Evidence.objects.get(kind="letter_written")
    assert row.payload["paper"] == letter.file.sha256
    actions.change_use(found, version=found.version, at=AT, place="Somewhere else")
    assert FoundLetter.objects.get().snapshot["place"] == "Banner on a page about soup"
    assert written(FoundUse.objects.get()).version == 2


@pytest.mark.both
def test_a_letter_and_a_screenshot_are_never_changed():
    letter = written()
    for change in (
        lambda: FoundLetter.objects.update(version=9),
        lambda: FoundLetter.objects.all().delete(),
        lambda: FoundShot.objects.update(copy=None),
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            change()
    assert FoundLetter.objects.get() == letter


@pytest.mark.parametrize("missing", ["pictures", "use_media", "use_classes", "use_territories", "user_name"])
def test_without_what_must_be_known_no_letter_is_written(missing):
    found = recorded(
        [] if missing == "pictures" else None,
        **({} if missing == "pictures" else {missing: ONLINE[missing][:0] if missing in ONLINE else ""}),
    )
    with pytest.raises(actions.NotKnownEnough):
        written(found)
    assert not FoundLetter.objects.exists()
    assert FoundUse.objects.get().state == FoundState.NEW


def test_a_covered_use_gets_no_letter():
    picture = licences.picture_of()
    licence = licences.granted([picture], first_day=date(2026, 11, 1), fee_net=0)
    with pytest.raises(actions.NothingToAsk):
        written(used_by(licence.licensee, picture))


def test_the_letter_goes_out_with_the_screenshots_it_names():
    found = recorded()
    with pytest.raises(actions.NoLetterYet):
        actions.send_letter(found, to="hello@fennelyard.example", at=AT)
    letter = written(found, language="de")
    actions.add_screenshots(found, [Upload(screenshot(700), "later.png")], at=AT)
    message = actions.send_letter(found, to="hello@fennelyard.example", at=AT)
    assert message.state == "kept"
    assert {file.name for file in message.attachments.all()} == {letter.file.name, "banner.png"}
    assert "Guten Tag" in message.body
    assert "Banner on a page about soup" in message.body
    assert kinds(found)[-1] == "sent"
    assert "fennelyard" not in str(Evidence.objects.get(kind="sent").payload)


@pytest.mark.parametrize("outcome", [each.value for each in OUTCOMES])
def test_every_outcome_is_recorded_and_refused_twice(outcome):
    found = recorded()
    actions.record_outcome(found, outcome, answered_on=SEEN, answer="They said so", at=AT)
    kept = FoundUse.objects.get()
    assert (kept.state, kept.answered_on, kept.answer) == (outcome, SEEN, "They said so")
    with pytest.raises(MoveRefused):
        actions.record_outcome(kept, outcome, answered_on=SEEN, at=AT)


def test_a_letter_may_follow_any_outcome_and_new_is_never_reached_again():
    assert set(FOUND_MOVES) == set(FoundState.values)
    assert all(FoundState.WRITTEN in targets for targets in FOUND_MOVES.values())
    assert not any(FoundState.NEW in targets for targets in FOUND_MOVES.values())


def test_the_licence_taken_afterwards_is_named():
    picture = licences.picture_of()
    licence = licences.granted([picture])
    found = used_by(licence.licensee, picture)
    actions.record_outcome(found, FoundState.LICENSED, answered_on=SEEN + timedelta(days=1), licence=licence, at=AT)
    assert FoundUse.objects.get().licence == licence
    assert Evidence.objects.get(kind="outcome_recorded").payload["licence"] == licence.number


def offer_terms(client, **also):
    days = {"first_day": date(2026, 11, 10), "last_day": SEEN, "fee_net": Decimal(240)}
    return {"licensee": client, **days, **also}


@pytest.mark.both
def test_an_offer_for_its_own_days_covers_once_it_is_accepted_and_paid():
    """The whole way: seen, not covered, offered for exactly these days, agreed, paid; the use shows each step."""
    picture, client = licences.picture_of(), licences.kvernmoor()
    found = used_by(client, picture, since=date(2026, 11, 10))
    offer = actions.offer_for_use(found, **offer_terms(client), at=AT)
    assert (offer.state, offer.origin, offer.use_media, offer.exclusivity) == (
        "offered",
        "past_use",
        ["web.display"],
        "none",
    )
    assert (offer.use_from, offer.last_day) == (date(2026, 11, 10), SEEN)
    reason = plain_spaces(offer.frozen["reason"])
    assert reason == "F-2026-001: Banner on a page about soup, seen on 18 Nov 2026"

    def step():
        at_hand = found_in_full(found.pk).get()
        answer = answer_of(at_hand)
        return state_words(at_hand, SEEN), answer["now"].is_covered, may_be_offered(at_hand, answer["now"])

    assert found_in_full(found.pk).get().licence == offer
    assert step() == ("Licence offered", False, False)
    agreed = accept_licence(offer, accepted_by="Runa Tallow", at=AT)
    assert step() == ("Licence agreed, not paid yet", False, False)
    start_licence(agreed, paid_on=date(2026, 11, 30), at=AT)
    assert step() == ("Licence paid, record the outcome", True, False)
    assert answer_of(found_in_full(found.pk).get())["then"].is_covered is False
    actions.record_outcome(found, FoundState.LICENSED, answered_on=SEEN, at=AT)
    assert FoundUse.objects.get().licence == offer
    assert step()[0] == "Licence taken afterwards"


def test_a_declined_offer_is_told_and_another_may_be_made():
    picture, client = licences.picture_of(), licences.kvernmoor()
    found = used_by(client, picture, since=date(2026, 11, 10))
    decline_licence(actions.offer_for_use(found, **offer_terms(client), at=AT), at=AT)
    at_hand = found_in_full(found.pk).get()
    assert state_words(at_hand, SEEN) == "Licence declined"
    assert may_be_offered(at_hand, answer_of(at_hand)["now"])
    assert actions.offer_for_use(found, **offer_terms(client, fee_net=Decimal(180)), at=AT).state == "offered"


def test_the_days_after_are_a_licence_of_their_own_without_a_day_between():
    picture, client = licences.picture_of(), licences.kvernmoor()
    found = used_by(client, picture, since=date(2026, 11, 10))
    more = {"goes_on_until": date(2027, 11, 18), "goes_on_fee": Decimal(400)}
    past = actions.offer_for_use(found, **offer_terms(client, **more), at=AT)
    follows = past.renewed_by.get()
    assert (follows.use_from, follows.last_day, follows.fee_net) == (date(2026, 11, 19), date(2027, 11, 18), 400)
    assert (follows.state, follows.origin) == ("offered", "renewal")
    assert Evidence.objects.get(kind="licence_offered").payload == {
        "licence": past.number,
        "goes_on_with": follows.number,
    }


def test_a_rival_stops_the_days_to_come_and_not_those_that_are_over():
    picture, client = licences.picture_of(), licences.kvernmoor()
    rival = licences.granted(
        [picture], licensee=licences.oystercatcher(), use=licences.ALONE, first_day=date(2026, 11, 1)
    )
    found = used_by(client, picture, since=date(2026, 11, 10))
    more = {"goes_on_until": date(2027, 11, 18), "goes_on_fee": Decimal(400)}
    past = actions.offer_for_use(found, **offer_terms(client, **more), at=AT)
    with pytest.raises(LicenceConflict, match=rival.number):
        accept_licence(past.renewed_by.get(), accepted_by="Runa Tallow", at=AT)
    assert rival.number in accept_licence(past, accepted_by="Runa Tallow", at=AT).frozen["warnings"][0]


def test_a_draft_for_it_is_told_and_may_be_deleted():
    picture, client = licences.picture_of(), licences.kvernmoor()
    found = used_by(client, picture, since=date(2026, 11, 10))
    draft = actions.offer_for_use(found, **offer_terms(client), is_draft=True, at=AT)
    assert state_words(found_in_full(found.pk).get(), SEEN) == "Licence drafted"
    discard_draft(draft, at=AT)
    assert found_in_full(found.pk).get().licence is None
    draft = actions.offer_for_use(found, **offer_terms(client), is_draft=True, at=AT)
    assert offer_draft(draft, at=AT).state == "offered", "though its last day is over"
    assert state_words(found_in_full(found.pk).get(), SEEN) == "Licence offered"


def test_a_draft_with_days_after_it_is_deleted_alone_until_those_are_offered():
    picture, client = licences.picture_of(), licences.kvernmoor()
    found = used_by(client, picture, since=date(2026, 11, 10))
    more = {"goes_on_until": date(2027, 11, 18), "goes_on_fee": Decimal(400)}
    past = actions.offer_for_use(found, **offer_terms(client, **more), is_draft=True, at=AT)
    follows = past.renewed_by.get()
    discard_draft(past, at=AT)
    follows.refresh_from_db()
    assert (follows.state, follows.renews, FoundUse.objects.get().licence) == ("draft", None, None)

    past = actions.offer_for_use(found, **offer_terms(client, **more), is_draft=True, at=AT)
    follows = offer_draft(past.renewed_by.get(), at=AT)
    with pytest.raises(CannotChange, match=follows.number):
        discard_draft(past, at=AT)
    assert FoundUse.objects.get().licence == past


def test_without_a_picture_nothing_is_offered():
    with pytest.raises(actions.NotKnownEnough):
        actions.offer_for_use(recorded([]), **offer_terms(licences.kvernmoor()), at=AT)
    assert not Licence.objects.exists()


def test_pictures_that_may_not_be_sold_on_are_not_offered_for_it_either():
    picture = licences.picture_of()
    picture.shoot.selling_on = SellingOn.NOT_AGREED
    picture.shoot.save()
    client = licences.kvernmoor()
    found = used_by(client, picture, since=date(2026, 11, 10))
    with pytest.raises(NotForSale):
        actions.offer_for_use(found, **offer_terms(client), at=AT)
    assert (FoundUse.objects.get().licence, Licence.objects.count()) == (None, 0)


PRINTED = {"use_media": ["print.ad"]}


def test_copies_of_a_printed_use_that_nobody_counted_are_asked_for_before_it_is_offered():
    picture, client = licences.picture_of(), licences.kvernmoor()
    found = used_by(client, picture, since=date(2026, 11, 10), **PRINTED)
    with pytest.raises(actions.NotKnownEnough, match="how many copies were made"):
        actions.offer_for_use(found, **offer_terms(client), at=AT)
    assert (FoundUse.objects.get().licence, Licence.objects.count()) == (None, 0)
    assert actions.offer_for_use(found, **offer_terms(client), copies=4000, at=AT).use_copies == 4000


@pytest.mark.parametrize(("seen", "said", "granted"), [(None, ANY_NUMBER, None), (900, None, 900), (900, 5, 900)])
def test_copies_that_were_seen_count_and_any_number_is_said(seen, said, granted):
    picture, client = licences.picture_of(), licences.kvernmoor()
    found = used_by(client, picture, since=date(2026, 11, 10), use_copies=seen, **PRINTED)
    assert actions.offer_for_use(found, **offer_terms(client), copies=said, at=AT).use_copies == granted


@pytest.mark.parametrize("is_draft", [True, False])
def test_while_a_licence_for_it_is_on_its_way_no_second_one_is_made(is_draft):
    picture, client = licences.picture_of(), licences.kvernmoor()
    found = used_by(client, picture, since=date(2026, 11, 10))
    first = actions.offer_for_use(found, **offer_terms(client), is_draft=is_draft, at=AT)
    with pytest.raises(actions.OnItsWay, match=first.number):
        actions.offer_for_use(
            found, **offer_terms(client, first_day=date(2026, 11, 1), last_day=date(2026, 11, 9)), is_draft=True, at=AT
        )
    assert (FoundUse.objects.get().licence, Licence.objects.count()) == (first, 1)


# For a use that happened


def past_use(pictures, **also):
    """Offered for days that are over, and agreed."""
    seen = {
        "licensee": also.pop("licensee", None) or licences.oystercatcher(),
        "classes": ["advertising"],
        "media": ["web.paid_social"],
        "territories": ["DE"],
        "first_day": date(2026, 9, 1),
        "last_day": date(2026, 10, 31),
        "copies": None,
        "fee_net": Decimal(400),
        "reason": "Seen on their page on 12 October.",
    }
    tell = also.pop("write_to_client", False)
    offer = actions.offer_for_past_use(pictures=pictures, **{**seen, **also}, write_to_client=tell, at=licences.AT)
    return accept_licence(offer, accepted_by="Osk Pellamy", write_to_client=tell, at=licences.AT)


@pytest.mark.both
def test_a_use_that_happened_is_licensed_for_its_own_days_and_covers_once_paid():
    picture = licences.picture_of()
    licence = past_use([picture])
    assert licence.frozen["warnings"] == []
    assert (licence.state, licence.origin, licence.exclusivity) == ("accepted", "past_use", "none")
    assert (licence.use_from, licence.last_day) == (date(2026, 9, 1), date(2026, 10, 31))
    assert licence.frozen["reason"] == "Seen on their page on 12 October."
    assert kinds_of_licence(licence) == ["offered", "granted"]
    assert not grant_of(licence, [str(picture.pk)]).is_running(date(2026, 9, 1))
    start_licence(licence, paid_on=date(2026, 11, 20), at=licences.AT)
    grant = grant_of(licence, [str(picture.pk)])
    days = (date(2026, 8, 31), date(2026, 9, 1), date(2026, 10, 31), date(2026, 11, 1))
    assert [grant.is_running(day) for day in days] == [False, True, True, False]


@pytest.mark.both
def test_a_rival_of_those_days_is_told_and_kept_and_stops_nothing():
    picture = licences.picture_of()
    rival = licences.granted(
        [picture], use=licences.ALONE, first_day=date(2026, 8, 1), at=datetime(2026, 7, 30, 9, tzinfo=UTC)
    )
    given = past_use([picture])
    (warning,) = given.frozen["warnings"]
    assert rival.number in warning
    assert given.state == "accepted"
    assert first_broken_link() is None


@pytest.mark.both
def test_people_not_released_are_told_of_a_past_use():
    picture = licences.picture_of(people=Assessment.NOT_ASSESSED)
    (warning,) = past_use([picture]).frozen["warnings"]
    assert f"{picture.number} was not released" in warning


@pytest.mark.both
def test_a_past_use_of_what_may_not_be_sold_on_is_refused():
    picture = licences.picture_of(licences.free_shoot())
    picture.shoot.selling_on = SellingOn.NOT_AGREED
    picture.shoot.save()
    with pytest.raises(NotForSale, match="selling on is not agreed"):
        past_use([picture])
    assert not Licence.objects.exists()


@pytest.mark.both
def test_an_offer_for_a_past_use_keeps_its_reason_and_is_accepted_after_its_last_day():
    picture = licences.picture_of()
    rival = licences.granted(
        [picture], use=licences.ALONE, first_day=date(2026, 8, 1), at=datetime(2026, 7, 30, 9, tzinfo=UTC)
    )
    seen = {"classes": ["advertising"], "media": ["web.display"], "territories": ["DE"], "copies": None}
    offer = actions.offer_for_past_use(
        pictures=[picture], licensee=licences.oystercatcher(), first_day=date(2026, 9, 1), last_day=date(2026, 10, 31), fee_net=Decimal(240),
        reason="Seen on a banner.", at=licences.AT, **seen,
    )  # fmt: skip
    assert (offer.state, offer.frozen) == ("offered", {"reason": "Seen on a banner."})
    assert "Oystercatcher Pantry" in sentences_of(offer)[0]
    granted_ = accept_licence(offer, accepted_by="Osk Pellamy", at=licences.AT)
    assert (granted_.state, granted_.frozen["reason"]) == ("accepted", "Seen on a banner.")
    assert rival.number in granted_.frozen["warnings"][0]
    assert granted_.frozen["sentences"]


@pytest.mark.both
def test_days_to_come_are_not_granted_as_a_past_use():
    with pytest.raises(NoCell, match="still to come"):
        past_use([licences.picture_of()], last_day=date(2026, 11, 21))
    with pytest.raises(NoCell, match="before the first"):
        past_use([licences.picture_of()], last_day=date(2026, 8, 1))
    with pytest.raises(NoCell, match="No picture"):
        past_use([])
    assert not Licence.objects.exists()


@pytest.mark.both
def test_a_past_use_is_not_sold_twice_and_without_a_fee_is_paid_at_once():
    picture, client = licences.picture_of(), licences.oystercatcher()
    given = past_use([picture], licensee=client, fee_net=Decimal(0), write_to_client=True)
    assert given.state == "paid"
    with pytest.raises(HeldAlready):
        past_use([picture], licensee=client)
