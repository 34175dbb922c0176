import pytest
from django.urls import reverse

from billing.costs.models import CostYear
from billing.rates.models import RateCard
from tests.billing.costs.test_forms import LINES, YEAR
from tests.factories.billing import RateCardFactory
from tests.factories.costs import cost_year
from tests.factories.shared import BusinessProfileFactory
from tests.reading import words

pytestmark = pytest.mark.django_db
TYPED = YEAR | LINES | {"yearly-0-kind": "rent", "yearly-0-price": "25,000"}


@pytest.fixture(autouse=True)
def _books():
    BusinessProfileFactory()
    RateCardFactory()


def test_only_the_owner_sees_and_changes_what_a_year_costs(client_for, assistant, accountant):
    cost_year()
    for path in (
        reverse("cost_list"),
        *(reverse(each, args=[2026]) for each in ("cost_year", "cost_sums", "cost_rates")),
    ):
        for other in (assistant, accountant):
            assert client_for(other).get(path).status_code == 403
            assert client_for(other).post(path, TYPED).status_code == 403
    assert CostYear.objects.get().version == 1


def test_a_year_is_entered_saved_and_shown_line_by_line(client_for, owner):
    studio = client_for(owner)
    assert studio.get(reverse("cost_year", args=[2026])).status_code == 200
    assert "€830.00" in words(studio.get(reverse("cost_sums", args=[2026]), TYPED))
    assert studio.post(reverse("cost_year", args=[2026]), TYPED).status_code == 302
    page = words(studio.get(reverse("cost_year", args=[2026])))
    assert "€830.00" in page
    assert "€83,000.00 ÷ 100 days" in page
    assert "€830.00 a day" in words(studio.get(reverse("cost_list")))
    assert "Copied from 2026" in words(studio.get(reverse("cost_year", args=[2027])))


@pytest.mark.parametrize(
    "wrong",
    [{"days_typed": "0"}, {"days_typed": "999"}, {"income": "-3"}, {"income": "12345678901"}, {"yearly-0-price": "-7"}],
)
def test_what_cannot_be_is_refused_and_kept(client_for, owner, wrong):
    answer = client_for(owner).post(reverse("cost_year", args=[2026]), TYPED | wrong)
    assert answer.status_code == 422
    assert f'value="{next(iter(wrong.values()))}"' in words(answer)
    assert "Nothing is saved yet" in words(answer)
    assert not CostYear.objects.exists()
    panel = words(client_for(owner).get(reverse("cost_sums", args=[2026]), TYPED | wrong))
    assert "Not reckoned yet" in panel


def test_two_people_enter_the_same_year_the_second_is_told_and_may_put_hers_on_top(client_for, owner):
    studio = client_for(owner)
    studio.post(reverse("cost_year", args=[2026]), TYPED)
    second = studio.post(reverse("cost_year", args=[2026]), TYPED | {"income": "40,000"})
    assert second.status_code == 422
    assert "after you opened it" in words(second)
    assert 'value="40,000"' in words(second)
    assert CostYear.objects.get().income == 58000
    assert 'name="version" value="1"' in words(second)
    assert (
        studio.post(reverse("cost_year", args=[2026]), TYPED | {"income": "40,000", "version": "1"}).status_code == 302
    )
    assert CostYear.objects.get().income == 40000


def test_a_year_far_away_is_no_page(client_for, owner):
    for year in (0, 1989, 2201, 99999):
        assert client_for(owner).get(reverse("cost_year", args=[year])).status_code == 404
        assert client_for(owner).get(reverse("cost_sums", args=[year])).status_code == 404
    assert client_for(owner).get(reverse("cost_rates", args=[2026])).status_code == 404


def test_the_figure_is_looked_at_and_becomes_the_day_rate(client_for, owner):
    cost_year(income=58001)
    studio, path = client_for(owner), reverse("cost_rates", args=[2026])
    page = words(studio.get(path))
    assert "€835.00 a day" in page
    assert "Rounded always up" in page
    assert studio.post(path, {"valid_from": "1 Jan 2027", "step": "5"}).status_code == 302
    assert RateCard.objects.latest("valid_from").day_rate == 835
    again = studio.post(path, {"valid_from": "1 Jan 2027", "step": "5"})
    assert again.status_code == 422
    assert "There are rates from" in words(again)
    assert studio.post(path, {"valid_from": "x", "step": "7"}).status_code == 422
