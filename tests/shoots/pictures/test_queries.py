from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.urls import reverse

from shoots.brief.models import Part
from shoots.pictures.actions import name_person, name_property, say_nobody_is_shown, say_nothing_is_shown
from shoots.pictures.models import Picture
from shoots.pictures.queries import (
    agreed_to_fulfil,
    counts_of,
    people_to_name,
    picture_in_full,
    pictures_listed,
    pictures_of,
    pictures_showing,
    shown_with_releases,
    subjects_of,
    things_known,
    withdrawn_in,
)
from shoots.releases.actions import (
    Sheet,
    call_back_release,
    record_foreign_paper,
    record_signed_print,
    sign_beside_guardian,
    sign_release,
    withdraw_release,
)
from shoots.releases.clearance import Verdict, clear
from shoots.uses.intended import Use
from tests.factories.clients import ClientFactory
from tests.factories.pictures import picture_of
from tests.factories.releases import AT, SIGNATURE, offered_release, scan, shoot_with_cook, signed_release
from tests.factories.shoots import AgreedPictureFactory, ShootFactory, ShootPersonFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def shoot():
    return shoot_with_cook()


def test_pictures_are_found_by_word_state_and_what_is_missing(shoot):
    chosen, new = (
        picture_of(shoot, seed=1, title="Bread boat", state="chosen", caption="A boat", is_checked=True),
        picture_of(shoot, seed=2),
    )
    assert list(pictures_listed(text="boat")) == [chosen]
    assert list(pictures_listed(state="new", shoot=shoot)) == [new]
    assert list(pictures_listed(missing="caption")) == [new]
    assert list(pictures_listed(missing="check")) == [new]
    assert pictures_listed(missing="people").count() == 2
    assert counts_of(shoot) == {"all": 2, "chosen": 1, "unassessed": 2}
    assert picture_in_full(new.pk).get() == new
    assert set(pictures_of(shoot)) == {chosen, new}


def test_the_cook_comes_first_and_promises_left_out_are_not_offered(shoot):
    kept = AgreedPictureFactory(shoot=shoot)
    AgreedPictureFactory(shoot=shoot, state="left_out")
    assert [person.name for person in people_to_name(shoot)] == ["Maro Lantadze"]
    assert list(agreed_to_fulfil(shoot)) == [kept]


OWN = Use(
    classes=frozenset({"advertising"}),
    media=frozenset({"web.own"}),
    territories=frozenset({"DE"}),
    use_from=date(2027, 3, 1),
    use_until=date(2028, 3, 1),
)


def cleared(picture, licensee, use=OWN):
    people, properties = subjects_of([Picture.objects.get(pk=picture.pk)])[picture.pk]
    return clear(use, licensee=str(licensee.pk), people=people, properties=properties)


@pytest.fixture
def cook(shoot):
    return people_to_name(shoot)[0]


@pytest.fixture
def of_cook(shoot, cook):
    """A picture of the shoot with nothing in it but its cook."""
    return showing(shoot, cook)


def showing(shoot, person, seed=0):
    picture = picture_of(shoot, seed=seed)
    name_person([picture], person, recognisable="yes")
    say_nothing_is_shown([picture])
    return picture


def again_with(cook, like, **also):
    """Another shoot with the same cook, for the same house unless another is named."""
    other = ShootFactory(**{"title": "Spring menu", "client": like.client, "licensee": like.licensee, **also})
    ShootPersonFactory(shoot=other, person=cook, part=Part.COOK)
    return other


def test_clearance_asks_of_people_with_the_releases_that_reach_the_picture(shoot, cook, of_cook):
    release = signed_release(shoot)
    people, things = subjects_of([Picture.objects.get(pk=of_cook.pk)])[of_cook.pk]
    assert [(subject.id, [each.is_signed for each in subject.releases]) for subject in people] == [
        (str(cook.pk), [True])
    ]
    assert things == []
    assert shown_with_releases(picture_in_full(of_cook.pk).get())["persons"] == [
        (of_cook.persons_shown.get(), release, False)
    ]


def test_a_release_signed_for_one_shoot_clears_no_picture_of_another(shoot, cook, of_cook):
    elsewhere = showing(again_with(cook, shoot), cook, seed=1)
    release = signed_release(shoot)
    assert f"pictures taken for “{shoot.title}”" in release.snapshot["texts"][1]["paragraphs"][0]
    assert cleared(of_cook, shoot.licensee).verdict is Verdict.CLEARED
    answer = cleared(elsewhere, shoot.licensee)
    assert (answer.verdict, answer.notes, answer.model_release) == (
        Verdict.NOT_CLEARED, (f"MISSING:{cook.pk}",), "MR-NON",
    )  # fmt: skip
    assert shown_with_releases(picture_in_full(elsewhere.pk).get())["persons"][0][1] is None
    assert [each.pk for each in pictures_showing(release)] == [of_cook.pk]


@pytest.mark.parametrize(("reach", "same_house", "other_house"), [("house", True, False), ("all", True, True)])
def test_a_release_that_says_more_reaches_the_shoots_it_names(shoot, cook, of_cook, reach, same_house, other_house):
    at_home = showing(again_with(cook, shoot), cook, seed=1)
    away = showing(again_with(cook, shoot, client=(house := ClientFactory()), licensee=house), cook, seed=2)
    release = signed_release(shoot, reach=reach, own_promotion_of=None)
    for picture, counts in ((of_cook, True), (at_home, same_house), (away, other_house)):
        assert (cleared(picture, shoot.licensee).verdict is Verdict.CLEARED) is counts
        assert (picture in pictures_showing(release)) is counts


def test_a_release_for_named_shoots_clears_theirs_and_its_withdrawal_reaches_each_of_them(shoot, cook, of_cook):
    named, apart = again_with(cook, shoot, title="Named"), again_with(cook, shoot, title="Apart")
    there, elsewhere = showing(named, cook, seed=1), showing(apart, cook, seed=2)
    release = signed_release(shoot, reach="named", also_for=[named])
    for picture, counts in ((of_cook, True), (there, True), (elsewhere, False)):
        assert (cleared(picture, shoot.licensee).verdict is Verdict.CLEARED) is counts
        assert (picture in pictures_showing(release)) is counts
    withdraw_release(release, reason="Left the house", at=AT + timedelta(days=1))
    for picture, note in ((of_cook, "WITHDRAWN"), (there, "WITHDRAWN"), (elsewhere, "MISSING")):
        assert cleared(picture, shoot.licensee).notes == (f"{note}:{cook.pk}",)


def test_a_paper_counts_for_pictures_from_its_scan_on_and_not_before(shoot, cook, of_cook):
    release = offered_release(shoot)
    assert cleared(of_cook, shoot.licensee).notes == (f"MISSING:{cook.pk}",)
    record_signed_print(
        release, sheets=[Sheet(scan(), "paper.pdf")], signed_on=AT.date(), signer_name=cook.name, capacity="self", at=AT
    )
    assert cleared(of_cook, shoot.licensee).verdict is Verdict.CLEARED


def test_a_foreign_paper_counts_within_the_limits_typed_from_it(shoot, cook, of_cook):
    record_foreign_paper(
        shoot, paper_wording="House form", sheets=[Sheet(scan(), "paper.pdf")], signed_on=AT.date(), signer_name=cook.name,
        capacity="self", kind="model", person=cook, use_media=frozenset({"print"}), at=AT,
    )  # fmt: skip
    assert cleared(of_cook, shoot.licensee).notes == (f"SCOPE:{cook.pk}",)
    assert cleared(of_cook, shoot.licensee, replace(OWN, media=frozenset({"print.menu"}))).verdict is Verdict.CLEARED


def test_of_somebody_under_age_their_own_signature_alone_clears_nothing(shoot, cook, of_cook):
    release = offered_release(shoot, is_minor=True, guardian_name="Ilo Lantadze", minor_signs=True)
    sign_beside_guardian(release, text_sha256=release.text_sha256, signature_path=SIGNATURE, via="here", at=AT)
    assert f"GUARDIAN:{cook.pk}" in cleared(of_cook, shoot.licensee).notes
    sign_release(
        release, text_sha256=release.text_sha256, signer_name="Ilo Lantadze", capacity="guardian", signature_path=SIGNATURE,
        is_of_full_age=True, via="here", at=AT,
    )  # fmt: skip
    assert cleared(of_cook, shoot.licensee).verdict is Verdict.CLEARED


def test_a_withdrawn_release_of_another_shoot_says_nothing_here_and_one_of_the_house_does(shoot, cook, of_cook):
    other = again_with(cook, shoot)
    signed_release(shoot)
    withdraw_release(signed_release(other), reason="No", at=AT + timedelta(days=3))
    assert cleared(of_cook, shoot.licensee).verdict is Verdict.CLEARED
    wide = signed_release(other, reach="house", at=AT + timedelta(days=4))
    withdraw_release(wide, reason="Nowhere", at=AT + timedelta(days=5))
    assert cleared(of_cook, shoot.licensee).notes == (f"WITHDRAWN:{cook.pk}",)


def test_a_narrow_release_signed_later_hides_no_wider_one(shoot, of_cook):
    signed_release(shoot, own_promotion_of=None, use_classes=frozenset(), use_media=frozenset())
    signed_release(shoot, at=AT + timedelta(days=1))
    answer = cleared(of_cook, ClientFactory(), replace(OWN, media=frozenset({"print.ad"})))
    assert (answer.verdict, answer.model_release) == (Verdict.CLEARED, "MR-UMR")


def test_an_older_release_withdrawn_after_a_newer_was_signed_is_what_speaks(shoot, cook, of_cook):
    first = signed_release(shoot)
    signed_release(shoot, at=AT + timedelta(days=1))
    assert cleared(of_cook, shoot.licensee).verdict is Verdict.CLEARED
    withdraw_release(first, reason="No more", at=AT + timedelta(days=2))
    answer = cleared(of_cook, shoot.licensee)
    assert (answer.verdict, answer.notes) == (Verdict.NOT_CLEARED, (f"WITHDRAWN:{cook.pk}",))
    first.refresh_from_db()
    assert shown_with_releases(picture_in_full(of_cook.pk).get())["persons"][0][1] == first
    signed_release(shoot, at=AT + timedelta(days=3))
    assert cleared(of_cook, shoot.licensee).verdict is Verdict.CLEARED


def thing_in(shoot, description, seed=0):
    picture = picture_of(shoot, seed=seed)
    say_nobody_is_shown([picture])
    name_property([picture], description=description)
    return picture


def test_a_thing_is_cleared_by_the_release_that_names_it(shoot, cook):
    picture = thing_in(shoot, "the  blue plates")
    assert cleared(picture, shoot.licensee).property_release == "PR-NON"
    release = signed_release(shoot, kind="property", person=None, signer=cook, property_description="The blue plates")
    answer = cleared(picture, shoot.licensee)
    assert (answer.verdict, answer.notes, answer.property_release) == (Verdict.CLEARED, (), "PR-LPR")
    assert shown_with_releases(picture_in_full(picture.pk).get())["things"][0][1] == release
    other, elsewhere = thing_in(shoot, "The red plates", 1), thing_in(again_with(cook, shoot), "The blue plates", 2)
    for each in (other, elsewhere):
        assert cleared(each, shoot.licensee).verdict is Verdict.NOT_CLEARED
    assert list(pictures_showing(release)) == [picture]
    assert things_known(shoot) == ["The blue plates", "The red plates"]


def test_a_release_of_the_room_is_none_of_a_thing_in_it(shoot, cook):
    room, plates = picture_of(shoot), thing_in(shoot, "The blue plates", 1)
    say_nobody_is_shown([room])
    name_property([room], kitchen=shoot.kitchen)
    release = signed_release(shoot, kind="property", person=None, signer=cook, kitchen=shoot.kitchen)
    assert cleared(room, shoot.licensee).verdict is Verdict.CLEARED
    assert cleared(plates, shoot.licensee).verdict is Verdict.NOT_CLEARED
    assert list(pictures_showing(release)) == [room]


def guarded(shoot, cook, **also):
    release = offered_release(shoot, person=cook, is_minor=True, guardian_name="Ilo Lantadze", **also)
    return sign_release(
        release, text_sha256=release.text_sha256, signer_name="Ilo Lantadze", capacity="guardian",
        signature_path=SIGNATURE, is_of_full_age=True, via="private link", at=AT,
    )  # fmt: skip


def test_somebody_under_age_is_cleared_by_a_guardian_alone(shoot, cook, of_cook):
    signed_release(shoot)
    assert cleared(of_cook, shoot.licensee).verdict is Verdict.CLEARED
    name_person([of_cook], cook, recognisable="yes", is_minor=True)
    answer = cleared(of_cook, shoot.licensee)
    assert (answer.verdict, answer.notes, answer.model_release) == (
        Verdict.NOT_CLEARED, (f"GUARDIAN:{cook.pk}",), "MR-NON",
    )  # fmt: skip
    editorial = replace(OWN, classes=frozenset({"editorial"}))
    assert cleared(of_cook, shoot.licensee, editorial).verdict is Verdict.NOT_CLEARED
    guarded(shoot, cook)
    answer = cleared(of_cook, shoot.licensee)
    assert (answer.verdict, answer.model_release) == (Verdict.CLEARED, "MR-LMR")
    assert shown_with_releases(picture_in_full(of_cook.pk).get())["persons"][0][2] is True


def test_a_release_asked_of_a_guardian_makes_the_person_under_age_until_it_is_called_back(shoot, cook, of_cook):
    asked = offered_release(shoot, person=cook, is_minor=True, guardian_name="Ilo Lantadze")
    assert cleared(of_cook, shoot.licensee).notes == (f"GUARDIAN:{cook.pk}", f"MISSING:{cook.pk}")
    call_back_release(asked, at=AT)
    assert cleared(of_cook, shoot.licensee).notes == (f"MISSING:{cook.pk}",)


def test_the_lists_flag_what_shows_somebody_whose_release_is_withdrawn(shoot, cook, of_cook, client_for, owner):
    hands, release = picture_of(shoot, seed=1), signed_release(shoot)
    name_person([hands], cook, recognisable="no")
    rows = list(Picture.objects.all())
    assert withdrawn_in(rows) == set()
    withdraw_release(release, reason="No", at=AT + timedelta(days=3))
    assert withdrawn_in(rows) == {of_cook.pk}
    for path in (reverse("pictures"), reverse("shoot_pictures", args=[shoot.pk])):
        assert client_for(owner).get(path).content.decode().count("Release withdrawn") == 1


def test_the_pictures_of_a_release_leave_out_those_where_nobody_can_be_recognised(shoot, cook, of_cook):
    hands = picture_of(shoot, seed=1)
    name_person([hands], cook, recognisable="no")
    assert list(pictures_showing(signed_release(shoot))) == [of_cook]


def test_what_nobody_looked_at_is_not_assessed(shoot):
    picture = picture_of(shoot)
    assert subjects_of([picture])[picture.pk] == (None, None)


def test_the_question_costs_the_same_for_one_and_for_five(shoot, django_assert_num_queries):
    cook = people_to_name(shoot)[0]
    pictures = [picture_of(shoot, seed=n) for n in range(5)]
    name_person(pictures, cook, recognisable="yes")
    for some in (pictures[:1], pictures):
        found = list(
            picture_in_full(0)
            .model.objects.filter(pk__in=[each.pk for each in some])
            .prefetch_related("persons_shown", "properties_shown")
        )
        with django_assert_num_queries(2):
            subjects_of(found)
