from datetime import UTC, date, datetime
from decimal import Decimal as D

import pytest

from billing.estimates.actions import draft_estimate
from billing.estimates.hires import drafted_line, own_work, rush_line
from billing.rates.models import RateCard
from billing.rates.wanted import ShootFacts, WantedLine
from shared.words.formats import plain_spaces
from tests.factories.billing import RateCardFactory, drafted
from tests.factories.clients import ClientFactory, KitchenFactory, PersonFactory
from tests.factories.shoots import ShootPersonFactory


def test_a_line_has_its_working_in_both_languages() -> None:
    wanted = WantedLine("food_rate", D(9), "picture", D(15), D(5), True, True)
    line = drafted_line(wanted, "EUR", "en")
    assert (line["kind"], line["what"], line["is_at_most"], line["markup_percent"]) == (
        "food_and_props",
        "Groceries",
        True,
        5,
    )
    assert plain_spaces(line["working"]) == "9 pictures × €15.00 a picture"
    assert drafted_line(wanted, "EUR", "de")["what"] == "Lebensmittel"
    props = drafted_line(WantedLine("props_rate", D(1), "day", D(90)), "EUR", "de")
    assert (props["kind"], props["what"]) == ("kit", "Miete von Requisiten")


def test_haste_is_one_sum_with_its_reason() -> None:
    line = rush_line(D(250), D(25), ShootFacts(1, 6, days_ahead=2), "en")
    assert (line["quantity"] * line["unit_price"], line["kind"]) == (250, "other")
    assert "asked for 2 days before" in plain_spaces(line["working"])
    assert "am Tag selbst" in rush_line(D(250), D(25), ShootFacts(1, 6, days_ahead=0), "de")["working"]


def test_haste_is_reckoned_on_ones_own_work_alone() -> None:
    lines = [{"kind": kind, "quantity": D(2), "unit_price": D(10)} for kind in ("preparation", "half_day", "stylist", "kit", "usage", "finishing")]  # fmt: skip
    assert own_work(lines) == [20, 20, 20]


@pytest.mark.django_db
def test_a_draft_takes_the_lines_its_shoot_asks_for() -> None:
    RateCardFactory(preparation_day_rate=480, rush_percent=25, rush_days=20)
    kitchen = KitchenFactory(client=ClientFactory(), distance_km=D(310))
    estimate = drafted(
        at=datetime(2026, 10, 28, 9, tzinfo=UTC),
        kitchen=kitchen,
        first_on=date(2026, 11, 14),
        last_on=date(2026, 11, 16),
    )
    lines = {line.what: line for line in estimate.options.get().lines.all()}
    assert (lines["Kitchen hire"].quantity, lines["Kitchen hire"].unit_price, lines["Kitchen hire"].markup_percent) == (
        3,
        240,
        10,
    )
    assert (lines["Groceries"].quantity, lines["Groceries"].is_at_most) == (6, True)
    assert (lines["Travel days"].quantity, lines["Travel days"].unit_price) == (2, 390)
    assert (lines["Whole days of getting ready"].quantity, lines["Getting ready"].quantity) == (1, 4)
    # 480 + 4 × 65 + 3 × 780 + 2.5 h × 60 = 3,230; a quarter of it is 807.50.
    assert lines["Asked for late"].unit_price == D("807.50")


@pytest.mark.django_db
def test_a_digital_operator_and_a_prop_stylist_have_rates_of_their_own() -> None:
    estimate = drafted()
    shoot = estimate.shoot
    for part in ("digital_operator", "prop_stylist"):
        ShootPersonFactory(shoot=shoot, person=PersonFactory(), part=part)
    lines = {line.what: line for line in draft_estimate(shoot, at=estimate.made_at).options.get().lines.all()}
    assert lines["Digital operator"].unit_price == RateCard.objects.get().operator_rate == 280
    assert lines["Prop hire"].unit_price == 90
    assert "Asked for late" not in lines
