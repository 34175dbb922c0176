from shoots.safety.lists import FRAME_LINES, RIG_LINES, line_of, rig_lines


def keys(*texts):
    return [line.key for line in rig_lines(texts)]


EVERY_DAY = ["arm", "lamps", "cables", "floor", "glass", "word", "fire"]


def test_the_rig_is_looked_at_on_every_day():
    assert keys() == EVERY_DAY
    assert "counterweight" in line_of("arm").help.lower()
    assert "camera and arm" in line_of("arm").help
    assert "residual-current device" in line_of("lamps").help


def test_what_the_day_has_brings_its_lines():
    assert keys("hot oil") == [*EVERY_DAY, "fat"]
    assert keys("Hot sugar, 150 °C") == [*EVERY_DAY, "fat"]
    assert keys("flame", "carbon monoxide") == [*EVERY_DAY, "flame", "charcoal"]
    assert keys("Flambé the pears") == [*EVERY_DAY, "flame"]
    assert keys("2 chicken legs", "raw egg") == [*EVERY_DAY, "raw", "poultry"]
    assert keys("Slicing machine by the cold pass", "Steam from the dish lane") == [*EVERY_DAY, "steam", "blades"]
    assert keys("inflamed talk of a stewing hen") == EVERY_DAY


def test_every_line_has_its_own_key_and_a_source():
    lines = (*RIG_LINES, *FRAME_LINES)
    assert len({line.key for line in lines}) == len(lines)
    assert all(line.source and line.help for line in lines)
    assert line_of("poultry").source == "USDA advice of 2019, read second hand"
    assert line_of("nothing") is None
    assert [line.key for line in FRAME_LINES] == ["ceiling", "flicker", "grey", "empty"]
