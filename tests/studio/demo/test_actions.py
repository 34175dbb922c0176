from datetime import date

import pytest

from billing.invoices.models import Invoice
from clients.models import Client
from shared.access.models import User
from shoots.brief.models import Shoot
from shoots.found.models import FoundUse
from shoots.found.queries import answer_of
from shoots.licences.models import Licence
from shoots.pictures.models import Picture
from shoots.releases.models import Release
from studio.demo.actions import demo_is_loaded, finish_load, load_demo, only_one_loads, prepare_log_ins, read_log_ins

pytestmark = pytest.mark.django_db


def test_log_ins_are_kept_for_the_owner_of_the_folder_alone(tmp_path):
    made, was_cut_short = prepare_log_ins(tmp_path)
    assert (read_log_ins(tmp_path), was_cut_short) == (made, False)
    assert (tmp_path / "log-in.txt").stat().st_mode & 0o077 == 0
    assert prepare_log_ins(tmp_path)[1]
    finish_load(tmp_path)
    assert not prepare_log_ins(tmp_path)[1]
    with only_one_loads(tmp_path):
        assert (tmp_path / "loading.lock").exists()


def test_a_believable_year_is_loaded_whole(tmp_path):
    made, _ = prepare_log_ins(tmp_path)
    load_demo(on=date(2026, 11, 12), log_ins=made, pictures=12, width=300, height=200)
    assert demo_is_loaded()
    assert {user.role for user in User.objects.all()} == {"owner", "assistant", "accountant"}
    assert Client.objects.count() >= 12
    assert Shoot.objects.count() >= 30
    assert {shoot.state for shoot in Shoot.objects.all()} == {
        "enquiry", "pencilled", "confirmed", "shot", "delivered", "cancelled", "postponed",
    }  # fmt: skip
    assert all(picture.is_drawn for picture in Picture.objects.all())
    assert {"signed", "offered", "refused", "withdrawn"} <= set(Release.objects.values_list("state", flat=True))
    assert Licence.objects.filter(state__in=("accepted", "paid")).exists()
    assert {answer_of(found)["now"].is_covered for found in FoundUse.objects.all()} == {True, False}
    assert all(found.shots.exists() for found in FoundUse.objects.all())
    assert {"invoice", "deposit", "credit_note"} == set(Invoice.objects.values_list("kind", flat=True))
