import uuid
from datetime import UTC, date, datetime

import pytest
import time_machine
from django.urls import reverse

from clients.models import Person
from shoots.brief.models import Shoot
from tests.factories.clients import ClientFactory, PersonFactory
from tests.factories.shoots import AgreedPictureFactory, DishFactory, ShootFactory, ShootPersonFactory

pytestmark = pytest.mark.django_db
USE = {
    "use_kind": "own_promotion",
    "use_media": ["web.own"],
    "use_places": ["DE"],
    "use_months": "24",
    "exclusivity": "none",
}


@pytest.fixture(autouse=True)
def october():
    with time_machine.travel(datetime(2026, 10, 28, 9, tzinfo=UTC), tick=False):
        yield


@pytest.fixture
def desk(owner, client_for):
    return client_for(owner)


def words(answer) -> str:
    return answer.content.decode().replace("\xa0", " ").replace("&nbsp;", " ")


def test_a_shoot_is_opened_with_its_dishes_and_pictures_in_one_form(desk):
    client = ClientFactory()
    form = {
        "client": client.pk,
        "title": "Winter menu",
        "version": "1",
        "first_on": "14 Nov 2026",
        "dishes": "Bread boat\nBean stew",
        "pictures": "Bread boat from above",
        **USE,
    }
    answer = desk.post(reverse("new_shoot"), {**form, "once": str(uuid.uuid4())}, follow=True)
    shoot = Shoot.objects.get()
    assert (shoot.licensee, shoot.use_media, shoot.dishes.count(), shoot.agreed_pictures.count()) == (
        client,
        ["web.own"],
        2,
        1,
    )
    page = words(answer)
    assert "Saturday 14 November 2026" in page
    assert "Own promotion of" in page
    assert "Not agreed. Ask" in page


def test_the_market_of_a_new_shoot_is_the_client_s_country(desk):
    client = ClientFactory(country="AT")
    page = words(desk.get(reverse("new_shoot") + f"?client={client.pk}"))
    assert (
        'value="AT" id="id_use_places_1" checked' in page.replace(' class=""', "")
        or "checked" in page.split('value="AT"')[1][:60]
    )


def test_a_wrong_shoot_keeps_what_was_typed(desk):
    form = {
        "client": ClientFactory().pk,
        "title": "Winter menu",
        "first_on": "14 Nov 2026",
        "last_on": "1 Nov 2026",
        "version": "1",
        **USE,
    }
    answer = desk.post(reverse("new_shoot"), form)
    assert answer.status_code == 422
    assert "1 Nov 2026" in words(answer)
    assert "last day lies before the first" in words(answer)
    assert not Shoot.objects.exists()


def test_a_shoot_goes_on_by_the_buttons_of_its_page(desk):
    shoot = ShootFactory(state="enquiry", first_on=date(2026, 10, 27))
    ShootFactory(state="confirmed", title="Rye week", first_on=date(2026, 10, 27))
    answer = desk.post(reverse("pencil_shoot", args=[shoot.pk]), {"h-held_until": "5 Nov 2026"}, follow=True)
    assert "On the same day: Rye week" in words(answer)
    assert "until 5 Nov 2026, in 8 days" in words(answer)
    desk.post(reverse("release_hold", args=[shoot.pk]))
    desk.post(reverse("confirm_shoot", args=[shoot.pk]))
    assert desk.post(reverse("mark_shot", args=[shoot.pk]), {"s-shot_on": "29 Oct 2026"}).status_code == 422
    desk.post(reverse("mark_shot", args=[shoot.pk]), {"s-shot_on": "27 Oct 2026"})
    shoot.refresh_from_db()
    assert (shoot.state, shoot.shot_on) == ("shot", date(2026, 10, 27))
    desk.post(reverse("use_correction_round", args=[shoot.pk]), {"once": str(uuid.uuid4())})
    desk.post(reverse("take_back_shot", args=[shoot.pk]))
    shoot.refresh_from_db()
    assert (shoot.state, shoot.corrections_used) == ("confirmed", 1)
    assert shoot.moves.first().by == "owner"


def test_a_hold_in_the_past_is_refused_on_the_page_itself(desk):
    shoot = ShootFactory()
    answer = desk.post(reverse("pencil_shoot", args=[shoot.pk]), {"h-held_until": "1 Oct 2026"})
    assert answer.status_code == 422
    assert "This day is past" in words(answer)


def test_a_stale_button_gets_three_sentences_and_changes_nothing(desk):
    shoot = ShootFactory(state="cancelled")
    answer = desk.post(reverse("confirm_shoot", args=[shoot.pk]))
    assert answer.status_code == 409
    assert "This shoot is cancelled and cannot become confirmed." in words(answer)
    assert not shoot.moves.exists()


def test_a_shoot_is_cancelled_with_a_reason_and_postponed_with_or_without_a_day(desk):
    off, later = ShootFactory(state="confirmed"), ShootFactory(state="confirmed")
    assert desk.post(reverse("cancel_shoot", args=[off.pk]), {"reason": ""}).status_code == 422
    desk.post(reverse("cancel_shoot", args=[off.pk]), {"reason": "Kitchen flooded"})
    desk.post(reverse("postpone_shoot", args=[later.pk]), {"new_first_on": "9 Jan 2027"})
    off.refresh_from_db()
    later.refresh_from_db()
    assert (off.state, later.state, later.first_on) == ("cancelled", "postponed", date(2027, 1, 9))


def test_what_the_client_said_about_selling_on_is_written_down(desk):
    shoot = ShootFactory()
    desk.post(
        reverse("selling_on", args=[shoot.pk]), {"selling_on": "after", "after": "28 Feb 2027", "note": "Maro by phone"}
    )
    assert "After 28 Feb 2027." in words(desk.get(reverse("shoot_page", args=[shoot.pk])))


def test_a_brief_edited_by_two_people_is_not_overwritten(desk):
    shoot = ShootFactory()
    form = {"client": shoot.client_id, "title": "Winter menu", "version": "1", "first_on": "15 Nov 2026", **USE}
    assert desk.post(reverse("edit_shoot", args=[shoot.pk]), form).status_code == 302
    answer = desk.post(reverse("edit_shoot", args=[shoot.pk]), {**form, "title": "Winter menu again"})
    assert answer.status_code == 422
    assert "Winter menu again" in words(answer)
    shoot.refresh_from_db()
    assert (shoot.title, shoot.first_on, shoot.use_media) == ("Winter menu", date(2026, 11, 15), ["web.own"])


def test_dishes_are_added_moved_edited_and_removed(desk):
    shoot = ShootFactory()
    key = str(uuid.uuid4())
    for _ in range(2):
        desk.post(reverse("add_dish", args=[shoot.pk]), {"names": "Bread boat; Bean stew", "once": key})
    assert shoot.dishes.count() == 2
    assert desk.post(reverse("add_dish", args=[shoot.pk]), {"names": " "}).status_code == 422
    stew = shoot.dishes.get(name="Bean stew")
    desk.post(reverse("move_dish", args=[stew.pk]), {"way": "up"})
    assert shoot.dishes.first() == stew
    stew.refresh_from_db()
    told = {"name": "Bean stew in clay", "allergens": "", "allergens_told_by": "Maro Lantadze", "version": "1"}
    assert desk.post(reverse("edit_dish", args=[stew.pk]), told).headers["Location"].endswith("#dishes")
    assert "No allergen named by Maro Lantadze" in words(desk.get(reverse("shoot_page", args=[shoot.pk])))
    desk.post(reverse("remove_dish", args=[stew.pk]))
    assert shoot.dishes.get().name == "Bread boat"


def test_pictures_are_wanted_moved_edited_left_out_and_taken_up(desk):
    shoot = ShootFactory()
    dish = DishFactory(shoot=shoot)
    desk.post(
        reverse("want_pictures", args=[shoot.pk]),
        {"w-titles": "From above\nFrom the side", "w-dish": dish.pk, "w-orientation": "upright", "w-purpose": "Menu"},
    )
    first, second = shoot.agreed_pictures.all()
    assert (first.dish, first.orientation, first.purpose) == (dish, "upright", "Menu")
    desk.post(reverse("move_agreed_picture", args=[first.pk]), {"way": "down"})
    assert list(shoot.agreed_pictures.all()) == [second, first]
    form = {"title": "Cut open", "orientation": "square", "version": "1", "crop": "1:1", "space_for_type": "foot"}
    assert desk.post(reverse("edit_agreed_picture", args=[first.pk]), form).status_code == 302
    assert desk.post(reverse("edit_agreed_picture", args=[first.pk]), form).status_code == 422
    desk.post(reverse("leave_out_picture", args=[first.pk]))
    assert "Left out" in words(desk.get(reverse("shoot_page", args=[shoot.pk])))
    desk.post(reverse("take_up_picture", args=[first.pk]))
    first.refresh_from_db()
    assert (first.state, first.crop, first.space_for_type) == ("wanted", "1:1", "foot")
    assert "Square, 1:1, space for type at the foot" in words(desk.get(reverse("shoot_page", args=[shoot.pk])))
    assert desk.post(reverse("want_pictures", args=[shoot.pk]), {"w-titles": ""}).status_code == 422


def test_people_get_parts_known_or_new(desk):
    shoot, known = ShootFactory(), PersonFactory()
    desk.post(reverse("give_part", args=[shoot.pk]), {"p-person": known.pk, "p-part": "cook", "p-from_time": "8"})
    desk.post(
        reverse("give_part", args=[shoot.pk]),
        {"p-name": "Ivo Pellander", "p-phone": "+49 30 5550188", "p-part": "kitchen_hand"},
    )
    assert Person.objects.get(name="Ivo Pellander").shoot_parts.get().part == "kitchen_hand"
    row = shoot.people.get(person=known)
    desk.post(reverse("give_part", args=[shoot.pk]), {"p-person": known.pk, "p-part": "decides"})
    answer = desk.post(reverse("edit_part", args=[row.pk]), {"part": "decides"})
    assert answer.status_code == 422
    assert "already" in words(answer)
    desk.post(reverse("edit_part", args=[row.pk]), {"part": "food_stylist", "brings": "Tweezers"})
    row.refresh_from_db()
    assert (row.part, row.brings) == ("food_stylist", "Tweezers")
    desk.post(reverse("take_part_away", args=[row.pk]))
    assert shoot.people.count() == 2
    assert desk.post(reverse("give_part", args=[shoot.pk]), {"p-part": "cook"}).status_code == 422


def test_panels_and_the_list_show_the_shoots_that_belong_there(desk):
    row = ShootPersonFactory(shoot=ShootFactory(title="Winter menu"))
    shoot = row.shoot
    AgreedPictureFactory(shoot=shoot)
    for name, pk in (
        ("client_shoots_panel", shoot.client_id),
        ("kitchen_shoots_panel", shoot.kitchen_id),
        ("person_shoots_panel", row.person_id),
    ):
        assert "Winter menu" in words(desk.get(reverse(name, args=[pk])))
    assert "Next: Winter menu" in words(desk.get(reverse("shoots")))
    assert "No shoot fits" in words(desk.get(reverse("shoots") + "?text=zzz"))
    assert "Winter menu" in words(desk.get(reverse("shoots") + f"?client={shoot.client_id}"))


def test_the_use_is_read_back_as_a_sentence_while_it_is_chosen(desk):
    url = reverse("use_preview")
    assert "Own promotion of Walnut Lantern: website" in words(desk.get(url, {**USE, "licensee": "Walnut Lantern"}))
    assert "Own promotion of the client" in words(
        desk.get(url, {f"A-{name}": value for name, value in USE.items()} | {"prefix": "A"})
    )
    assert "at least one medium" in words(desk.get(url, {**USE, "use_media": []}))


def test_the_accountant_and_strangers_see_no_shoots(accountant, client_for):
    shoot = ShootFactory()
    for name, args in (("shoots", []), ("shoot_page", [shoot.pk]), ("new_shoot", [])):
        assert client_for(accountant).get(reverse(name, args=args)).status_code == 403
        assert client_for(None).get(reverse(name, args=args)).status_code == 302
    assert client_for(accountant).post(reverse("confirm_shoot", args=[shoot.pk])).status_code == 403


def test_an_assistant_may_work_on_a_shoot(assistant, client_for):
    shoot = ShootFactory()
    assert client_for(assistant).post(reverse("confirm_shoot", args=[shoot.pk])).status_code == 302


@pytest.mark.parametrize(
    ("page", "named"),
    [("new_shoot", "client"), ("new_kitchen", "client"), ("new_journey", "shoot"), ("new_expense", "shoot")],
)
def test_an_address_that_names_what_can_be_no_row_opens_the_empty_form(desk, page, named):
    for key in ("9" * 30, "²", "one"):
        assert desk.get(reverse(page) + f"?{named}={key}").status_code == 200
