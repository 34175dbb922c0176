from billing.renewals.forms import DraftForm, EndingFilter


def test_days_are_one_of_those_offered():
    assert EndingFilter({"days": "90"}).is_valid()
    assert not EndingFilter({"days": "9"}).is_valid()


def test_a_client_without_anything_to_renew_has_nothing_to_tick():
    form = DraftForm({}, endings=[], currency="EUR", prefix="c1")
    assert form.errors["licences"] == ["No licence is ticked. Tick the licences to renew."]
    assert form.rows() == []
