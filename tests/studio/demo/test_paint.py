import pytest

from studio.demo.paint import Scene, box, colour, darker, lighter, outline, oval


@pytest.fixture
def scene():
    scene = Scene(150, 100, 1)
    scene.plain((120, 120, 120))
    return scene


def test_a_colour_is_read_from_its_hexadecimal_name():
    assert colour("c67f33") == (198, 127, 51)


def test_the_light_comes_from_ten_o_clock(scene):
    scene.shape(outline(oval(300), at=scene.middle), (120, 120, 120), lit=0.5)
    assert sum(scene.image.getpixel((60, 35))) > sum(scene.image.getpixel((90, 65)))


def test_a_shadow_falls_towards_four_o_clock(scene):
    scene.shape(outline(box(200, 200), at=scene.middle), (120, 120, 120), lit=0, lift=60)
    lower_right, upper_left = scene.image.getpixel((87, 63)), scene.image.getpixel((62, 37))
    assert sum(lower_right) < sum(upper_left)


def test_a_stamp_keeps_its_own_colour_where_it_lets_light_through(scene):
    stamp = scene.stamp(lambda little: little.shape(oval(100), (200, 100, 40), lit=0, see_through=0.5), 120)
    red, green, blue, solid = stamp.getpixel((stamp.width // 2, stamp.height // 2))
    assert (round(red, -1), round(green, -1), round(blue, -1)) == (200, 100, 40)
    assert 120 < solid < 135


def test_lighter_and_darker_go_towards_light_and_shade():
    assert sum(darker((100, 100, 100), 0.3)) < 300 < sum(lighter((100, 100, 100), 0.3))


def test_the_corner_is_marked(scene):
    before = scene.image.crop((75, 70, 150, 100)).tobytes()
    scene.mark("drawn")
    assert scene.image.crop((75, 70, 150, 100)).tobytes() != before


def test_a_picture_that_comes_closer_shows_less():
    assert Scene(150, 100, 1, zoom=2).width == Scene(150, 100, 1).width / 2
