from shared.evidence.models import Evidence


def test_a_record_is_named_in_words_not_by_its_code() -> None:
    said = [Evidence(kind=kind).in_words for kind in ("lapse_set", "begin_taken_back", "signed")]
    assert said == ["Last day to pay set", "Begin taken back", "Signed"]
