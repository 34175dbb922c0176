import re
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from billing.estimates.actions import add_option
from shared.access.models import Role
from tests.billing.budgets.test_queries import gross
from tests.factories.billing import accepted, drafted, offer_link, sent
from tests.factories.costs import cost_year
from tests.factories.shared import UserFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def office(client_for, owner):
    return client_for(owner)


def page(estimate, **asked) -> tuple[str, dict]:
    return reverse("estimate_budget", args=[estimate.pk]), {"option": "A", **asked}


def test_the_page_adds_the_option_that_was_pressed(office):
    estimate = drafted(at=timezone.now(), pictures=12)
    option = estimate.options.get()
    address, asked = page(estimate, budget=str(gross(option) - 150))
    shown = office.get(address, asked).content.decode()
    assert "Most pictures with this use" in shown
    assert "Largest uses for 12 pictures" in shown
    once = re.search(r'name="once" value="([^"]+)"', shown)
    answer = office.post(address, asked | {"take": "pictures", **({"once": once[1]} if once else {})})
    assert answer.status_code == 302
    assert answer["Location"].endswith("#option-B")
    added = estimate.options.get(letter="B")
    assert added.pictures_count < 12
    assert added.pictures.count() == added.pictures_count


def test_the_page_begins_with_the_option_it_was_opened_from(office):
    estimate = drafted(at=timezone.now())
    add_option(estimate, copied_from="A")
    address = reverse("estimate_budget", args=[estimate.pk])
    assert '<option value="B" selected' in office.get(address, {"option": "B"}).content.decode()


def test_a_budget_that_nothing_fits_is_said(office):
    address, asked = page(drafted(at=timezone.now()), budget="5")
    shown = office.get(address, asked).content.decode()
    assert "Not one picture with this use fits" in shown
    assert "No smaller use of all 6 pictures fits" in shown


@pytest.mark.parametrize("typed", ["", "0", "-5", "much", "99999999999999"])
def test_a_budget_that_is_none_gets_a_sentence_and_stays_typed(office, typed):
    answer = office.get(*page(drafted(at=timezone.now()), budget=typed))
    assert answer.status_code == 422
    assert f'value="{typed}"' in answer.content.decode() or not typed


def test_a_sent_estimate_is_not_changed_by_its_budget(office):
    estimate = sent(drafted(at=timezone.now()), at=timezone.now())
    address, asked = page(estimate, budget="2000")
    assert office.get(address, asked).status_code == 302


def test_the_owner_sees_what_is_left_and_nobody_else(office, client_for):
    cost_year(timezone.now().year, income=Decimal(58000), days_typed=Decimal(100))
    estimate = sent(drafted(at=timezone.now()), at=timezone.now())
    address = reverse("estimate_margin_panel", args=[estimate.pk])
    shown = office.get(address).content.decode()
    assert "Break-even" in shown
    assert client_for(UserFactory(role=Role.ASSISTANT)).get(address).status_code in (302, 403)
    assistant = client_for(UserFactory(role=Role.ASSISTANT))
    assert "margin" not in assistant.get(reverse("estimate", args=[estimate.pk])).content.decode()
    stranger = client_for(None).get(offer_link(estimate)).content.decode()
    assert "Break-even" not in stranger
    assert "margin" not in str(estimate.snapshot)


def test_once_accepted_the_margin_is_of_the_option_taken(office):
    cost_year(timezone.now().year)
    estimate = accepted(sent(drafted(at=timezone.now()), at=timezone.now()), at=timezone.now())
    shown = office.get(reverse("estimate_margin_panel", args=[estimate.pk])).content.decode()
    assert shown.count("Break-even") == 1


def test_without_the_costs_of_a_year_the_panel_says_what_to_enter(office):
    estimate = drafted(at=timezone.now())
    assert (
        "Enter what a year costs you"
        in office.get(reverse("estimate_margin_panel", args=[estimate.pk])).content.decode()
    )
