import pytest

from clients.calls import USUAL_CALLS
from clients.forms import (
    ClientForm,
    ClientPersonForm,
    HourFormSet,
    KitchenForm,
    NewClientForm,
    PersonForm,
    WindowFormSet,
)
from tests.factories.clients import ClientFactory, KitchenFactory, PersonFactory

pytestmark = pytest.mark.django_db

CLIENT = {
    "name": "Walnut Lantern",
    "kind": "restaurant",
    "language": "de",
    "country": "DE",
    "currency": "EUR",
    "is_business": "on",
    "version": "1",
}
KITCHEN = {"name": "Lampwick Lane 4", "country": "DE", "time_zone": "Europe/Berlin", "version": "1"}


def lines(prefix: str, *rows: dict[str, str]) -> dict[str, str]:
    found = {f"{prefix}-TOTAL_FORMS": str(len(rows)), f"{prefix}-INITIAL_FORMS": "0"}
    return found | {f"{prefix}-{place}-{name}": value for place, row in enumerate(rows) for name, value in row.items()}


def test_a_vat_number_is_kept_without_spaces():
    form = ClientForm({**CLIENT, "vat_number": "de 136 695 976"}, instance=ClientFactory())
    assert form.is_valid(), form.errors
    assert form.cleaned_data["vat_number"] == "DE136695976"


def test_a_wrong_vat_number_is_said_under_its_field_and_stays_as_typed():
    form = ClientForm({**CLIENT, "vat_number": "DE136695970"}, instance=ClientFactory())
    assert "not a VAT number of DE" in form.errors["vat_number"][0]
    assert form["vat_number"].value() == "DE136695970"


@pytest.mark.parametrize(
    ("field", "typed"),
    [("payment_days", "400"), ("currency", "DEM"), ("currency", "JPY"), ("invoice_email", "books@"), ("country", "ZZ")],
)
def test_what_cannot_be_is_said_under_its_field(field, typed):
    form = ClientForm({**CLIENT, field: typed}, instance=ClientFactory())
    assert list(form.errors) == [field]


def test_an_e_mail_needs_somebody_it_belongs_to():
    form = NewClientForm(
        {
            "name": "Walnut Lantern",
            "kind": "restaurant",
            "city": "Lindhafen",
            "language": "en",
            "contact_email": "maro@lantern.example",
        }
    )
    assert list(form.errors) == ["contact_name"]


def test_a_person_of_a_client_is_new_or_known_but_not_both():
    client, person = ClientFactory(), PersonFactory()
    assert ClientPersonForm({"name": "Maro Lantadze"}, client=client).is_valid()
    assert ClientPersonForm({"known": person.pk}, client=client).is_valid()
    assert "not both" in ClientPersonForm({"name": "Maro", "known": person.pk}, client=client).errors["known"][0]
    assert "name" in ClientPersonForm({}, client=client).errors


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"time_zone": "Mars/Base"}, "time_zone"),
        ({"latitude": "91", "longitude": "0"}, "latitude"),
        ({"latitude": "53.5"}, "longitude"),
        ({"distance_km": "-3"}, "distance_km"),
    ],
)
def test_a_kitchen_that_cannot_be_is_said_under_its_field(typed, field):
    form = KitchenForm({**KITCHEN, **typed}, instance=KitchenFactory())
    assert list(form.errors) == [field]


def test_windows_are_typed_in_degrees_or_points_and_empty_lines_are_left_out():
    form = WindowFormSet(
        lines("windows", {"bearing_degrees": "SW", "width_cm": "120"}, {"bearing_degrees": ""}), prefix="windows"
    )
    assert form.is_valid(), form.errors
    assert form.lines() == [{"bearing_degrees": 225, "name": "", "width_cm": 120, "height_cm": None}]


def test_a_window_that_looks_to_400_degrees_is_refused():
    form = WindowFormSet(lines("windows", {"bearing_degrees": "400"}), prefix="windows")
    assert "0 to 359" in form.errors[0]["bearing_degrees"][0]


def test_free_hours_end_after_they_begin():
    form = HourFormSet(lines("hours", {"weekday": "0", "from_time": "15:00", "until_time": "9"}), prefix="hours")
    assert "after 15:00" in form.errors[0]["until_time"][0]
    half = HourFormSet(lines("hours", {"weekday": "", "from_time": "9", "until_time": ""}), prefix="hours")
    assert set(half.errors[0]) == {"weekday", "until_time"}


def test_usual_calls_are_added_to_the_kitchens_own_and_offered_no_more():
    kitchen = KitchenFactory(calls="Heiß!")
    form = KitchenForm({**KITCHEN, "calls": "Heiß!", "usual_calls": [USUAL_CALLS[0]]}, instance=kitchen)
    assert form.is_valid(), form.errors
    form.save(commit=False)
    assert kitchen.calls == f"Heiß!\n{USUAL_CALLS[0]}"
    assert USUAL_CALLS[0] not in dict(KitchenForm(instance=kitchen).fields["usual_calls"].choices)
    assert "usual_calls" not in KitchenForm(instance=KitchenFactory(calls="\n".join(USUAL_CALLS))).fields


def test_more_calls_than_anyone_remembers_are_refused_and_come_back():
    typed = {**KITCHEN, "calls": "\n".join(f"Call {number}" for number in range(13))}
    form = KitchenForm(typed, instance=KitchenFactory())
    assert "at most 12" in form.errors["calls"][0]
    assert form["calls"].value() == typed["calls"]


def test_a_cook_may_be_spoken_to_in_another_language_than_their_letters():
    cook = PersonFactory(language="de", kitchen_language="fr")
    assert (cook.spoken, cook.spoken_name) == ("fr", "French")
    assert PersonFactory(language="de").spoken == "de"
    form = PersonForm({"name": "Maro", "language": "de", "kitchen_language": "pl"}, instance=cook)
    assert "kitchen_language" in form.errors


def test_licences_may_come_in_a_language_that_papers_do_not():
    house = ClientFactory(language="en")
    assert house.words_of_licence == "en"
    form = ClientForm(instance=house)
    assert [code for code, _ in form.fields["licence_language"].choices] == ["", "en", "de", "fr", "es", "it", "sv"]
    house.licence_language = "sv"
    assert house.words_of_licence == "sv"
