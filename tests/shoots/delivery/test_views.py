import io
import zipfile

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shared.evidence.models import Evidence
from shoots.brief.models import AgreedPicture
from shoots.delivery.models import Delivery
from tests.factories.delivery import AT, delivered, pick_up, promised, ready_shoot
from tests.factories.releases import show_cook
from tests.house import pages

pytestmark = pytest.mark.django_db
NAMES = [name for name, row in pages.table().items() if row.lists and row.path.__module__.endswith("delivery.pages")]


@pytest.fixture(autouse=True)
def frozen():
    with time_machine.travel(AT, tick=False):
        yield


@pytest.fixture
def browser(client_for, owner):
    return client_for(owner)


def test_the_photographer_delivers_and_the_client_picks_up(browser, client_for):
    shoot = ready_shoot()
    path = reverse("shoot_delivery", args=[shoot.pk])
    assert b"Deliver 2" in browser.get(path).content
    answer = browser.post(path, {"do": "all", "email": "maro@walnutlantern.example", "name": "Maro Lantadze"})
    delivery = Delivery.objects.get()
    assert answer.url == reverse("delivery_page", args=[delivery.pk])
    stranger, place = client_for(None), pick_up(delivery)
    page = stranger.get(place).content.decode()
    assert "I have received them" in page
    assert "Own promotion of Walnut Lantern" in page
    archive = b"".join(stranger.get(place + "all.zip").streaming_content)
    with zipfile.ZipFile(io.BytesIO(archive)) as whole:
        assert len(whole.namelist()) == 2
        assert whole.read(whole.namelist()[0])[:2] == b"\xff\xd8"
    assert stranger.post(place, {"name": "Maro Lantadze"}).status_code == 302
    assert "Maro Lantadze received them" in stranger.get(place).content.decode()
    assert Evidence.objects.filter(kind="downloaded").count() == 1


def test_the_clients_page_speaks_the_clients_language(client_for):
    page = client_for(None).get(pick_up(delivered(ready_shoot(language="de")))).content.decode()
    assert '<html lang="de' in page
    assert "Eigenwerbung von Walnut Lantern" in page


def test_a_receipt_needs_a_name(client_for):
    answer = client_for(None).post(pick_up(delivered()), {"name": ""})
    assert answer.status_code == 422
    assert Delivery.objects.get().state == "sent"


def test_a_picture_of_another_delivery_is_not_served(client_for):
    delivery, other = delivered(), delivered(ready_shoot())
    foreign = other.pictures.first().pk
    stranger = client_for(None)
    assert stranger.get(f"{pick_up(delivery)}{foreign}/").status_code == 404
    assert stranger.get(f"{pick_up(delivery)}{foreign}/thumbnail.jpg").status_code == 404


def test_the_reason_stands_beside_the_button_that_cannot_be_pressed(browser):
    shoot = ready_shoot()
    late = promised(shoot, caption="")
    path = reverse("shoot_delivery", args=[shoot.pk])
    page = browser.get(path).content.decode()
    assert 'aria-disabled="true" aria-describedby="why"' in page
    assert f"{late.number} has no caption" in page
    assert reverse("picture_page", args=[late.pk]) in page
    answer = browser.post(path, {"do": "all"})
    assert answer.status_code == 422
    assert "Nothing was sent" in answer.content.decode()
    assert browser.post(path, {"do": "leave_out"}).status_code == 302


def test_one_picture_is_left_out_from_the_checklist(browser):
    shoot = ready_shoot()
    agreed = promised(shoot, caption="").agreed_pictures.get()
    browser.post(reverse("leave_out_undelivered", args=[shoot.pk, agreed.pk]))
    assert AgreedPicture.objects.get(pk=agreed.pk).state == AgreedPicture.State.LEFT_OUT


def test_a_delivery_called_back_opens_nothing(browser, client_for):
    delivery = delivered()
    place = pick_up(delivery)
    browser.post(reverse("send_delivery_link", args=[delivery.pk]), {"email": "pay@walnutlantern.example"})
    assert client_for(None).get(place).status_code == 410
    browser.post(reverse("send_delivery_link", args=[delivery.pk]), {"email": "nowhere"})
    newest = pick_up(delivery)
    browser.post(reverse("call_back_delivery", args=[delivery.pk]))
    assert client_for(None).get(newest).status_code == 410
    assert b"Called back on" in browser.get(reverse("delivery_page", args=[delivery.pk])).content


@pytest.mark.parametrize("name", NAMES)
def test_a_list_costs_the_same_with_three_rows(name, browser, client_for):
    row, counts = pages.table()[name], []
    reader = client_for(None) if row.seen_by == "stranger" else browser
    for rows in (1, 3):
        path = row.path(rows)
        reader.get(path)
        with CaptureQueriesContext(connection) as seen:
            assert reader.get(path).status_code == 200
        counts.append(len(seen))
    assert counts[0] == counts[1]


def test_a_delivery_stays_open_when_the_key_of_its_link_is_lost(client_for, owner, settings):
    delivery = delivered()
    settings.SECRET_KEY = "the books were restored without their key"
    page = client_for(owner).get(reverse("delivery_page", args=[delivery.pk])).content.decode()
    assert "can no longer be shown" in page
    assert "Send a new link" in page


def test_a_release_shows_the_open_deliveries_it_touches(client_for, owner):
    shoot = ready_shoot(1)
    delivery = delivered(shoot)
    path = reverse("release_deliveries_panel", args=[show_cook(shoot.pictures.all()).pk])
    page = client_for(owner).get(path).content.decode()
    assert reverse("delivery_page", args=[delivery.pk]) in page
    Delivery.objects.update(state=Delivery.State.CALLED_BACK)
    assert "No open delivery holds these pictures" in client_for(owner).get(path).content.decode()
