from datetime import date
from decimal import Decimal

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shared.outbox.models import Message
from shoots.licences import actions
from shoots.licences.models import Licence
from shoots.life.actions import decline_licence
from shoots.pictures.actions import name_person
from shoots.uses.intended import ANY_NUMBER
from tests.factories.clients import PersonFactory
from tests.factories.licences import (
    ADVERTISING,
    ALONE,
    AT,
    FIRST,
    agreed,
    free_shoot,
    granted,
    kvernmoor,
    offered,
    oystercatcher,
    picture_of,
    placed,
)
from tests.house import pages
from tests.reading import refusal_on, text, words
from tests.shoots.licences.nothing_written import nothing_is_written
from tests.shoots.licences.printed import read

pytestmark = pytest.mark.django_db
NAMES = [name for name, row in pages.table().items() if row.lists and row.path.__module__.endswith("licences.pages")]


@pytest.fixture(autouse=True)
def frozen():
    with time_machine.travel(AT, tick=False):
        yield


@pytest.fixture
def browser(client_for, owner):
    return client_for(owner)


def typed(picture, client, **change):
    return {
        "pictures": [picture.pk],
        "licensee": client.pk,
        "use_kind": "advertising",
        "use_media": ["web.paid_social"],
        "use_places": ["DE"],
        "use_months": "12",
        "exclusivity": "none",
        "first_day": "1 Dec 2026",
        "begins": "on_payment",
        "fee_net": "1,080.00",
        "accepted_by": "Runa Tallow",
        "do": "grant",
        **change,
    }


def test_a_licence_is_granted_from_a_picture(browser):
    picture = picture_of()
    path = f"{reverse('grant_licence')}?picture={picture.pk}&use=online_ad&first=2026-12-01"
    page = words(browser.get(path))
    assert f'value="{picture.pk}" checked' in page
    assert 'value="1 Dec 2026"' in page
    answer = browser.post(path, typed(picture, kvernmoor()))
    licence = Licence.objects.get()
    assert answer.url == reverse("licence_page", args=[licence.pk])
    page = words(browser.get(answer.url))
    assert "1 Dec 2026" in page
    assert "30 Nov 2027" in page


def test_a_clash_is_refused_with_its_holder_and_the_free_day_one_press_away(browser):
    picture = picture_of()
    granted([picture], use=ALONE)
    path = f"{reverse('grant_licence')}?picture={picture.pk}"
    answer = browser.post(path, typed(picture, oystercatcher()))
    assert answer.status_code == 422
    assert "Kvernmoor Mill: L-2026-001 holds this use exclusively until 30 Nov 2027" in words(answer)
    assert 'value="from:2027-12-01"' in words(answer)
    again = browser.post(path, typed(picture, Licence.objects.get().licensee, do="from:2027-12-01"))
    assert "1 Dec 2027 to 30 Nov 2028" in words(again)
    assert Licence.objects.count() == 1


def test_granting_needs_who_said_yes_and_offering_does_not(browser):
    picture = picture_of()
    path = f"{reverse('grant_licence')}?picture={picture.pk}"
    answer = browser.post(path, typed(picture, kvernmoor(), accepted_by=""))
    assert "Say who agreed for the client" in words(answer)
    answer = browser.post(path, typed(picture, Licence.objects.none() or kvernmoor(), accepted_by="", do="offer"))
    assert Licence.objects.get().state == "offered"


def test_an_exclusive_grant_asks_for_the_photographers_signature(browser):
    picture = picture_of()
    answer = browser.post(
        f"{reverse('grant_licence')}?picture={picture.pk}", typed(picture, kvernmoor(), exclusivity="picture")
    )
    assert "needs your own signature" in words(answer)


def test_the_form_says_what_stands_in_the_way_while_it_is_filled_in(browser):
    picture = picture_of()
    granted([picture], use=ALONE)
    data = typed(picture, oystercatcher(), fee_net="", shoot=picture.shoot_id)
    answer = words(browser.get(reverse("grant_check"), data))
    assert "1 Dec 2026 to 30 Nov 2027" in answer
    assert "Begin on 1 Dec 2027" in answer
    assert "said here" in words(browser.get(reverse("grant_check")))


def test_editorial_use_without_a_release_says_that_some_countries_ask_for_consent(browser):
    picture = picture_of()
    name_person([picture], PersonFactory(name="Maro Lantadze"), recognisable="yes")
    data = typed(picture, oystercatcher(), use_kind="editorial", use_media=["print.editorial"], shoot=picture.shoot_id)
    answer = words(browser.get(reverse("grant_check"), data))
    assert "in some countries a portrait needs consent for it too" in answer
    assert "Maro Lantadze: no release is signed" in answer


def test_from_a_client_the_shoot_is_chosen_first(browser):
    picture = picture_of()
    client = kvernmoor()
    page = words(browser.get(f"{reverse('grant_licence')}?client={client.pk}"))
    assert f"?shoot={picture.shoot_id}&amp;client={client.pk}" in page


def test_the_chosen_pictures_are_suggested_and_the_licence_placed(browser):
    shoot = free_shoot()
    licence, picture = agreed(shoot), picture_of(shoot)
    path = reverse("place_licence", args=[licence.pk])
    assert f'value="{picture.pk}" checked' in words(browser.get(path))
    assert browser.post(path, {"pictures": [picture.pk], "first_day": "2026-12-01"}).status_code == 302
    licence.refresh_from_db()
    assert (licence.is_placed, licence.last_day) == (True, date(2028, 11, 30))
    answer = browser.post(path, {"pictures": []})
    assert answer.status_code == 422
    assert "No picture is ticked" in words(answer)


def test_an_offer_is_answered_on_its_page(browser):
    offer = offered()
    browser.post(reverse("accept_licence", args=[offer.pk]), {"accepted_by": "Runa Tallow"})
    offer.refresh_from_db()
    assert offer.state == "accepted"
    other = offered()
    browser.post(reverse("decline_licence", args=[other.pk]), {"reason": "Too dear"})
    other.refresh_from_db()
    assert other.end_reason == "Too dear"
    assert browser.post(reverse("accept_licence", args=[other.pk]), {"accepted_by": ""}).status_code == 422


def test_a_licence_ending_soon_leads_the_list_and_is_renewed(browser):
    placed()
    ending = granted(fee_net=Decimal(0), first_day=date(2025, 12, 15))
    page = words(browser.get(reverse("licences")))
    assert "1 ends within 60 days" in page
    assert page.index(ending.number) < page.index("L-2026-001")
    path = reverse("renew_licence", args=[ending.pk])
    assert path in page
    assert browser.post(path, {"months": "12", "fee_net": "540"}).status_code == 302
    renewal = Licence.objects.get(renews=ending)
    assert renewal.use_from == date(2026, 12, 15)
    assert "A renewal is on its way" in words(browser.get(reverse("licences")))


@pytest.mark.parametrize("name", NAMES)
def test_a_list_costs_the_same_with_three_rows(name, browser):
    counts = []
    for rows in (1, 3):
        path = pages.table()[name].path(rows)
        browser.get(path)
        with CaptureQueriesContext(connection) as seen:
            assert browser.get(path).status_code == 200
        counts.append(len(seen))
    assert counts[0] == counts[1]


def test_a_first_day_that_cannot_be_read_is_today(browser):
    picture = picture_of()
    page = words(browser.get(f"{reverse('grant_licence')}?picture={picture.pk}&first=soon"))
    assert 'value="20 Nov 2026"' in page
    assert date(2026, 12, 1) == FIRST


def test_the_paper_is_opened_from_the_page_and_kept(browser):
    licence = agreed()
    page = words(browser.get(reverse("licence_page", args=[licence.pk])))
    path = reverse("licence_paper", args=[licence.pk])
    assert f'href="{path}"' in page
    assert "kept from then on" in page
    answer = browser.get(path)
    assert answer["Content-Type"] == "application/pdf"
    assert b"".join(answer.streaming_content) == licence.papers.get().file.read_bytes()
    earlier = reverse("kept_licence_paper", args=[licence.pk, 1])
    assert f'href="{earlier}"' in words(browser.get(reverse("licence_page", args=[licence.pk])))
    assert b"".join(browser.get(earlier).streaming_content).startswith(b"%PDF")
    assert browser.get(reverse("kept_licence_paper", args=[licence.pk, 2])).status_code == 404


def test_an_offer_is_printed_but_not_kept(browser, tmp_path):
    offer = offered()
    answer = browser.get(reverse("licence_paper", args=[offer.pk]))
    said = read(answer.content, tmp_path)
    assert "Offer, grants nothing yet" in said
    assert f"Licence offer {offer.number}" in said
    assert not offer.papers.exists()
    page = words(browser.get(reverse("licence_page", args=[offer.pk])))
    assert reverse("send_licence", args=[offer.pk]) not in page


def test_a_declined_licence_that_was_never_printed_says_so(browser):
    offer = offered()
    decline_licence(offer, at=AT)
    answer = browser.get(reverse("licence_paper", args=[offer.pk]))
    assert answer.status_code == 409
    assert "is declined: it grants nothing" in words(answer)


def test_a_licence_is_sent_and_the_page_says_so_until_it_changes(browser):
    shoot = free_shoot()
    licence = agreed(shoot, pictures_agreed=2)
    actions.place_licence(licence, pictures=[picture_of(shoot)], first_day=FIRST, at=AT)
    page_path, path = (reverse(name, args=[licence.pk]) for name in ("licence_page", "send_licence"))
    assert f'<button class="btn main">Send {licence.number}</button>' in words(browser.get(page_path))
    assert browser.post(path, {"to": "maro"}).status_code == 422
    assert not Message.objects.exists()
    assert browser.post(path, {"to": "maro@walnut-lantern.example"}).url == page_path
    assert Message.objects.get().attachments.get() == licence.papers.get().file
    page = words(browser.get(page_path))
    assert f'<button class="btn">Send {licence.number}</button>' in page
    assert "Written to the client" in page
    assert reverse("message_page", args=[Message.objects.get().pk]) in page
    actions.place_licence(licence, pictures=[picture_of(shoot)], first_day=FIRST, at=AT)
    page = words(browser.get(page_path))
    assert "Changed since it was written" in page
    assert f'<button class="btn main">Send {licence.number}</button>' in page


def test_one_main_act_a_page(browser):
    unplaced, soon = agreed(), granted(fee_net=Decimal(0), first_day=date(2025, 12, 1), last_day=date(2026, 12, 15))
    for licence in (unplaced, soon, offered()):
        page = words(browser.get(reverse("licence_page", args=[licence.pk])))
        assert page.count("btn main") == 1
        assert f'<button class="btn main">Send {licence.number}</button>' not in page


def test_the_paper_of_a_licence_is_not_the_accountants(client_for, accountant):
    licence = agreed()
    assert client_for(accountant).get(reverse("licence_paper", args=[licence.pk])).status_code == 403
    assert not licence.papers.exists()


def test_the_last_day_of_the_calendar_is_answered_with_a_sentence(browser):
    picture, client = picture_of(), kvernmoor()
    what = typed(picture, client, last_day="31 Dec 9999")
    answer = browser.post(f"{reverse('grant_licence')}?picture={picture.pk}", what)
    assert answer.status_code == 422
    assert "licence without end" in answer.content.decode()
    assert browser.get(reverse("grant_check"), {**what, "shoot": picture.shoot_id}).status_code == 200


def test_a_licence_is_downloaded_as_odrl_with_the_words_agreed(browser):
    licence = granted(fee_net=0)
    address = reverse("licence_odrl", args=[licence.pk])
    assert address in browser.get(reverse("licence_page", args=[licence.pk])).content.decode()
    answer = browser.get(address)
    assert answer["Content-Type"] == "application/ld+json"
    assert answer["Content-Disposition"].startswith("attachment")
    policy = answer.json()
    assert policy["own:words"]["@value"] == " ".join(licence.frozen["sentences"])
    assert policy["own:wordsSHA256"] == licence.frozen_sha256


def test_what_grants_nothing_yet_is_not_downloaded_and_the_page_says_why(browser):
    offer = offered()
    page = browser.get(reverse("licence_page", args=[offer.pk])).content.decode()
    assert "Export it when the client has said yes." in page
    assert reverse("licence_odrl", args=[offer.pk]) not in page
    refused = browser.get(reverse("licence_odrl", args=[offer.pk]))
    assert refused.status_code == 422
    assert "not agreed yet" in refused.content.decode()


def test_the_terms_say_how_many_copies_before_anything_is_agreed(browser):
    counted = {**ADVERTISING, "use_media": ["print.brochure"]}
    for use, said in (
        ({**counted, "use_copies": 4000}, "Copies 4,000 at most"),
        ({**counted, "use_copies": ANY_NUMBER}, "Copies Any number"),
    ):
        licence = offered(use=use)
        page = text(browser.get(reverse("licence_page", args=[licence.pk])))
        assert said in page
        assert "Record the copies" not in page
    assert "Copies" not in text(browser.get(reverse("licence_page", args=[offered().pk])))


# What the client may do already


def test_what_the_client_may_do_already_is_said_before_it_is_sold_once_more(browser):
    picture, client = picture_of(), kvernmoor()
    held = granted([picture], licensee=client, use={**ADVERTISING, "use_territories": ["DE", "AT"]})
    path = f"{reverse('grant_licence')}?picture={picture.pk}"
    smaller = typed(picture, client, last_day="31 Jan 2027")
    said = f"Kvernmoor Mill may do this already by licence {held.number}: advertising, "
    for deed in ("grant", "offer", "draft"):
        with nothing_is_written():
            page = words(browser.post(path, {**smaller, "do": deed}))
        assert said in page
        assert "until 30 Nov 2027, once its fee is paid." in page
    panel = words(browser.get(reverse("grant_check"), {**smaller, "shoot": picture.shoot_id}))
    assert said in panel
    browser.post(path, {**smaller, "do": "offer", "knows_held": "yes"})
    assert Licence.objects.filter(state="offered").count() == 1
    wider = typed(picture, client, last_day="31 Jan 2028", do="offer", use_media=["web.display"], use_places=["DE"])
    browser.post(path, wider)
    assert Licence.objects.filter(state="offered").count() == 2, "it reaches further, so nothing is said"


def test_who_holds_it_among_others_is_told_that_an_exclusive_one_is_more(browser):
    picture, client = picture_of(), kvernmoor()
    granted([picture], licensee=client)
    path = f"{reverse('grant_licence')}?picture={picture.pk}"
    answer = browser.post(path, typed(picture, client, exclusivity="picture", do="offer", last_day="31 Jan 2027"))
    assert answer.status_code == 302


# Input that cannot be, on every page


FAULTS_OF_A_GRANT = {
    "last day before first": ({"last_day": "30 Nov 2026"}, "The last day lies before the first"),
    "no medium": ({"use_media": []}, "Choose at least one medium"),
    "no territory": ({"use_places": []}, "Choose at least one territory"),
    "unknown medium": ({"use_media": ["carrier.pigeon"]}, "no longer offered"),
    "unknown territory": ({"use_places": ["atlantis"]}, "no longer offered"),
    "a term of 0": ({"use_months": "0"}, "For how long"),
    "exclusive for 0 months": ({"exclusivity": "picture", "signed_by": "T. Aldermoor", "exclusive_months": "0"}, "Shut out for, months"),
    "copies below 0": ({"use_more_media": ["print.brochure"], "use_copies": "-5"}, "Copies at most"),
    "no copy": ({"use_more_media": ["print.brochure"], "use_copies": "0"}, "Copies at most"),
    "first day in 9999": ({"first_day": "1 Dec 9999"}, "9999"),
    "last day in 9999": ({"last_day": "31 Dec 9999"}, "The calendar ends on that day"),
    "shown first after its end": ({"last_day": "1 Jan 2027", "embargo_until": "2 Jan 2027"}, "The licence ends before that"),
    "a fee below 0": ({"fee_net": "-1"}, "Fee before VAT"),
    "no picture": ({"pictures": []}, "No picture is ticked"),
    "a picture that is gone": ({"pictures": ["987654"]}, "no longer offered"),
}  # fmt: skip


@pytest.mark.parametrize("deed", ["grant", "offer", "draft"])
def test_a_grant_that_cannot_be_says_so_and_writes_nothing(browser, deed):
    picture, client = picture_of(), kvernmoor()
    path = f"{reverse('grant_licence')}?picture={picture.pk}"
    for name, (fault, said) in FAULTS_OF_A_GRANT.items():
        with nothing_is_written():
            answer = browser.post(path, typed(picture, client, **{"do": deed, **fault}))
        assert answer.status_code == 422, name
        assert said in refusal_on(answer), name
    held = granted([picture], licensee=client, use={**ADVERTISING, "use_media": ["web.paid_social"]})
    with nothing_is_written():
        answer = browser.post(path, typed(picture, client, do=deed, knows_held="yes"))
    assert f"{held.number} is the same use of these pictures" in refusal_on(answer)


def test_what_cannot_be_placed_says_so_and_writes_nothing(browser):
    shoot = free_shoot()
    picture, unplaced = picture_of(shoot), agreed(shoot)
    faults = [
        ({"pictures": [picture.pk], "first_day": "1 Dec 9999"}, "9999"),
        ({"pictures": [picture.pk], "first_day": ""}, "First day of use"),
        ({"pictures": [], "first_day": "1 Dec 2026"}, "No picture is ticked"),
        ({"pictures": [picture_of().pk], "first_day": "1 Dec 2026"}, "no longer offered"),
        ({"pictures": [picture.pk], "first_day": "1 Dec 2020"}, "is over"),
    ]
    for fault, said in faults:
        with nothing_is_written():
            answer = browser.post(reverse("place_licence", args=[unplaced.pk]), fault)
        assert answer.status_code == 422, fault
        assert said in refusal_on(answer), fault
