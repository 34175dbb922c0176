from PIL import ImageStat

from studio.demo.dishes import DISHES, whirl, within
from studio.demo.paint import Scene


def painted(subject, seed=1):
    scene = Scene(180, 120, seed)
    DISHES[subject](scene)
    return scene.image


def test_no_two_subjects_look_alike():
    assert len({painted(subject).tobytes() for subject in DISHES}) == len(DISHES)


def test_the_oven_is_dark_and_the_yolk_bright():
    assert ImageStat.Stat(painted("boat-oven")).mean[2] < ImageStat.Stat(painted("boat")).mean[2]


def test_places_within_a_circle_stay_in_it():
    assert all(x * x + y * y <= 100.0001 for x, y in within(Scene(30, 20, 1), (0, 0), 10, 200))


def test_a_whirl_grows_from_its_start_to_its_end():
    spiral = whirl(2, 10, 50)
    assert (round(spiral[0][0]), round((spiral[-1][0] ** 2 + spiral[-1][1] ** 2) ** 0.5)) == (10, 50)
