from datetime import UTC, date, datetime, time, timedelta

import pytest
from django.db import IntegrityError, transaction

from shared.business.models import Language
from shared.links.models import PrivateLink
from shared.outbox.models import Message
from shoots.brief.models import AgreedPicture, Part
from shoots.plan.actions import (
    ShotInUse,
    add_grey_cards,
    add_shots,
    call_back_cook_sheet,
    change_shot,
    leave_unasked_shots,
    make_cook_sheet_link,
    make_shot_list,
    move_shot,
    remove_shot,
    say_nothing_substituted,
    send_call_sheet,
    send_cook_sheet,
    set_planned_times,
    set_shot_state,
    take_up_shots,
    tell_allergens,
)
from shoots.plan.models import Shot
from shoots.plan.queries import shoot_for_sheets, shots_to_come
from shoots.recipes.actions import add_moment, add_own_kind, join_step, remove_step
from tests.factories.clients import PersonFactory
from tests.factories.plan import ShotFactory, dish_read, planned_shoot
from tests.factories.releases import shoot_with_cook
from tests.factories.shoots import AgreedPictureFactory, ShootPersonFactory

pytestmark = pytest.mark.django_db

AT = datetime(2026, 11, 12, 8, 0, tzinfo=UTC)


def whats(dish):
    return [moment.what for moment in dish.moments.all()]


def test_allergens_are_kept_as_told_by_somebody():
    dish = dish_read()
    tell_allergens(dish, allergens=["milk", "milk"], told_by="Maro Lantadze", version=1)
    dish.refresh_from_db()
    assert (dish.allergens, dish.allergens_told_by) == (["milk"], "Maro Lantadze")


# The shot list


def test_one_press_drafts_the_list_in_the_order_it_is_taken():
    titles = [shot.title for shot in planned_shoot().shots.all()]
    assert titles[:3] == ["Grey card, first light", "The room", "Ingredients laid out"]
    assert titles[-1] == "Portrait of Maro Lantadze"
    assert titles.index("Lift the lid at the table") < titles.index("Hero, from above")


def test_a_drafted_shot_carries_what_the_cook_and_the_camera_need():
    shot = planned_shoot().shots.get(title="Ladle the stew into four clay pots")
    assert (shot.stage, shot.is_must, shot.angle, shot.distance, shot.light) == (
        "plated",
        True,
        "three-quarter",
        "medium",
        "back-side",
    )
    assert shot.cues == ["slow", "hands_out", "hold"]
    assert shot.hazard == "Hot food, 180 °C"
    assert shot.keep_back.startswith("hero portion chosen")


def test_a_shot_of_an_own_kind_stands_at_the_stage_its_hazards_say():
    shoot = planned_shoot()
    kind = add_own_kind(name="blister", by="Tindra Aldermoor", on=date(2026, 11, 12))
    add_moment(shoot.dishes.get(), what="Blister the pods", action=kind.key, hazards=["hot metal"])
    assert [shot.stage for shot in make_shot_list(shoot)] == ["heat"]


def test_the_second_press_adds_nothing():
    shoot = planned_shoot()
    count = shoot.shots.count()
    assert make_shot_list(shoot) == []
    assert shoot.shots.count() == count


def test_a_moment_kept_later_gets_its_shot_among_those_of_its_dish():
    shoot = planned_shoot()
    add_moment(shoot.dishes.get(), what="Maro tastes from the ladle")
    assert [shot.title for shot in make_shot_list(shoot)] == ["Maro tastes from the ladle"]
    titles = [shot.title for shot in shoot.shots.all()]
    assert titles.index("Lift the lid at the table") < titles.index("Maro tastes from the ladle")
    assert titles.index("Maro tastes from the ladle") < titles.index("Empty set")  # not behind the first spoon


def test_a_flame_kept_later_brings_the_grey_card_of_its_light():
    shoot = planned_shoot()
    add_moment(shoot.dishes.get(), what="Flames rise from the clay", action="flambe", light="dim key", interest=5)
    made = [shot.title for shot in make_shot_list(shoot)]
    assert made == ["Grey card, key light dimmed", "Flames rise from the clay"]
    titles = [shot.title for shot in shoot.shots.all()]
    assert titles.index(made[1]) == titles.index(made[0]) + 1
    assert make_shot_list(shoot) == []


def test_a_shot_taken_off_the_list_does_not_come_back_but_a_moment_does():
    shoot = planned_shoot()
    remove_shot(shoot.shots.get(title="Empty set"))
    assert make_shot_list(shoot) == []
    remove_shot(shoot.shots.get(title="Lift the lid at the table"))
    assert [shot.title for shot in make_shot_list(shoot)] == ["Lift the lid at the table"]


def test_shots_written_by_hand_first_take_nothing_from_the_always_wanted():
    """Whoever notes one idea before the recipe is read still gets heroes, safety frames and the portrait."""
    shoot = shoot_with_cook()
    dish = dish_read(shoot)
    [idea] = add_shots(shoot, titles=["Clay in a row"], dish=dish)
    add_shots(shoot, titles=["Street at dusk"])
    made = {shot.kind for shot in make_shot_list(shoot)}
    assert made >= {"hero", "safety", "hero above", "empty set", "ingredients", "room", "portrait", "grey card"}
    assert [shot.title for shot in shoot.shots.all()][-1] == "Portrait of Maro Lantadze"
    assert idea in shoot.shots.all()
    assert make_shot_list(shoot) == []


def test_a_grey_card_for_a_light_takes_nothing_from_the_shots_of_the_day():
    shoot = shoot_with_cook()
    add_grey_cards(shoot, [("first light", 0)])
    assert [shot.title for shot in make_shot_list(shoot)] == ["The room", "Portrait of Maro Lantadze"]


def test_two_moments_of_one_kind_in_one_step_or_in_none_each_get_their_shot():
    """As they stand after two steps were joined, or taken out."""
    shoot = shoot_with_cook()
    dish = dish_read(shoot, text="Twice\n\nMethod\n\n1. Pour the milk over.\n2. Pour the honey over.\n")
    first = dish.recipe.steps.first()
    join_step(first)
    titles = [coming.draft.title for coming in shots_to_come(shoot, []) if coming.moment]
    assert titles == ["Pour the milk over", "Pour the honey over"]
    first.refresh_from_db()
    remove_step(first)
    titles = [coming.draft.title for coming in shots_to_come(shoot, []) if coming.moment]
    assert titles == ["Pour the milk over", "Pour the honey over"]


def test_a_promised_picture_is_joined_to_its_shot_or_gets_one_of_its_own():
    shoot = planned_shoot()
    assert shoot.shots.get(agreed_pictures__isnull=False).title == "Hero, from above"
    wanted = AgreedPictureFactory(shoot=shoot, title="Lantern at the window")
    AgreedPictureFactory(shoot=shoot, title="Old cellar", state=AgreedPicture.State.LEFT_OUT)
    assert [shot.title for shot in make_shot_list(shoot)] == ["Lantern at the window"]
    assert wanted.shots.get().title == "Lantern at the window"
    assert shoot.shots.last().kind == "portrait"  # the cook’s portrait closes the day, whatever comes after it


def test_shots_are_added_one_a_line_behind_those_of_their_dish():
    shoot = planned_shoot()
    add_shots(shoot, titles=["Smoke over the pot", "Ladle at rest"], dish=shoot.dishes.get())
    add_shots(shoot, titles=["Street at dusk"])
    titles = [shot.title for shot in shoot.shots.all()]
    assert titles[-4:] == ["Smoke over the pot", "Ladle at rest", "Street at dusk", "Portrait of Maro Lantadze"]


def test_a_shot_is_changed_moved_and_ticked():
    shoot = planned_shoot()
    first, second = shoot.shots.all()[:2]
    picture = AgreedPictureFactory(shoot=shoot)
    first.title = "Grey card at the window"
    change_shot(first, fields=["title"], version=1, pictures=[picture])
    move_shot(first, places=1)
    set_shot_state(second, state="skipped")
    assert [shot.title for shot in shoot.shots.all()[:2]] == [second.title, "Grey card at the window"]
    assert picture.shots.get() == first
    assert Shot.objects.get(pk=second.pk).state == "skipped"


def test_a_shot_with_marks_from_the_set_stays_on_the_list():
    shot = ShotFactory()
    shot.takes.create(outcome="done", at=AT)
    with pytest.raises(ShotInUse):
        remove_shot(shot)


# Sheets


def sheets(shoot):
    return shoot_for_sheets(shoot.pk).get()


def test_the_cooks_sheet_goes_out_with_its_paper_and_one_open_link():
    shoot = sheets(planned_shoot())
    first = send_cook_sheet(shoot, email="maro@walnut-lantern.example", at=AT)
    second = send_cook_sheet(shoot, email="maro@walnut-lantern.example", at=AT)
    first.refresh_from_db()
    assert first.called_back_at == AT
    assert second.expires_at == AT + timedelta(days=62)  # two days to go, and sixty
    message = Message.objects.latest("pk")
    assert (message.to, message.language) == ("maro@walnut-lantern.example", "de")
    assert message.attachments.get().read_bytes().startswith(b"%PDF")


def test_the_link_is_made_by_hand_and_called_back():
    shoot = sheets(planned_shoot())
    make_cook_sheet_link(shoot, at=AT)
    assert call_back_cook_sheet(shoot, at=AT) == 1
    assert not PrivateLink.objects.filter(called_back_at=None).exists()


def test_the_call_sheet_goes_to_everyone_with_an_address_in_their_language():
    shoot = shoot_with_cook()
    hand = PersonFactory(name="Ivo Pellander", language=Language.ENGLISH, email="ivo@walnut-lantern.example")
    silent = PersonFactory(email="")
    for person in (hand, silent):
        ShootPersonFactory(shoot=shoot, person=person, part=Part.KITCHEN_HAND)
    shoot = sheets(shoot)
    sent = send_call_sheet(shoot, people=[row.person for row in shoot.people.all()], at=AT)
    assert sent == 2
    assert set(Message.objects.values_list("to", "language")) == {
        ("maro@walnut-lantern.example", "de"),
        ("ivo@walnut-lantern.example", "en"),
    }


def test_planned_times_are_written_onto_the_shots_of_one_shoot():
    shoot, other = planned_shoot(), ShotFactory()
    first, second, *_ = shoot.shots.all()
    assert set_planned_times(shoot, {first.pk: time(9, 45), other.pk: time(10)}) == 1
    assert set_planned_times(shoot, {first.pk: time(9, 45)}) == 0
    assert set_planned_times(shoot, {first.pk: time(9, 45)}, day=2) == 1
    first.refresh_from_db()
    assert (first.planned_day, first.planned_time) == (2, time(9, 45))
    first.refresh_from_db()
    other.refresh_from_db()
    assert (first.planned_time, first.version, second.planned_time, other.planned_time) == (time(9, 45), 3, None, None)


# Shots nobody asked for, and what was substituted


def test_one_press_leaves_what_nobody_asked_for_and_one_brings_it_back():
    shoot = planned_shoot()
    served = shoot.shots.get(title="Tight detail")
    served.agreed_pictures.add(AgreedPictureFactory(shoot=shoot))
    by_hand = set_shot_state(shoot.shots.get(title="The room"), state="skipped")
    done = set_shot_state(shoot.shots.get(title="First cut or spoon"), state="done")
    asked = {shot.pk for shot in shoot.shots.filter(is_must=True)} | {served.pk, by_hand.pk, done.pk}
    unasked = set(shoot.shots.values_list("pk", flat=True)) - asked
    assert unasked
    assert leave_unasked_shots(shoot) == len(unasked)
    assert set(shoot.shots.filter(left_for_time=True, state="skipped").values_list("pk", flat=True)) == unasked
    assert leave_unasked_shots(shoot) == 0
    assert take_up_shots(shoot) == len(unasked)
    assert take_up_shots(shoot) == 0
    by_hand.refresh_from_db()
    assert by_hand.state == "skipped"
    assert set(shoot.shots.filter(pk__in=unasked).values_list("state", "left_for_time")) == {("planned", False)}


def test_a_shot_left_for_time_and_skipped_again_by_hand_stays_skipped():
    shoot = planned_shoot()
    leave_unasked_shots(shoot)
    left = shoot.shots.filter(left_for_time=True).first()
    set_shot_state(left, state="planned")
    set_shot_state(left, state="skipped")
    take_up_shots(shoot)
    left.refresh_from_db()
    assert left.state == "skipped"


def test_nothing_is_an_answer_and_never_writes_over_one():
    shot = ShotFactory()
    say_nothing_substituted(shot)
    shot.refresh_from_db()
    assert (shot.substitution, shot.version) == ("nothing", 2)
    told = ShotFactory(substitution="something", substituted_what="Ice cream")
    say_nothing_substituted(told)
    told.refresh_from_db()
    assert told.substitution == "something"


def test_what_was_substituted_is_named_or_is_no_row():
    with pytest.raises(IntegrityError), transaction.atomic():
        ShotFactory(substitution="something")


def test_a_grey_card_stands_before_the_shot_its_light_begins_with():
    shoot = planned_shoot()
    hero = shoot.shots.get(title="Hero, three-quarter")
    set_planned_times(shoot, {hero.pk: time(16, 30)})
    [card] = add_grey_cards(shoot, [("lamp", hero.pk), ("lamp", hero.pk)])
    assert (card.planned_time, card.kind) == (time(16, 30), "grey card")
    titles = [shot.title for shot in shoot.shots.all()]
    assert titles.index("Grey card, lamp") == titles.index("Hero, three-quarter") - 1
    assert add_grey_cards(shoot, [("lamp", 0)]) == []


def test_a_drafted_shot_carries_its_kind_motion_frame_and_hold_back():
    shoot = planned_shoot()
    kinds = list(shoot.shots.exclude(kind="moment").values_list("kind", flat=True))
    assert kinds == [
        "grey card", "room", "ingredients", "empty set", "hero", "safety", "hero above", "safety above", "detail", "first cut", "portrait",
    ]  # fmt: skip
    fry = shoot.shots.get(moment__action="fry")
    assert (fry.motion, fry.kind) == ("freeze", "moment")
    assert shoot.shots.get(kind="safety").frame_mm == 470
    assert shoot.shots.get(kind="hero").is_hero


def test_no_two_shots_of_a_dish_have_one_title():
    shoot = planned_shoot()
    dish = shoot.dishes.get()
    for _ in range(2):
        add_moment(dish, what="hero, from above")
    make_shot_list(shoot)
    titles = [title.casefold() for title in shoot.shots.filter(dish=dish).values_list("title", flat=True)]
    assert len(set(titles)) == len(titles)
    assert {"hero, from above, second time", "hero, from above, third time"} <= set(titles)
