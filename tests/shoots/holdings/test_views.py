from datetime import date
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from shoots.licences.models import Licence
from shoots.life.actions import decline_licence
from tests.factories.licences import ALONE, AT, agreed, free_shoot, granted, offered, picture_of, placed
from tests.factories.releases import show_cook
from tests.reading import words

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def frozen():
    with time_machine.travel(AT, tick=False):
        yield


@pytest.fixture
def browser(client_for, owner):
    return client_for(owner)


def test_a_pictures_panel_says_who_may_use_it_and_what_is_free(browser):
    picture = picture_of()
    licence = granted([picture], use=ALONE, fee_net=Decimal(0), first_day=date(2026, 11, 1))
    page = words(browser.get(reverse("picture_licences_panel", args=[picture.pk])))
    assert "Kvernmoor Mill" in page
    assert "31 Oct 2027" in page
    assert "Free from 1 Nov 2027" in page
    assert licence.number in page


def test_a_clients_page_shows_all_they_hold(browser):
    licence = granted(fee_net=Decimal(0))
    for name in ("client_licences", "client_licences_panel"):
        assert "paid social media" in words(browser.get(reverse(name, args=[licence.licensee_id])))


def test_a_shoots_panel_leads_to_placing(browser):
    shoot = free_shoot()
    licence = agreed(shoot)
    picture_of(shoot)
    page = words(browser.get(reverse("shoot_licences_panel", args=[shoot.pk])))
    assert reverse("place_licence", args=[licence.pk]) in page


def test_a_release_shows_the_licences_it_touches(client_for, owner):
    shoot = free_shoot()
    picture = picture_of(shoot)
    licence = placed(shoot, on=[picture])
    path = reverse("release_licences_panel", args=[show_cook([picture]).pk])
    page = client_for(owner).get(path).content.decode()
    assert reverse("licence_page", args=[licence.pk]) in page
    Licence.objects.filter(pk=licence.pk).update(cut_on=AT.date())
    assert "No licence runs on these pictures" in client_for(owner).get(path).content.decode()


def test_the_licences_of_a_shoot_are_a_chart_and_a_table(browser):
    picture = picture_of()
    licence = granted([picture], use=ALONE)
    declined = decline_licence(offered([picture]), at=AT)
    page = browser.get(reverse("shoot_licences", args=[picture.shoot_id]))
    assert [lane.name for lane in page.context["chart"].lanes] == [licence.licensee.name]
    assert licence.number in words(page)
    assert declined.number in words(page)
    panel = words(browser.get(reverse("shoot_licences_panel", args=[picture.shoot_id])))
    assert f'href="{reverse("shoot_licences", args=[picture.shoot_id])}"' in panel
