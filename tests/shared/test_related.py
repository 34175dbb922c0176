"""Figures beside a row, on the rows of a shoot: shared holds no two tables that point at one."""

import pytest
from django.db.models import Max, Q

from shared.related import in_order, number_of, reckoned
from shoots.brief.models import AgreedPicture, Dish, Shoot
from tests.factories.shoots import AgreedPictureFactory, DishFactory, ShootFactory

pytestmark = [pytest.mark.both, pytest.mark.django_db]


@pytest.fixture
def shoot():
    shoot = ShootFactory()
    DishFactory.create_batch(2, shoot=shoot)
    AgreedPictureFactory.create_batch(3, shoot=shoot)
    DishFactory()  # of another shoot
    return shoot


def test_two_relations_do_not_multiply_each_other(shoot):
    found = Shoot.objects.annotate(dishes_count=number_of(Shoot.dishes), wanted=number_of(Shoot.agreed_pictures))
    row = found.get(pk=shoot.pk)
    assert (row.dishes_count, row.wanted) == (2, 3)


def test_none_is_nought_and_a_figure_of_none_is_missing():
    lonely = ShootFactory()
    found = Shoot.objects.annotate(count=number_of(Shoot.dishes), last=reckoned(Shoot.dishes, Max("order")))
    row = found.get(pk=lonely.pk)
    assert (row.count, row.last) == (0, None)


def test_it_picks_among_the_rows_and_is_reached_over_another_row(shoot):
    left_out = shoot.agreed_pictures.first()
    AgreedPicture.objects.filter(pk=left_out.pk).update(state=AgreedPicture.State.LEFT_OUT)
    still = number_of(Shoot.agreed_pictures, where=~Q(state=AgreedPicture.State.LEFT_OUT), of="shoot")
    assert set(Dish.objects.filter(shoot=shoot).annotate(still=still).values_list("still", flat=True)) == {2}


def test_rows_come_in_the_order_of_their_keys_and_one_that_is_gone_is_left_out():
    first, second = ShootFactory(), ShootFactory()
    assert in_order(Shoot.objects.all(), iter([second.pk, 0, first.pk])) == [second, first]
    assert in_order(Shoot.objects.all(), []) == []
