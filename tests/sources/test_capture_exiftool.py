"""Capture time and size of pictures, read by us and by ExifTool from the same bytes.

Source: ExifTool (the program on this machine, told by `exiftool -ver`; 12.57 when this was written), `-n -j`, its tags DateTimeOriginal,
SubSecTimeOriginal, OffsetTimeOriginal, the composite SubSecDateTimeOriginal, ImageWidth, ImageHeight and Orientation (1 to 8: 5 to 8
stand on their side). The tags are written by ExifTool too, so Pillow, which reads them for us, has no part in the witness.
"""

import json
import shutil
import subprocess
from datetime import UTC, datetime

import pytest
from PIL import Image

from shoots.pictures.reading import read_capture
from studio import bootstrap

FORMATS = {"jpg": "JPEG", "tif": "TIFF", "png": "PNG", "webp": "WEBP"}
WIDE, HIGH = 60, 40

# What is written; then the moment in UTC (by the camera's clock where the zone is not known), and whether its zone is known.
TIMES = {
    "no_date": ({}, None, False),
    "date_of_a_scan_only": ({"CreateDate": "2026:11:14 12:40:05"}, None, False),
    "no_zone": ({"DateTimeOriginal": "2026:11:14 12:40:05"}, "2026-11-14 12:40:05", False),
    "zone": ({"DateTimeOriginal": "2026:11:14 12:40:05", "OffsetTimeOriginal": "+01:00"}, "2026-11-14 11:40:05", True),
    "zone_of_the_other_date": (
        {"DateTimeOriginal": "2026:11:14 12:40:05", "OffsetTime": "+01:00"}, "2026-11-14 12:40:05", False
    ),
    "half_an_hour_west": (
        {"DateTimeOriginal": "2026:12:31 23:10:00", "OffsetTimeOriginal": "-03:30"}, "2027-01-01 02:40:00", True
    ),
    "far_east": (
        {"DateTimeOriginal": "2026:01:01 08:00:00", "OffsetTimeOriginal": "+14:00"}, "2025-12-31 18:00:00", True
    ),
    "leap_day": ({"DateTimeOriginal": "2024:02:29 23:59:59"}, "2024-02-29 23:59:59", False),
    "before_1970": (
        {"DateTimeOriginal": "1962:07:20 09:15:30", "OffsetTimeOriginal": "+01:00"}, "1962-07-20 08:15:30", True
    ),
    "parts_of_a_second": (
        {"DateTimeOriginal": "2026:11:14 12:40:05", "SubSecTimeOriginal": "05"}, "2026-11-14 12:40:05.05", False
    ),
    "parts_and_zone": (
        {"DateTimeOriginal": "2026:11:14 12:40:05", "SubSecTimeOriginal": "987", "OffsetTimeOriginal": "-05:00"},
        "2026-11-14 17:40:05.987", True
    ),
}  # fmt: skip
TURNED = {f"turned_{number}": number for number in range(1, 9)}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Every case in every format that is taken in, its tags written by ExifTool."""
    if shutil.which("exiftool") is None:
        pytest.fail(
            f"There is no ExifTool. Run\n    {bootstrap.line_to_type('exiftool')}\nthen the same command again."
        )
    folder = tmp_path_factory.mktemp("captured")
    cases = {case: tags for case, (tags, _, _) in TIMES.items()} | {c: {"Orientation": n} for c, n in TURNED.items()}
    orders = []
    for case, tags in cases.items():
        for ending, kind in FORMATS.items():
            file = folder / f"{case}.{ending}"
            Image.new("RGB", (WIDE, HIGH), (118, 118, 118)).save(file, kind)
            if tags:
                written = [f"-EXIF:{tag}={value}" for tag, value in tags.items()]
                orders += ["-n", "-overwrite_original", *written, str(file), "-execute"]
    _exiftool("-@", "-", typed="\n".join(orders))
    return folder


@pytest.fixture(scope="module")
def witness(folder):
    """What ExifTool says of each file, by the file's name."""
    return {said["SourceFile"].rpartition("/")[2]: said for said in json.loads(_exiftool("-j", "-n", str(folder)))}


def _exiftool(*order: str, typed: str | None = None) -> str:
    return subprocess.run(["exiftool", *order], input=typed, capture_output=True, text=True, check=True).stdout


def _moment_said(said: dict) -> tuple[datetime | None, bool]:
    text = said.get("SubSecDateTimeOriginal") or said.get("DateTimeOriginal")
    if text is None:
        return None, False
    has_zone = "OffsetTimeOriginal" in said
    pattern = "%Y:%m:%d %H:%M:%S" + (".%f" if "." in text else "") + ("%z" if has_zone else "")
    moment = datetime.strptime(text, pattern)
    return moment.astimezone(UTC) if has_zone else moment.replace(tzinfo=UTC), has_zone


@pytest.mark.parametrize("ending", FORMATS)
@pytest.mark.parametrize("case", TIMES)
def test_the_capture_time_is_the_one_that_exiftool_reads(case, ending, folder, witness):
    _, moment, is_zone_known = TIMES[case]
    expected = (moment and datetime.fromisoformat(moment).replace(tzinfo=UTC), is_zone_known)
    file = folder / f"{case}.{ending}"
    capture = read_capture(file.read_bytes())
    assert _moment_said(witness[file.name]) == expected, f"ExifTool {_exiftool('-ver').strip()} says otherwise"
    assert (capture.taken_at, capture.is_zone_known) == expected


@pytest.mark.parametrize("ending", FORMATS)
@pytest.mark.parametrize("case", TURNED)
def test_the_size_is_the_one_that_exiftool_reads_turned_upright(case, ending, folder, witness):
    file = folder / f"{case}.{ending}"
    said = witness[file.name]
    assert (said["ImageWidth"], said["ImageHeight"], said["Orientation"]) == (WIDE, HIGH, TURNED[case])
    upright = (HIGH, WIDE) if said["Orientation"] >= 5 else (WIDE, HIGH)
    capture = read_capture(file.read_bytes())
    assert (capture.width, capture.height) == upright
