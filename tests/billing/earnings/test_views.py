import pytest
from django.urls import reverse

from billing.earnings.models import WorkedDays
from tests.billing.earnings.test_queries import billed
from tests.factories.costs import cost_year
from tests.reading import words

pytestmark = pytest.mark.django_db
TYPED = {"on_set": "1", "preparation": "1", "finishing": "2", "version": "0"}


def test_nobody_but_the_owner_sees_what_a_day_earned(client_for, assistant, accountant):
    cost_year()
    shoot = billed()[0].shoot_id
    for other in (assistant, accountant):
        assert client_for(other).get(reverse("cost_earned", args=[2026])).status_code == 403
        assert client_for(other).get(reverse("worked_days", args=[shoot])).status_code == 403
        assert client_for(other).post(reverse("worked_days", args=[shoot]), TYPED).status_code == 403
        assert "820" not in words(client_for(other).get(reverse("shoot_earned_panel", args=[shoot])))
    assert not WorkedDays.objects.exists()


def test_a_shoot_below_the_rate_to_live_on_is_said_in_words(client_for, owner):
    cost_year()
    shoot = billed()[0].shoot_id
    studio = client_for(owner)
    panel = words(studio.get(reverse("shoot_earned_panel", args=[shoot])))
    assert "€820.00 a day worked" in panel
    assert "Below what you live on" in panel
    assert "€10.00 a day are missing to €830.00" in panel
    year = words(studio.get(reverse("cost_earned", args=[2026])))
    assert "Below what you live on" in year
    assert "€1,640.00 ÷ 2 days by the accepted lines" in year
    assert reverse("cost_earned", args=[2026]) in words(studio.get(reverse("cost_year", args=[2026])))
    assert reverse("shoot_earned_panel", args=[shoot]) in words(
        studio.get(reverse("shoot_invoices_panel", args=[shoot]))
    )
    assert studio.get(reverse("cost_earned", args=[2025])).status_code == 404


def test_a_shoot_that_carries_the_year_is_not_marked(client_for, owner):
    cost_year(income=50000)
    shoot = billed()[0].shoot_id
    assert "Below" not in words(client_for(owner).get(reverse("shoot_earned_panel", args=[shoot])))
    assert "Below" not in words(client_for(owner).get(reverse("cost_earned", args=[2026])))


def test_days_really_worked_are_typed_kept_and_taken_back(client_for, owner):
    shoot = billed()[0].shoot_id
    studio, path = client_for(owner), reverse("worked_days", args=[shoot])
    assert 'value="0.5"' in words(studio.get(path))
    wrong = studio.post(path, TYPED | {"finishing": "-2"})
    assert wrong.status_code == 422
    assert 'value="-2"' in words(wrong)
    assert not WorkedDays.objects.exists()
    assert studio.post(path, TYPED).status_code == 302
    assert "€410.00 a day worked" in words(studio.get(path))
    stale = studio.post(path, TYPED | {"finishing": "9"})
    assert stale.status_code == 422
    assert 'value="9"' in words(stale)
    assert studio.post(path, {"forget": "yes"}).status_code == 302
    assert not WorkedDays.objects.exists()
