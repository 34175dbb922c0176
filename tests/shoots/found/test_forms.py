from datetime import date

import pytest
import time_machine
from django.core.exceptions import ValidationError
from django.utils.datastructures import MultiValueDict

from shoots.found.forms import FoundForm, LetterForm, OutcomeForm, web_address
from shoots.found.models import FoundState
from tests.factories import licences
from tests.factories.found import AT, recorded, used_by
from tests.factories.shared import BusinessProfileFactory

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def frozen():
    with time_machine.travel(AT, tick=False):
        yield


def typed(**change):
    return MultiValueDict(
        {
            name: value if isinstance(value, list) else [value]
            for name, value in {"place": "A shop", "seen_on": "18 Nov 2026", **change}.items()
        }
    )


def test_two_fields_are_enough_and_the_market_starts_at_home():
    BusinessProfileFactory()
    form = FoundForm(typed())
    assert form.is_valid()
    assert form.facts()["use_territories"] == []
    assert FoundForm()["use_places"].value() == ["DE"]


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"place": " "}, "place"),
        ({"seen_on": ""}, "seen_on"),
        ({"seen_on": "21 Nov 2026"}, "seen_on"),
        ({"seen_on": "31 Dec 9999"}, "seen_on"),
        ({"seen_on": "1 Jan 0001"}, "seen_on"),
        ({"since": "19 Nov 2026"}, "since"),
        ({"since": "1 Jan 2031"}, "since"),
        ({"link": "fennelyard.example/soup"}, "link"),
        ({"link": "javascript:alert(1)"}, "link"),
        ({"link": "JavaScript://fennelyard.example/%0aalert(1)"}, "link"),
        ({"link": "data:text/html,x"}, "link"),
        ({"use_copies": "0"}, "use_copies"),
        ({"use_copies": "5", "use_media": ["web.own"]}, "use_copies"),
        ({"use_media": ["moon"]}, "use_media"),
        ({"use_more_places": ["XX"]}, "use_more_places"),
        ({"use_classes": ["gift"]}, "use_classes"),
        ({"client": "999999"}, "client"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_said_at_its_field(change, field):
    form = FoundForm(typed(**change))
    assert not form.is_valid()
    assert list(form.errors) == [field]


def test_a_group_of_countries_is_its_members_of_the_day_and_comes_back_as_one_tick():
    form = FoundForm(typed(use_places=["DACH"], use_more_places=["FR"]))
    assert form.is_valid()
    assert form.facts()["use_territories"] == ["AT", "CH", "DE", "FR"]
    again = FoundForm(found=recorded(use_territories=form.facts()["use_territories"]))
    assert again["use_places"].value() == ["DACH"]
    assert again["use_more_places"].value() == ["FR"]


def test_a_client_takes_the_place_of_a_name():
    form = FoundForm(typed(user_name="Kvernmoor", client=str(licences.kvernmoor().pk)))
    assert form.is_valid()
    assert form.facts()["user_name"] == ""


def test_an_address_is_http_or_https_with_a_host():
    assert web_address("https://fennelyard.example:8443/a?b#c") == "https://fennelyard.example:8443/a?b#c"
    for wrong in (
        "https://",
        "ftp://a.example",
        "https:/a.example",
        "https://a b.example",
        "https://a.example:x/",
        "//a.example",
        "http://[",
        "mailto:a@b",
    ):
        with pytest.raises(ValidationError):
            web_address(wrong)


def letter_form(**change):
    words = {"language": ["de"], "asks": ["permission"], "answer_by": ["4 Dec 2026"], **change}
    return LetterForm(MultiValueDict(words), found=recorded(), on=date(2026, 11, 20))


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"answer_by": ["20 Nov 2026"]}, "answer_by"), ({"answer_by": ["1 Jan 9999"]}, "answer_by"), ({"asks": []}, "asks"), ({"asks": ["pay"]}, "asks"),
        ({"language": ["pl"]}, "language"),
    ],
)  # fmt: skip
def test_a_letter_asks_something_by_a_day_to_come(change, field):
    assert letter_form().is_valid()
    assert list(letter_form(**change).errors) == [field]


def test_of_a_client_the_address_is_known():
    found = used_by(licences.kvernmoor(), licences.picture_of())
    assert "address" not in LetterForm(found=found, on=date(2026, 11, 20)).fields
    assert "address" in letter_form().fields


def outcome(found, **change):
    return OutcomeForm({"outcome": "licensed", **change}, found=found, on=date(2026, 11, 20))


@pytest.mark.both
def test_an_outcome_has_a_day_between_the_use_and_today_and_its_own_licence():
    picture = licences.picture_of()
    licence = licences.granted([picture])
    found = used_by(licence.licensee, picture)
    form = outcome(found, licence=licence.pk)
    assert form.is_valid()
    assert (form.cleaned_data["answered_on"], form.cleaned_data["licence"]) == (date(2026, 11, 20), licence)
    paid = outcome(found, outcome="paid", licence=licence.pk)
    assert paid.is_valid()
    assert paid.cleaned_data["licence"] is None
    assert list(outcome(found, answered_on="17 Nov 2026").errors) == ["answered_on"]
    assert list(outcome(found, answered_on="21 Nov 2026").errors) == ["answered_on"]
    foreign = licences.granted([licences.picture_of()])
    assert list(outcome(found, licence=foreign.pk).errors) == ["licence"]
    found.state = FoundState.LICENSED
    assert list(outcome(found).errors) == ["outcome"]
