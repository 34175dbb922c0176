from shoots.plan.forms import cue_choices


def test_cues_are_said_in_both_languages():
    assert ("now", "now / jetzt") in [(key, words.lower()) for key, words in cue_choices("en", "de")]
