from datetime import date

import pytest

from shoots.asking.addresses import InvalidPick, day_word, pictures_word, read_pictures, read_supposed, suppose_word
from shoots.asking.changes import Change, Place


def test_pictures_are_read_in_any_writing_each_once():
    assert read_pictures(["3,1", "3", "", " 7 "]) == [3, 1, 7]
    assert read_pictures([pictures_word([3, 1])]) == [3, 1]


@pytest.mark.parametrize("word", ["x", "-1", "1.5", "²", "9" * 16])
def test_what_names_no_picture_is_refused(word):
    with pytest.raises(InvalidPick, match="names no picture"):
        read_pictures([word])


def test_what_is_supposed_is_read_back_and_words_of_the_use_are_not_supposed():
    changes = (Change(Place.RELEASE, who="kitchen-4"), Change(Place.LOOK), Change(Place.COMMISSION, who="9"))
    assert read_supposed(map(suppose_word, changes)) == changes
    assert read_supposed(["first:", "nonsense", "release:" + "9" * 50]) == ()


def test_a_day_is_written_as_a_form_reads_it():
    assert (day_word(date(2027, 1, 2)), day_word(None)) == ("2027-01-02", "")
