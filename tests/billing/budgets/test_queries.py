from decimal import Decimal

import pytest
from django.utils import timezone

from billing.budgets.queries import margins_of, what_fits
from billing.estimates import actions
from billing.estimates.adding_up import sums_with
from billing.estimates.models import EstimateOption
from billing.estimates.queries import estimate_in_full
from tests.factories.billing import drafted
from tests.factories.costs import cost_year

pytestmark = pytest.mark.django_db


def gross(option: EstimateOption) -> Decimal:
    row = estimate_in_full(option.estimate_id)
    option = next(each for each in row.options.all() if each.letter == option.letter)
    return sums_with(row, [line for line in option.lines.all() if not line.is_optional], option).gross


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


def test_no_margin_in_a_money_that_is_not_compared_and_one_at_the_rate_of_the_estimate():
    at = timezone.now()
    cost_year(at.year)
    estimate = drafted(at=at)
    rate, own = margins_of(estimate_in_full(estimate.pk), None, at.date())
    actions.offer_in_currency(estimate, currency="CHF", rate=Decimal(2), rate_on=at.date(), source="Our bank")
    _rate, foreign = margins_of(estimate_in_full(estimate.pk), None, at.date())
    assert rate is not None
    pairs = zip(foreign, own, strict=True)
    assert all(
        abs(there.margin.living - 2 * here.margin.living) <= Decimal("0.01") for there, here in pairs
    )  # each rounded once
    assert own
    row = estimate_in_full(estimate.pk)
    row.card["currency"] = "SEK"
    assert margins_of(row, None, at.date())[1] == []
