from datetime import UTC, date, datetime, timedelta

import pytest

from shoots.found import queries
from shoots.found.actions import offer_for_use, record_outcome
from shoots.found.models import FoundState, FoundUse
from shoots.licences.models import Licence
from shoots.life.actions import decline_licence
from tests.factories import licences
from tests.factories.found import AT, recorded, used_by, written

pytestmark = pytest.mark.django_db
ON = date(2026, 11, 20)


def answered(found):
    return queries.answer_of(queries.found_in_full(found.pk).get())


def test_a_licence_covers_and_is_named():
    picture = licences.picture_of()
    licence = licences.granted(
        [picture], first_day=date(2026, 11, 1), fee_net=0, at=datetime(2026, 10, 30, 9, tzinfo=UTC)
    )
    answer = answered(used_by(licence.licensee, picture))
    assert answer["now"].is_covered is answer["then"].is_covered is True
    (row,) = answer["rows"]
    (said,) = row["own"]
    assert (said.licence, said.is_covering, said.sentences) == (licence, True, ())


def test_a_licence_taken_afterwards_changes_the_answer_and_not_that_of_the_day():
    picture = licences.picture_of()
    licence = licences.granted([picture], first_day=date(2026, 11, 1), fee_net=0)  # agreed on 20 November
    answer = answered(used_by(licence.licensee, picture))
    assert (answer["now"].is_covered, answer["then"].is_covered, answer["has_changed"]) == (True, False, True)


def test_who_is_no_client_would_be_covered_if_it_were_one():
    picture = licences.picture_of()
    licence = licences.granted([picture], first_day=date(2026, 11, 1), fee_net=0)
    answer = answered(recorded([picture]))
    assert answer["now"].is_covered is False
    assert answer["would_be"] == [licence.licensee]
    assert answer["rows"][0]["would"] == [{"client": licence.licensee, "licences": [licence]}]


def test_an_offer_alone_covers_nothing_and_is_not_in_the_letter():
    picture = licences.picture_of()
    offer = licences.offered([picture], first_day=date(2026, 11, 1))
    found = used_by(offer.licensee, picture)
    (said,) = answered(found)["rows"][0]["own"]
    assert (said.licence, said.is_covering) == (offer, False)
    assert written(found).snapshot["licences"] == []


def test_an_unpaid_licence_stands_in_the_letter_with_its_reasons():
    picture = licences.picture_of()
    licence = licences.granted([picture])
    (said,) = written(used_by(licence.licensee, picture)).snapshot["licences"]
    assert said["number"] == licence.number
    assert said["reasons"] == ["UNPAID", "TOO_EARLY"]
    assert said["first_on"] == "2026-12-01"
    assert said["last_on"] == "2027-11-30"


def test_a_letter_to_a_client_goes_to_its_address_and_to_others_as_typed():
    client = licences.kvernmoor()
    to = written(used_by(client, licences.picture_of())).snapshot["to"]
    assert to[0] == (client.legal_name or client.name)
    assert written(recorded(), address="Lampwick Lane 7\n\n 10115 Lindhafen ").snapshot["to"] == [
        "Fennel Yard", "Lampwick Lane 7", "10115 Lindhafen",
    ]  # fmt: skip
    assert queries.address_of_user(recorded()) == ("", "Fennel Yard")


def test_uses_without_a_next_step_wait():
    fresh, letter, late, done = recorded(), recorded(), recorded(), recorded()
    written(letter)
    written(late, answer_by=ON - timedelta(days=1))
    record_outcome(done, FoundState.PAID, answered_on=ON, at=AT)
    assert set(queries.found_waiting(ON)) == {fresh, late}
    late = FoundUse.objects.get(pk=late.pk)
    assert (queries.state_look(late, ON), queries.state_words(late, ON)) == ("look", "No answer in time")
    assert queries.state_look(FoundUse.objects.get(pk=letter.pk), ON) == "wait"
    assert queries.state_look(FoundUse.objects.get(pk=done.pk), ON) == "done"
    assert queries.state_look(fresh, ON) == "look"


@pytest.mark.both
def test_uses_are_found_by_their_words_states_and_client():
    client = licences.kvernmoor()
    picture = licences.picture_of(title="Rye crust")
    one, other = used_by(client, picture), recorded(place="Poster", link="https://poster.example/")
    for text, wanted in (
        ("poster", {other}), ("rye", {one}), ("kvern", {one}), ("fennel", {other}), (one.number, {one}), ("rye poster", set()), ("", {one, other}),
    ):  # fmt: skip
        assert set(queries.found_listed(text=text)) == wanted
    record_outcome(one, FoundState.GIVEN_UP, answered_on=ON, at=AT)
    assert set(queries.found_listed(state="given_up")) == {one}
    assert set(queries.found_listed(state="open")) == {other}
    assert set(queries.found_listed(client=client)) == {one}
    assert set(queries.found_with(picture)) == {one}


@pytest.mark.both
def test_a_licence_shows_the_uses_by_its_client_of_its_pictures():
    picture = licences.picture_of()
    licence = Licence.objects.get(pk=licences.granted([picture]).pk)
    mine = used_by(licence.licensee, picture)
    recorded([picture])
    used_by(licence.licensee, licences.picture_of())
    assert set(queries.found_beside(licence)) == {mine}


def test_the_rows_of_a_list_say_what_the_page_says(django_assert_num_queries):
    picture = licences.picture_of()
    licence = licences.granted([picture], first_day=date(2026, 11, 1), fee_net=0)
    uses = [used_by(licence.licensee, picture), recorded([picture]), recorded([])]
    with django_assert_num_queries(5):
        rows = queries.rows_of(queries.found_listed(), ON)
    assert {row["found"].pk: row["verdict"].is_covered for row in rows} == dict(
        zip([each.pk for each in uses], [True, False, None], strict=True)
    )


def test_a_use_whose_licence_waits_for_the_client_waits_for_nobody_here():
    picture, client = licences.picture_of(), licences.kvernmoor()
    found = used_by(client, picture)
    terms = {"licensee": client, "first_day": found.seen_on, "last_day": found.seen_on, "fee_net": 90}
    other = used_by(licences.oystercatcher(), picture)
    assert set(queries.found_waiting(ON)) == {found, other}
    offer = offer_for_use(found, **terms, at=AT)
    assert set(queries.found_waiting(ON)) == {other}
    decline_licence(offer, at=AT)
    assert set(queries.found_waiting(ON)) == {found, other}


def test_a_use_is_found_by_its_note_too():
    found = recorded(note="Told by the brickyard’s cook")
    assert list(queries.found_listed(text="brickyard banner")) == [found]
    assert list(queries.found_listed(text="brickyard poster")) == []
