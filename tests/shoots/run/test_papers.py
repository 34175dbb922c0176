import subprocess
from datetime import UTC, datetime, time

import pytest

from shoots.run.papers import run_pdf
from shoots.run.queries import plan_as_it_stands, run_day_of, run_page_of, run_sheet_of, shoot_for_run
from tests.factories.plan import planned_shoot

pytestmark = pytest.mark.django_db

AT = datetime(2026, 11, 12, 8, 0, tzinfo=UTC)


def test_the_printed_run_says_when_what_and_who_and_is_tagged(tmp_path):
    shoot = planned_shoot(2)
    shoot.until_time = time(11)
    shoot.save()
    run_day = run_day_of(shoot_for_run(shoot.pk).get())
    sheet = run_sheet_of(run_page_of(run_day, plan_as_it_stands(run_day)), at=AT)
    printed = run_pdf(sheet)
    assert printed == run_pdf(sheet)
    path = tmp_path / "run.pdf"
    path.write_bytes(printed)
    said = " ".join(
        subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout.split()
    )
    for words in (
        "Run of the day",
        "Does not hold",
        "too full",
        "09:00–09:45",
        "Plating and hero: Bean stew in clay 1",
        "Strike and clean",
        "unless the cook says so",
    ):
        assert words in said
    assert "Tagged: yes" in " ".join(
        subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout.split()
    )
