import csv
import io
from urllib.parse import urlencode

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shared.words.formats import plain_spaces
from shoots.brief.models import SellingOn
from shoots.licences.models import Licence
from shoots.pictures.actions import name_person, name_property
from shoots.pictures.models import Assessment, Picture
from shoots.releases.actions import sign_release
from shoots.releases.models import Release
from tests.factories import licences as make
from tests.factories.clients import PersonFactory
from tests.shoots.asking.pages import asked_of

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def frozen():
    with time_machine.travel(make.AT, tick=False):
        yield


def html(answer):
    return plain_spaces(answer.content.decode())


@pytest.fixture
def browser(client_for, owner):
    return client_for(owner)


def many(count):
    """So many pictures of one shoot, each with a rival's licence and a cook whose release is missing."""
    first = make.picture_of()
    licence = make.granted([first], use=make.ALONE)
    row = {field.attname: getattr(first, field.attname) for field in Picture._meta.concrete_fields}
    copies = [
        Picture(**row | {"id": None, "number": f"{first.number}-{n}", "sha256": f"{n:064x}"}) for n in range(1, count)
    ]
    Picture.objects.bulk_create(copies)
    pictures = list(Picture.objects.filter(shoot=first.shoot))
    through = Licence.pictures.through
    through.objects.bulk_create(through(licence=licence, picture=each) for each in pictures if each.pk != first.pk)
    return pictures


def test_before_it_is_asked_the_page_takes_what_was_ticked(browser):
    picture, client = make.picture_of(), make.kvernmoor()
    page = browser.get(f"{reverse('can_i_sell')}?pictures={picture.pk}&client={client.pk}&shoot={picture.shoot_id}")
    assert page.status_code == 200
    assert "1 picture handed in" in html(page)
    assert page.context["form"]["client"].value() == str(client.pk)


def test_a_free_picture_is_a_yes_that_leads_into_the_grant_form_filled_in(browser):
    picture, client = make.picture_of(), make.kvernmoor()
    page = browser.get(asked_of([picture], client=client.pk, last_day="2027-01-31"))
    assert (page.status_code, page.context["counts"]) == (200, {"yes": 1, "not_yet": 0, "no": 0})
    assert "Nothing stands in the way." in html(page)
    assert 'formaction="/licences/grant/"' in html(page)
    sent = [*page.context["pairs"], ("pictures", picture.pk), ("first", "2026-12-01"), ("shoot", picture.shoot_id)]
    form = browser.get(f"{reverse('grant_licence')}?{urlencode(sent)}").context["form"]
    assert str(form["licensee"].value()) == str(client.pk) or form["licensee"].value() == client
    assert form.ticked == {str(picture.pk)}
    assert form["use_more_media"].value() == ["web.display"]
    assert form["use_kind"].value() == "advertising"
    assert set(form["use_places"].value()) == {"DE", "AT"}
    assert "31" in str(form["last_day"].value())


def test_a_rivals_licence_is_a_not_yet_and_each_way_offered_gives_a_yes(browser):
    picture = make.picture_of()
    licence = make.granted([picture], use=make.ALONE)
    page = browser.get(asked_of([picture]))
    (row,) = page.context["rows"]
    assert row.answer == "not_yet"
    assert licence.licensee.name in html(page)
    assert any(offer.words.startswith("Begin on") for offer in row.offers)
    assert any(offer.words == "Leave out Germany" for offer in row.offers)
    for offer in row.offers:
        (again,) = browser.get(offer.url).context["rows"]
        assert again.answer == "yes", offer.words


def test_a_shoot_nobody_agreed_to_sell_is_a_no_and_a_picture_nobody_looked_at_a_not_yet(browser):
    shoot = make.free_shoot()
    shoot.selling_on = SellingOn.NOT_AGREED
    shoot.save()
    held, open_ = make.picture_of(shoot), make.picture_of(people=Assessment.NOT_ASSESSED)
    page = browser.get(asked_of([held, open_, make.picture_of()]))
    assert page.context["counts"] == {"yes": 1, "not_yet": 1, "no": 1}
    assert "has not agreed to a sale to others" in html(page)
    assert "Nobody has looked who can be recognised." in html(page)
    for row in page.context["rows"]:
        for offer in row.offers:
            again = browser.get(offer.url)
            assert again.context["rows"][0].words == "Yes, once that is there"
            assert "Supposing this is done" in html(again)
            ((_words, url),) = again.context["supposed"]
            assert browser.get(url).status_code == 200
            assert not again.context["grants"]


def test_a_missing_release_is_asked_for_by_name(browser):
    picture = make.picture_of()
    person = PersonFactory(name="Maro Lantadze")
    name_person([picture], person, recognisable="yes")
    (row,) = browser.get(asked_of([picture])).context["rows"]
    assert row.answer == "not_yet"
    assert [offer.words for offer in row.offers] == ["Get a release for Maro Lantadze"]
    ((name, url),) = row.offers[0].asks
    assert name == "Maro Lantadze"
    page = browser.get(asked_of([picture]))
    assert "Ask for the release of Maro Lantadze" in html(page)
    form = browser.get(url).context["form"]
    assert form["about"].value() == f"person:{person.pk}"
    assert form["scope"].value() == "named"
    asked = page.context["asked"]
    assert (set(form["classes"].value()), set(form["media"].value())) == (asked.classes, asked.media)
    assert set(form["territories"].value()) == asked.territories
    again = browser.get(row.offers[0].url)
    assert again.context["supposed"][0][1] == url


def test_the_release_asked_for_takes_its_use_and_makes_it_a_yes(browser):
    picture, person = make.picture_of(), PersonFactory(name="Maro Lantadze", email="")
    name_person([picture], person, recognisable="yes")
    (row,) = browser.get(asked_of([picture])).context["rows"]
    url = row.offers[0].asks[0][1]
    form = browser.get(url).context["form"]
    given = {name: form[name].value() for name in form.fields}
    browser.post(url, {name: value for name, value in given.items() if value not in (None, "", False)})
    release = Release.objects.get()
    sign_release(
        release, text_sha256=release.text_sha256, signer_name="Maro Lantadze", capacity="self", typed_name="Maro Lantadze",
        is_of_full_age=True, via="here", at=make.AT,
    )  # fmt: skip
    (row,) = browser.get(asked_of([picture])).context["rows"]
    assert row.answer == "yes"


def test_own_promotion_of_the_house_is_asked_for_as_such(browser):
    picture = make.picture_of()
    name_person([picture], PersonFactory(), recognisable="yes")
    client = picture.shoot.licensee
    address = asked_of([picture], client=client.pk).replace("use_more_media=web.display", "use_media=web.own")
    (row,) = browser.get(address).context["rows"]
    form = browser.get(row.offers[0].asks[0][1]).context["form"]
    assert (form["scope"].value(), form["media"].value()) == ("house", ["web.own"])


def test_one_person_in_several_shoots_is_asked_once_for_all_of_them(browser):
    here, there = make.picture_of(), make.picture_of(make.free_shoot())
    person = PersonFactory()
    name_person([here, there], person, recognisable="yes")
    rows = browser.get(asked_of([here, there])).context["rows"]
    form = browser.get(rows[0].offers[0].asks[0][1]).context["form"]
    assert form["reach"].value() == "named"
    first = rows[0].picture.shoot_id
    assert form["also_for"].value() == [({here.shoot_id, there.shoot_id} - {first}).pop()]


def test_somebody_under_age_is_asked_for_one_shoot_with_a_guardian(browser):
    here, there = make.picture_of(), make.picture_of(make.free_shoot())
    name_person([here, there], PersonFactory(), recognisable="yes", is_minor=True)
    rows = browser.get(asked_of([here, there])).context["rows"]
    url = next(url for row in rows for offer in row.offers for _name, url in offer.asks)
    form = browser.get(url).context["form"]
    assert (form["is_minor"].value(), form["reach"].value()) == (True, "shoot")


def test_a_thing_and_a_place_are_asked_for_by_what_they_are(browser):
    picture = make.picture_of()
    name_property([picture], description="The clay pots")
    (row,) = browser.get(asked_of([picture])).context["rows"]
    form = browser.get(row.offers[0].asks[0][1]).context["form"]
    assert (form["about"].value(), form["thing"].value()) == ("thing", "The clay pots")


def test_for_many_the_changes_that_help_most_say_how_many(browser):
    pictures = many(12)
    page = browser.get(asked_of([*pictures, make.picture_of()]))
    best = page.context["gains"][0]
    assert best.yes == 13
    assert browser.get(best.url).context["counts"]["yes"] == 13
    assert "13 of 13 yes" in html(page)
    assert all(len(row.offers) <= 3 for row in page.context["rows"])


def test_one_answer_alone_is_shown_and_downloaded(browser):
    picture, free = make.picture_of(), make.picture_of()
    make.granted([picture], use=make.ALONE)
    page = browser.get(f"{asked_of([picture, free])}&answer=yes")
    assert [row.picture for row in page.context["shown"]] == [free]
    answer = browser.get(f"{asked_of([picture, free], 'can_i_sell_table')}&answer=not_yet")
    assert answer["Content-Type"].startswith("text/csv")
    rows = list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))
    assert [len(rows), rows[1][0], rows[1][3]] == [2, picture.number, "Not yet"]


def test_the_number_of_queries_is_the_same_for_1_40_and_500_pictures(browser):
    pictures = many(500)
    browser.get(asked_of(pictures[:1]))  # a process reads the studio's trees once
    counts = set()
    for count in (1, 40, 500):
        with CaptureQueriesContext(connection) as seen:
            page = browser.get(asked_of(pictures[:count]))
        assert sum(page.context["counts"].values()) == count
        counts.add(len(seen))
        print(count, len(seen), [q["sql"].split(" FROM ")[-1][:40] for q in seen.captured_queries if count == 1])
    assert len(counts) == 1, counts


@pytest.mark.parametrize("name", ["can_i_sell", "can_i_sell_table"])
@pytest.mark.parametrize(
    "also", [{"first_day": "never"}, {"use_places": ""}, {"last_day": "2020-01-01"}, {"first_day": "9999-06-01"}, {"client": "99999"}]
)  # fmt: skip
def test_a_question_with_a_mistake_keeps_what_was_typed(browser, name, also):
    page = browser.get(asked_of([make.picture_of()], name, **also))
    assert page.status_code == 422
    assert "This cannot be asked yet" in html(page)
    assert "1 picture handed in" in html(page)


def test_no_pictures_unknown_ones_and_501_are_refused(browser):
    page = browser.get(asked_of([]))
    assert page.status_code == 422
    assert "No picture is picked" in html(page)
    for word, sentence in (
        ("999", "not in the books"),
        ("x", "names no picture"),
        (",".join(map(str, range(1, 502))), "501 pictures"),
    ):
        page = browser.get(f"{asked_of([])}&pictures={word}")
        assert page.status_code == 422
        assert sentence in html(page)


def test_the_page_is_reached_from_pictures_shoot_and_client(browser):
    picture = make.picture_of()
    client = make.granted([picture]).licensee
    for name, args, query in (
        ("pictures", [], ""),
        ("picture_licences_panel", [picture.pk], f"?pictures={picture.pk}"),
        ("shoot_licences_panel", [picture.shoot_id], f"?shoot={picture.shoot_id}"),
        ("client_licences_panel", [client.pk], f"?client={client.pk}"),
    ):
        assert f'href="{reverse("can_i_sell")}{query}"' in html(browser.get(reverse(name, args=args)))
