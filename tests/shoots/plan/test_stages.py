import pytest

from shoots.plan.queries import kitchen_lexicon
from shoots.plan.shots import draft_day_shots
from shoots.plan.stages import AT_THE_HEAT, BEFORE_ANY_HEAT, ON_THE_PLATE, stage_of


@pytest.mark.parametrize(
    ("kind", "action", "stage"),
    [
        ("ingredients", None, "ready"),
        ("moment", "knead", "hands"),
        ("moment", "fry", "heat"),
        ("moment", "garnish", "plated"),
        ("moment", None, "hands"),
        ("hero above", None, "plated"),
        ("hands", None, "hands"),
    ],
)
def test_a_shot_stands_in_the_column_of_what_it_shows(kind, action, stage):
    assert stage_of(kind, action) == stage


def test_a_kind_the_table_does_not_have_is_at_the_heat_where_its_hazards_say_so():
    assert stage_of("moment", "kind-3", ("hot oil", "splash")) == "heat"
    assert stage_of("moment", "", ("flame",)) == "heat"
    assert stage_of("moment", "kind-3", ("blade", "hot food")) == "hands"
    assert stage_of("moment", "pour", ("splash", "hot liquid", "steam")) == "hands"  # the table knows it


def test_shots_of_the_day_stand_in_no_column():
    assert {stage_of(draft.kind, None) for draft in draft_day_shots()} == {""}


def test_every_action_named_here_is_in_the_list():
    known = {action.id for action in kitchen_lexicon().actions}
    assert known >= AT_THE_HEAT | ON_THE_PLATE | BEFORE_ANY_HEAT
