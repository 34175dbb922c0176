import io
import zipfile
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.urls import reverse

from tests.factories.shared import BusinessProfileFactory

pytestmark = pytest.mark.django_db(transaction=True)


def test_the_owner_takes_a_backup_and_an_export_away_and_nothing_is_left_behind(client_for: Any, owner: Any) -> None:
    BusinessProfileFactory()
    before = sorted(Path(settings.DATA_FOLDER).iterdir())
    for name, part in (
        ("download_backup", "database.sqlite3"),
        ("download_export", "tables/shared_businessprofile.csv"),
    ):
        answer = client_for(owner).post(reverse(name))
        assert answer["Content-Type"] == "application/zip"
        assert "attachment" in answer["Content-Disposition"]
        with zipfile.ZipFile(io.BytesIO(b"".join(answer.streaming_content))) as archive:
            assert part in archive.namelist()
    assert sorted(Path(settings.DATA_FOLDER).iterdir()) == before


def test_the_page_says_whether_everything_is_whole(client_for: Any, owner: Any) -> None:
    client = client_for(owner)
    assert "no backup in the data folder yet" in client.get(reverse("keep_safe")).content.decode()
    assert "Everything is whole." in client.post(reverse("keep_safe")).content.decode()


def test_nobody_else_takes_the_books_away(client_for: Any, assistant: Any, accountant: Any) -> None:
    for person in (assistant, accountant):
        for name in ("download_backup", "download_export", "keep_safe"):
            assert client_for(person).post(reverse(name)).status_code == 403
