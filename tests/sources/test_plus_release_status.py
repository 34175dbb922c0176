"""Release status words of the PLUS Licence Data Format.

Source: ExifTool 12.57, lib/Image/ExifTool/PLUS.pm, "PLUS License Data Format 1.2.1 structures", tags ModelReleaseStatus and
PropertyReleaseStatus (a reading of useplus.com's standard, not the standard itself). The values below are copied from there.
"""

from itertools import product

from shoots.releases.clearance import ReleaseTerms, Subject, release_status

MODEL_RELEASE_STATUS = {
    "MR-NON": "None",
    "MR-NAP": "Not Applicable",
    "MR-UMR": "Unlimited Model Releases",
    "MR-LMR": "Limited or Incomplete Model Releases",
}
PROPERTY_RELEASE_STATUS = {
    "PR-NON": "None",
    "PR-NAP": "Not Applicable",
    "PR-UPR": "Unlimited Property Releases",
    "PR-LPR": "Limited or Incomplete Property Releases",
}
UNLIMITED = ReleaseTerms(is_signed=True)
LIMITED = ReleaseTerms(is_signed=True, media=frozenset({"web"}))


def said(prefix):
    for count in range(3):
        for releases in product([None, UNLIMITED, LIMITED], repeat=count):
            subjects = tuple(
                Subject(id=str(place), releases=(release,) if release else ()) for place, release in enumerate(releases)
            )
            yield releases, release_status(subjects, prefix=prefix)


def test_every_status_word_is_in_the_vocabulary_and_each_is_used():
    assert {word for _, word in said("MR")} == set(MODEL_RELEASE_STATUS)
    assert {word for _, word in said("PR")} == set(PROPERTY_RELEASE_STATUS)


def test_each_word_means_what_the_vocabulary_says():
    for releases, word in said("MR"):
        meaning = MODEL_RELEASE_STATUS[word]
        if not releases:
            assert meaning == "Not Applicable"
        elif set(releases) == {None}:
            assert meaning == "None"
        elif set(releases) == {UNLIMITED}:
            assert meaning == "Unlimited Model Releases"
        else:
            assert meaning == "Limited or Incomplete Model Releases"
