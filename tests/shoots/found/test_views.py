import re
from datetime import date

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from clients.models import Client
from shoots.found.models import FoundLetter, FoundState, FoundUse
from shoots.licences.actions import start_licence
from shoots.licences.models import Licence
from shoots.licences.scenarios import answer_scenario
from tests.factories import licences
from tests.factories.found import AT, recorded, screenshot, used_by, written
from tests.reading import words

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def frozen():
    with time_machine.travel(AT, tick=False):
        yield


@pytest.fixture
def browser(client_for, owner):
    return client_for(owner)


def upload(data=None, name="shop.png"):
    return SimpleUploadedFile(name, screenshot() if data is None else data)


def covered():
    picture = licences.picture_of()
    return licences.granted([picture], first_day=date(2026, 11, 1), fee_net=0), picture


def test_a_photograph_and_a_place_are_recorded_and_the_rest_is_asked_for(browser):
    licences.free_shoot()
    page = words(browser.get(reverse("record_found")))
    assert 'value="20 Nov 2026"' in page
    answer = browser.post(
        reverse("record_found"),
        {
            "place": "Fennel Yard, shop window",
            "seen_on": "20 Nov 2026",
            "use_places": ["DE"],
            "screenshots": [upload()],
        },
    )
    found = FoundUse.objects.get()
    assert answer.url == reverse("found_page", args=[found.pk])
    page = words(browser.get(answer.url))
    assert "Before there is one, say which picture it is, what kind of use it is and in which medium." in page
    assert browser.get(reverse("found_shot", args=[found.pk, found.shots.get().pk])).getvalue() == screenshot()


def test_from_a_picture_its_use_is_recorded(browser):
    picture = licences.picture_of()
    path = f"{reverse('record_found')}?picture={picture.pk}"
    assert f'name="pictures" value="{picture.pk}"' in words(browser.get(path))
    browser.post(path, {"place": "A menu", "seen_on": "18 Nov 2026", "pictures": [picture.pk]})
    assert list(FoundUse.objects.get().pictures.all()) == [picture]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"seen_on": "21 Nov 2026"}, "still to come"),
        ({"place": ""}, "missing"),
        ({"link": "soup.example"}, "full web address"),
        ({"link": "javascript:alert(1)"}, "full web address"),
        ({"screenshots": [upload(b"no picture at all", "shop.png")]}, "inside it is text"),
        ({"screenshots": [upload(b"\xff\xd8\xff" + b"0" * (20 * 1024 * 1024), "shop.jpg")]}, "one file may have 20 MB"),
    ],
)
def test_what_cannot_be_is_refused_with_what_was_typed_kept(browser, change, said):
    licences.free_shoot()
    sent = {
        "place": "Shop window",
        "seen_on": "18 Nov 2026",
        "note": "Beside the till",
        "user_name": "Fennel Yard",
        **change,
    }
    answer = browser.post(reverse("record_found"), sent)
    assert answer.status_code == 422
    page = words(answer)
    assert said in page
    for kept in ("Beside the till", "Fennel Yard"):
        assert kept in page
    assert not FoundUse.objects.exists()


def test_a_photograph_beside_another_mistake_is_asked_for_again(browser):
    licences.free_shoot()
    answer = browser.post(reverse("record_found"), {"place": "", "seen_on": "18 Nov 2026", "screenshots": [upload()]})
    assert answer.status_code == 422
    assert "Choose the photograph again" in words(answer)


def test_the_page_says_covered_by_which_licence(browser):
    licence, picture = covered()
    found = used_by(licence.licensee, picture)
    page = words(browser.get(reverse("found_page", args=[found.pk])))
    assert "covers it." in page
    assert licence.number in page
    assert "What was agreed or paid later has changed the answer" in page
    assert "Covered, nothing to do" in page
    browser.post(reverse("record_outcome", args=[found.pk]), {"outcome": "looked"})
    assert FoundUse.objects.get().state == FoundState.LOOKED
    assert reverse("write_letter", args=[found.pk]) not in page


def test_the_page_says_who_it_would_have_to_be(browser):
    licence, picture = covered()
    page = words(browser.get(reverse("found_page", args=[recorded([picture]).pk])))
    assert "Would be covered if it is Kvernmoor Mill, by" in page
    assert "The user is no client in the books." in page
    assert licence.number in page


def test_details_and_pictures_follow(browser):
    licence, picture = covered()
    found = recorded([], use_media=[], use_classes=[])
    path = reverse("found_pictures", args=[found.pk])
    assert picture.number in words(browser.get(f"{path}?text={picture.number}"))
    assert picture.number not in words(browser.get(f"{path}?text=nothinglikeit"))
    assert browser.post(path, {"pictures": ["x"]}).status_code == 422
    browser.post(path, {"pictures": [picture.pk]})
    sent = {
        "place": "Banner", "seen_on": "18 Nov 2026", "client": licence.licensee_id, "use_classes": ["advertising"], "use_media": ["web.display"],
        "use_places": ["DE"], "version": 1,
    }  # fmt: skip
    assert browser.post(reverse("change_found", args=[found.pk]), {**sent, "seen_on": "1 Jan 2030"}).status_code == 422
    browser.post(reverse("change_found", args=[found.pk]), sent)
    assert "covers it." in words(browser.get(reverse("found_page", args=[found.pk])))
    stale = browser.post(reverse("change_found", args=[found.pk]), sent)
    assert stale.status_code == 422
    assert "Someone changed this" in words(stale)


@pytest.mark.both
def test_the_letter_is_written_warned_of_and_kept_as_a_draft(browser):
    found = recorded()
    page = words(browser.get(reverse("write_letter", args=[found.pk])))
    assert "Ask a lawyer before you send it" in page
    assert "Law differs by place" in page
    path = reverse("write_letter", args=[found.pk])
    sent = {"language": "en", "asks": ["permission"], "answer_by": "4 Dec 2026", "address": "Lampwick Lane 7"}
    refused = browser.post(path, {**sent, "answer_by": "1 Nov 2026"})
    assert refused.status_code == 422
    assert "Lampwick Lane 7" in words(refused)
    browser.post(path, sent)
    letter = FoundLetter.objects.get()
    assert browser.get(reverse("found_letter", args=[found.pk, 1])).getvalue() == letter.file.read_bytes()
    assert browser.post(reverse("send_found_letter", args=[found.pk]), {"to": "nobody"}).status_code == 422
    browser.post(reverse("send_found_letter", args=[found.pk]), {"to": "hello@fennelyard.example"})
    assert "hello@fennelyard.example" in words(browser.get(reverse("found_page", args=[found.pk])))


def test_a_letter_comes_in_the_language_of_the_client_s_licences(browser):
    licence, picture = covered()
    Client.objects.filter(pk=licence.licensee_id).update(licence_language="sv")
    found = used_by(Client.objects.get(pk=licence.licensee_id), picture)
    page = words(browser.get(reverse("write_letter", args=[found.pk])))
    assert re.search(r'value="sv"[^>]*(checked|selected)', page)


def test_a_letter_about_what_is_covered_or_unknown_is_refused_in_words(browser):
    licence, picture = covered()
    sent = {"language": "en", "asks": ["permission"], "answer_by": "4 Dec 2026"}
    for found, said in (
        (used_by(licence.licensee, picture), "holds a licence for this use"),
        (recorded([]), "which picture it is"),
    ):
        answer = browser.post(reverse("write_letter", args=[found.pk]), sent)
        assert answer.status_code == 422
        assert said in words(answer)
    assert not FoundLetter.objects.exists()


def test_what_came_of_it_is_recorded(browser):
    found = recorded()
    path = reverse("record_outcome", args=[found.pk])
    assert browser.post(path, {"outcome": "forgotten", "answer": "Kept words"}).status_code == 422
    browser.post(path, {"outcome": "taken_down", "answer": "Gone the same day"})
    assert FoundUse.objects.get().state == FoundState.TAKEN_DOWN
    assert "Gone the same day" in words(browser.get(reverse("found_page", args=[found.pk])))


def test_a_later_screenshot_is_kept_or_refused(browser):
    found = recorded()
    path = reverse("add_screenshots", args=[found.pk])
    assert browser.post(path, {"screenshots": [upload(b"text")]}).status_code == 422
    assert browser.post(path, {}).status_code == 422
    browser.post(path, {"screenshots": [upload(screenshot(800))]})
    assert found.shots.count() == 2


def test_the_file_for_the_door_gives_the_answer_of_the_page(browser):
    licence, picture = covered()
    found = used_by(licence.licensee, picture)
    asked = browser.get(reverse("found_question", args=[found.pk])).json()
    answers, is_allowed = answer_scenario(asked)
    assert is_allowed
    assert answers["answers"][str(picture.pk)]["covered"] is True
    assert browser.get(reverse("found_question", args=[recorded([]).pk])).status_code == 404


def test_a_licence_for_its_days_is_offered_with_the_fee_handed_in_and_the_page_shows_each_step(browser):
    picture, client = licences.picture_of(), licences.kvernmoor()
    found = used_by(client, picture, since=date(2026, 11, 10))
    path = reverse("offer_for_found", args=[found.pk])
    assert path in words(browser.get(reverse("found_page", args=[found.pk])))
    page = words(browser.get(f"{path}?fee=240.00"))
    assert 'value="240.00"' in page
    assert 'value="10 Nov 2026"' in page
    assert 'value="18 Nov 2026"' in page
    for asked, shown in (("2026-11-12", "12 Nov 2026"), ("2026-12-09", "20 Nov 2026"), ("x", "18 Nov 2026")):
        assert f'value="{shown}"' in words(browser.get(f"{path}?last_day={asked}")), "up to today at the latest"
    for odd in ("-1", "1e9", "x", "1.234"):
        box = re.search(r'<input[^>]*name="fee_net"[^>]*>', words(browser.get(f"{path}?fee={odd}")))
        assert "value=" not in box[0]
    sent = {"licensee": client.pk, "first_day": "10 Nov 2026", "last_day": "18 Nov 2026", "fee_net": "240.00"}
    for wrong, said in (
        ({"last_day": "9 Dec 9998"}, "This day is still to come"),
        ({"last_day": "9 Nov 2026"}, "The last day lies before the first"),
        ({"goes_on_until": "31 Dec 9999", "goes_on_fee": "5"}, "The calendar ends on that day"),
        ({"goes_on_until": "19 Nov 2026", "goes_on_fee": "5"}, "This day is over"),
        ({"goes_on_until": "19 Nov 2028"}, "Enter the fee for the days after"),
        ({"goes_on_fee": "5"}, "Say until when they go on"),
    ):
        refused = browser.post(path, {**sent, **wrong})
        assert refused.status_code == 422
        assert said in words(refused)
    assert not Licence.objects.exists()
    answer = browser.post(path, {**sent, "goes_on_until": "18 Nov 2027", "goes_on_fee": "400"}, follow=True)
    offer, follows = Licence.objects.order_by("pk")
    assert answer.redirect_chain[-1][0] == reverse("found_page", args=[found.pk])
    page = words(answer)
    assert f"{offer.number} and {follows.number} are offered" in page
    assert (offer.use_from, offer.last_day, offer.fee_net) == (date(2026, 11, 10), date(2026, 11, 18), 240)
    assert "Enter the client’s answer" in page
    assert "Licence offered" in page
    browser.post(reverse("accept_licence", args=[offer.pk]), {"accepted_by": "Runa Tallow"})
    assert "Licence agreed, not paid yet" in words(browser.get(reverse("found_page", args=[found.pk])))
    offer.refresh_from_db()
    start_licence(offer, paid_on=date(2026, 11, 30), at=licences.AT)
    page = words(browser.get(reverse("found_page", args=[found.pk])))
    assert "Licence taken and paid" in page
    browser.post(reverse("record_outcome", args=[found.pk]), {"outcome": "licensed", "licence": offer.pk})
    found.refresh_from_db()
    assert (found.state, found.licence) == ("licensed", offer)


def test_a_licence_for_it_is_kept_as_a_draft_and_tells_its_rivals_before_it_is_offered(browser):
    picture, client = licences.picture_of(), licences.kvernmoor()
    rival = licences.granted(
        [picture], licensee=licences.oystercatcher(), use=licences.ALONE, first_day=date(2026, 11, 1)
    )
    found = used_by(client, picture, since=date(2026, 11, 10))
    sent = {
        "licensee": client.pk,
        "first_day": "10 Nov 2026",
        "last_day": "18 Nov 2026",
        "fee_net": "240",
        "do": "draft",
    }
    page = words(browser.post(reverse("offer_for_found", args=[found.pk]), sent, follow=True))
    draft = Licence.objects.get(licensee=client)
    assert draft.state == "draft"
    assert "What stands against this use" in page
    assert rival.number in page
    assert "Offer it, or delete it" in page
    assert "Open the draft" in words(browser.get(reverse("found_page", args=[found.pk])))
    page = words(browser.post(reverse("offer_draft", args=[draft.pk]), follow=True))
    assert f"{draft.number} is offered" in page
    draft.refresh_from_db()
    assert draft.state == "offered"
    assert browser.post(reverse("discard_draft", args=[draft.pk])).status_code == 409


def test_the_copies_of_a_printed_use_are_asked_for_where_nobody_counted_them(browser):
    picture, client = licences.picture_of(), licences.kvernmoor()
    found = used_by(client, picture, since=date(2026, 11, 10), use_media=["print.ad"])
    path = reverse("offer_for_found", args=[found.pk])
    assert "Any number of copies" in words(browser.get(path))
    sent = {"licensee": client.pk, "first_day": "10 Nov 2026", "last_day": "18 Nov 2026", "fee_net": "240"}
    for typed, said in (
        ({}, "Enter how many at most, or tick Any number of copies"),
        ({"use_copies": "5", "use_any_number": "on"}, "not both"),
    ):
        refused = browser.post(path, {**sent, **typed})
        assert refused.status_code == 422
        assert said in words(refused)
    assert not Licence.objects.exists()
    browser.post(path, {**sent, "use_copies": "4000"})
    assert Licence.objects.get().use_copies == 4000
    online = reverse("offer_for_found", args=[used_by(client, picture).pk])
    assert "Any number of copies" not in words(browser.get(online))


def test_the_list_filters_and_today_and_the_panels_show_it(browser):
    licence, picture = covered()
    found = used_by(licence.licensee, picture)
    late = recorded(place="Poster at the station")
    written(late, answer_by=date(2026, 11, 21))
    page = words(browser.get(f"{reverse('found_uses')}?state=written"))
    assert "Poster at the station" in page
    assert found.place not in page
    for name, key in (
        ("picture_found_panel", picture.pk),
        ("client_found_panel", licence.licensee_id),
        ("licence_found_panel", licence.pk),
    ):
        assert found.place in words(browser.get(reverse(name, args=[key])))
