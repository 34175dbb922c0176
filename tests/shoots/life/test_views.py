import re
from datetime import date
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from shoots.brief.models import SellingOn, Shoot
from shoots.licences.actions import NotForSale, draft_licence
from shoots.licences.models import Licence
from shoots.uses.intended import ANY_NUMBER
from tests.factories.found import used_by
from tests.factories.licences import (
    ADVERTISING,
    ALONE,
    AT,
    agreed,
    free_shoot,
    granted,
    kvernmoor,
    offered,
    oystercatcher,
    picture_of,
    terms,
)
from tests.reading import refusal_on, text, words
from tests.shoots.licences.nothing_written import nothing_is_written
from tests.shoots.licences.test_views import typed

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def frozen():
    with time_machine.travel(AT, tick=False):
        yield


@pytest.fixture
def browser(client_for, owner):
    return client_for(owner)


def test_copies_and_revocation_are_recorded(browser):
    use = {**ADVERTISING, "use_media": ["print.ad"], "use_copies": 1000}
    licence = granted(use=use, fee_net=Decimal(0))
    answer = browser.post(reverse("report_copies", args=[licence.pk]), {"copies": "1200"}, follow=True)
    assert "200 more than granted" in words(answer)
    data = {"last_day": "31 Jan 2027", "reason": "Used in another country"}
    browser.post(reverse("revoke_licence", args=[licence.pk]), data)
    licence.refresh_from_db()
    assert (licence.state, licence.last_day) == ("revoked", date(2027, 1, 31))


def to_hold(licence, **also):
    """The form as the page fills it in for a year of online advertising in Germany, with what is typed over it."""
    filled = {
        "do": "change",
        "pictures": [picture.pk for picture in licence.pictures.all()],
        "use_kind": "advertising",
        "use_classes": ["advertising"],
        "use_more_media": licence.use_media,
        "use_places": licence.use_territories,
        "last_day": licence.last_day.isoformat(),
        "exclusivity": licence.exclusivity,
        "use_copies": licence.use_copies or "",
        "accepted_by": "Runa Tallow",
    }
    return {**filled, **also}


def running(**also):
    return granted(fee_net=Decimal(0), first_day=date(2026, 11, 1), **also)


def change(browser, licence, **also):
    return browser.post(reverse("change_licence", args=[licence.pk]), to_hold(licence, **also), follow=True)


def test_what_changes_is_shown_before_anything_is_granted(browser):
    licence = running()
    answer = change(browser, licence, do="show", use_places=["DE", "AT"], accepted_by="")
    assert answer.status_code == 200
    assert "Austria" in words(answer)
    assert f"Until its fee is paid {licence.number} goes on" in words(answer)
    assert Licence.objects.count() == 1


def test_a_wider_use_needs_a_fee_and_takes_the_place_once_it_is_paid(browser):
    licence = running()
    answer = change(browser, licence, use_places=["DE", "AT"])
    assert (answer.status_code, Licence.objects.count()) == (422, 1)
    assert "Enter the fee for what is added" in words(answer)
    answer = change(browser, licence, use_places=["DE", "AT"], fee_net="300")
    new = Licence.objects.get(supersedes=licence)
    assert (new.origin, new.state, new.fee_net) == ("change", "accepted", Decimal(300))
    assert f"{licence.number} goes on; no day is uncovered" in words(answer)


def test_less_than_is_held_is_a_part_given_up_and_costs_nothing(browser):
    licence = running()
    answer = change(browser, licence, last_day="2027-03-31", fee_net="50")
    assert "only given up" in words(answer)
    change(browser, licence, last_day="2027-03-31")
    new = Licence.objects.get(supersedes=licence)
    assert (new.origin, new.state, new.last_day) == ("part_given_up", "paid", date(2027, 3, 31))
    assert f"Takes the place of {licence.number}" in text(browser.get(reverse("licence_page", args=[new.pk])))
    form = browser.get(reverse("renew_licence", args=[new.pk])).content.decode()
    assert re.findall(r'<input type="text" name="fee_net"[^>]*>', form)
    assert not re.findall(r'<input type="text" name="fee_net" value[^>]*>', form), "nothing paid for a part is no fee"


def test_more_copies_alone_are_a_top_up(browser):
    media = {**ADVERTISING, "use_media": ["print.brochure"], "use_copies": 1000}
    licence = running(use=media)
    seen = text(change(browser, licence, use_copies="4000", do="show", accepted_by=""))
    assert "Copies are added; what is reported so far, 0, counts on." in seen
    change(browser, licence, use_copies="4000", fee_net="80")
    new = Licence.objects.get(supersedes=licence)
    assert (new.origin, new.use_copies) == ("top_up", 4000)


def test_any_number_of_copies_stands_ticked_and_goes_on_in_a_change(browser):
    media = {**ADVERTISING, "use_media": ["print.brochure"], "use_copies": ANY_NUMBER}
    licence = running(use=media)
    page = browser.get(reverse("change_licence", args=[licence.pk])).content.decode()
    ticks = re.findall(r'<input type="checkbox" name="use_any_number"[^>]*>', page)
    assert [" checked" in tick for tick in ticks] == [True]
    change(browser, licence, use_copies="", use_any_number="on", use_places=["DE", "AT"], fee_net="300")
    new = Licence.objects.get(supersedes=licence)
    assert (new.use_copies, new.use_territories) == (None, ["AT", "DE"])


def test_a_change_that_a_rival_stops_keeps_what_was_typed(browser):
    licence = running()
    rival = granted(list(licence.pictures.all()), licensee=oystercatcher(), use={**ALONE, "use_territories": ["AT"]})
    answer = change(browser, licence, use_places=["DE", "AT"], fee_net="300", order_number="PO 7")
    assert answer.status_code == 422
    assert rival.number in words(answer)
    assert "PO 7" in answer.content.decode()
    licence.refresh_from_db()
    assert licence.state == "paid"


def test_nothing_changed_and_what_cannot_be_changed_is_said(browser):
    licence = running()
    answer = change(browser, licence)
    assert (answer.status_code, "Nothing is changed yet" in words(answer)) == (422, True)
    unpaid = granted()
    assert "cannot be changed" in words(browser.get(reverse("change_licence", args=[unpaid.pk])))
    change(browser, unpaid, use_places=["DE", "AT"], fee_net="1")
    assert not Licence.objects.filter(supersedes=unpaid).exists()


def test_a_change_is_seen_first_with_its_rivals_and_what_it_comes_to(browser):
    licence = running()
    rival = granted(list(licence.pictures.all()), licensee=oystercatcher(), use={**ALONE, "use_territories": ["AT"]})
    with nothing_is_written():
        answer = change(browser, licence, do="show", use_places=["DE", "AT"], fee_net="300", accepted_by="")
    page = words(answer)
    assert answer.status_code == 200
    assert f"Oystercatcher Pantry: {rival.number} holds this use exclusively" in page
    assert "for one year" not in page
    assert "from 20 Nov 2026 to 31 Oct 2027 (last day)" in page
    assert "€1,080.00 was agreed" not in page
    assert "€300.00 comes on top, before VAT." in text(answer)
    assert 'name="do" value="from:' not in page, "a change begins today"
    page = words(change(browser, licence, do="show", use_places=["DE", "CH"], accepted_by=""))
    assert "Nothing stands in the way" in page
    assert "The fee for the change is still open" in page


def test_a_change_is_seen_first_in_the_trade_of_the_licence_not_in_the_clients(browser):
    """As it is granted: the page said that nothing stands in the way, and the change was refused."""
    licence = running(trade="dairy")
    assert licence.licensee.trade != "dairy"
    use = {**ALONE, "exclusivity": "trade", "use_territories": ["AT"]}
    rival = granted(list(licence.pictures.all()), licensee=oystercatcher(), use=use, trade="dairy")
    assert rival.number in words(change(browser, licence, do="show", use_places=["DE", "AT"], accepted_by=""))


def test_less_than_is_held_is_asked_of_nobody_and_said_first(browser):
    licence = running()
    page = words(change(browser, licence, do="show", last_day="2027-03-31", accepted_by=""))
    assert "Only less than is held" in page
    assert "to 31 Mar 2027" in page
    assert "Two uses clash" not in page


def test_a_change_that_cannot_be_says_so_and_writes_nothing(browser):
    licence = running(use={**ADVERTISING, "use_media": ["print.brochure"], "use_copies": 1000})
    faults = {
        "a last day that is over": ({"last_day": "2026-11-01"}, "before the first"),
        "no medium": ({"use_more_media": []}, "Choose at least one medium"),
        "no territory": ({"use_places": []}, "Choose at least one territory"),
        "unknown medium": ({"use_more_media": ["carrier.pigeon"]}, "no longer offered"),
        "unknown territory": ({"use_places": ["atlantis"]}, "no longer offered"),
        "copies below 0": ({"use_copies": "-5"}, "Copies at most"),
        "last day in 9999": ({"last_day": "9999-12-31"}, "The calendar ends on that day"),
        "the same again": ({}, "Nothing is changed yet"),
        "a fee below 0": ({"use_places": ["DE", "AT"], "fee_net": "-1"}, "Fee before VAT"),
        "no picture": ({"pictures": []}, "No picture is ticked"),
    }
    for name, (fault, said) in faults.items():
        for deed in ("change", "show"):
            with nothing_is_written():
                answer = change(browser, licence, **{"fee_net": "", "do": deed, **fault})
            assert answer.status_code in (200, 422), name
            assert said in refusal_on(answer), f"{name}, {deed}"


def test_what_cannot_be_renewed_revoked_or_reported_says_so_and_writes_nothing(browser):
    licence = running(use={**ADVERTISING, "use_media": ["print.brochure"], "use_copies": 900})
    faults = [
        ("renew_licence", {"months": "0", "fee_net": "5"}, "For how long"),
        ("renew_licence", {"months": "12", "fee_net": "-5"}, "Fee before VAT"),
        ("renew_licence", {"months": "12", "fee_net": "5", "first_day": "1 Dec 9999"}, "9999"),
        ("revoke_licence", {"last_day": "31 Dec 9999", "reason": "Why"}, "The calendar ends on that day"),
        ("revoke_licence", {"last_day": "1 Nov 2026", "reason": "Why"}, "from yesterday on"),
        ("revoke_licence", {"last_day": "1 Dec 2026", "reason": ""}, "Reason"),
        ("report_copies", {"copies": "-5"}, "Copies made since"),
        ("report_copies", {"copies": "0"}, "Copies made since"),
    ]
    for page, fault, said in faults:
        with nothing_is_written():
            answer = browser.post(reverse(page, args=[licence.pk]), fault)
        assert answer.status_code == 422, (page, fault)
        assert said in refusal_on(answer), (page, fault)
    browser.post(reverse("renew_licence", args=[licence.pk]), {"months": "12", "fee_net": "5"})
    with nothing_is_written():
        answer = browser.post(reverse("renew_licence", args=[licence.pk]), {"months": "12", "fee_net": "5"})
    assert "is the same use of these pictures" in refusal_on(answer)


def test_a_licence_without_end_is_not_revoked_on_the_last_day_of_the_calendar(browser):
    endless = granted(fee_net=Decimal(0), use={**ADVERTISING, "use_months": None})
    answer = browser.post(reverse("revoke_licence", args=[endless.pk]), {"last_day": "31 Dec 9999", "reason": "x"})
    assert answer.status_code == 422
    endless.refresh_from_db()
    assert endless.state == "paid"


# Pictures that may not be sold on


def closed(shoot):
    """The house that ordered the shoot has not agreed to any sale."""
    Shoot.objects.filter(pk=shoot.pk).update(selling_on=SellingOn.NOT_AGREED)
    return shoot


def test_no_way_sells_what_may_not_be_sold_on(browser):
    """Each way to draft, offer, agree, place, change, top up, renew and license a past use; only less of what was sold is asked of nobody."""
    shoot, client = free_shoot(), kvernmoor()
    first, second, third, fourth, fifth = (picture_of(shoot) for _ in range(5))
    printed = {**ADVERTISING, "use_media": ["print.brochure"], "use_copies": 1000}
    held = granted([first], licensee=client, fee_net=Decimal(0), first_day=date(2026, 11, 1), use=printed)
    offer = offered([second], licensee=client)
    draft = draft_licence(**terms([third], licensee=client), at=AT)
    unplaced = agreed(shoot, licensee=client, terms=ADVERTISING)
    found = used_by(client, fourth, since=date(2026, 11, 10))
    closed(shoot)
    grant = f"{reverse('grant_licence')}?picture={fifth.pk}"
    seen = {"licensee": client.pk, "first_day": "10 Nov 2026", "last_day": "18 Nov 2026", "fee_net": "9"}
    yes = {"accepted_by": "Runa Tallow", "signed_by": "Tindra Aldermoor"}
    ways = {
        "grant": (grant, typed(fifth, client)),
        "offer": (grant, typed(fifth, client, do="offer")),
        "draft": (grant, typed(fifth, client, do="draft")),
        "offer the draft": (reverse("offer_draft", args=[draft.pk]), {}),
        "agree": (reverse("accept_licence", args=[offer.pk]), yes),
        "place": (reverse("place_licence", args=[unplaced.pk]), {"pictures": [fifth.pk], "first_day": "1 Dec 2026"}),
        "change": (reverse("change_licence", args=[held.pk]), to_hold(held, use_places=["DE", "AT"], fee_net="300")),
        "top up": (reverse("change_licence", args=[held.pk]), to_hold(held, use_copies="4000", fee_net="80")),
        "renew": (reverse("renew_licence", args=[held.pk]), {"months": "12", "fee_net": "5"}),
        "past use": (reverse("offer_for_found", args=[found.pk]), seen),
        "past use, drafted": (reverse("offer_for_found", args=[found.pk]), {**seen, "do": "draft"}),
    }
    for name, (path, sent) in ways.items():
        with nothing_is_written():
            answer = browser.post(path, sent)
        assert answer.status_code == 422, name
        assert "Walnut Lantern ordered Winter menu, and selling on is not agreed for this client." in refusal_on(
            answer
        ), name
        assert "write down what they said on the page of the shoot" in refusal_on(answer), name
    with nothing_is_written(), pytest.raises(NotForSale):
        agreed(shoot, licensee=client, terms=ADVERTISING, origin="estimate:2")
    assert agreed(shoot, terms=ADVERTISING, origin="estimate:3").state == "accepted", (
        "the house itself holds what it ordered"
    )
    part = to_hold(held, last_day="2027-03-31")
    assert browser.post(reverse("change_licence", args=[held.pk]), part).status_code == 302
