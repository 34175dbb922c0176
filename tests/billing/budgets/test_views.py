import re
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from billing.budgets.queries import what_fits
from billing.estimates import actions
from billing.estimates.models import EstimateOption
from billing.estimates.queries import estimate_in_full, sums_with
from shared.access.models import Role
from tests.factories.billing import accepted, drafted, offer_link, sent
from tests.factories.costs import cost_year
from tests.factories.shared import UserFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def office(client_for, owner):
    return client_for(owner)


def gross(option: EstimateOption) -> Decimal:
    row = estimate_in_full(option.estimate_id)
    option = next(each for each in row.options.all() if each.letter == option.letter)
    return sums_with(row, [line for line in option.lines.all() if not line.is_optional], option).gross


def page(estimate, **asked) -> tuple[str, dict]:
    return reverse("estimate_budget", args=[estimate.pk]), {"option": "A", **asked}


def test_every_answer_comes_to_what_the_page_said_once_it_is_an_option():
    estimate = drafted(at=timezone.now(), pictures=12)
    row = estimate_in_full(estimate.pk)
    option = row.options.get()
    whole = gross(option)
    fits = what_fits(row, option, whole - 150)
    assert not fits.is_within
    assert fits.pictures is not None
    assert fits.uses
    more = what_fits(row, option, whole)
    assert more.is_within
    assert more.pictures.ask.pictures >= 12
    for fit in (fits.pictures, *fits.uses[:3]):
        made = actions.add_changed_option(estimate, copied_from="A", title="Smaller", changes=fit.changes)
        assert gross(made) == fit.gross <= whole - 150
        actions.remove_option(estimate, letter=made.letter)


def test_one_picture_more_is_above_the_budget():
    estimate = drafted(at=timezone.now(), pictures=12)
    option = estimate_in_full(estimate.pk).options.get()
    budget = gross(option) - 150
    count = what_fits(estimate_in_full(estimate.pk), option, budget).pictures.ask.pictures
    made = actions.add_changed_option(
        estimate, copied_from="A", title="One more", changes={"pictures_count": count + 1}
    )
    assert gross(made) > budget


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


def test_a_worldwide_use_that_is_too_dear_is_offered_for_the_clients_own_country():
    estimate = drafted(at=timezone.now())
    actions.save_estimate(
        estimate_in_full(estimate.pk), fields=[], version=estimate.version, at=timezone.now(),
        options=[actions.OptionEdit(worldwide(estimate), [], list(estimate.options.get().lines.all()))],
    )  # fmt: skip
    row = estimate_in_full(estimate.pk)
    option = row.options.get()
    fits = what_fits(row, option, gross(option) - 1000)
    assert any(each.ask.territories == {"DE"} and each.ask.months == option.use_months for each in fits.uses)
    made = actions.add_changed_option(
        row,
        copied_from="A",
        title="Here",
        changes=next(each for each in fits.uses if each.ask.territories == {"DE"}).changes,
    )
    assert made.use_territories == ["DE"]


def worldwide(estimate):
    option = estimate.options.get()
    option.use_territories = ["world"]
    return option
