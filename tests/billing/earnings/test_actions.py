from decimal import Decimal as D

import pytest

from billing.earnings.actions import forget_worked_days, set_worked_days
from billing.earnings.models import WorkedDays
from shared.edits import EditedMeanwhile
from shared.evidence.models import Evidence
from tests.factories.invoices import MONTH_END
from tests.factories.shoots import ShootFactory

pytestmark = pytest.mark.django_db
DAYS = {"on_set": D(1), "preparation": D("0.5"), "finishing": D(2)}


def test_days_are_kept_changed_and_forgotten_with_evidence():
    shoot = ShootFactory()
    row = set_worked_days(shoot, DAYS, version=0, by="Tindra", at=MONTH_END)
    set_worked_days(shoot, DAYS | {"finishing": D(3)}, version=row.version, by="Tindra", at=MONTH_END)
    assert WorkedDays.objects.get().finishing == 3
    assert forget_worked_days(shoot, by="Tindra", at=MONTH_END)
    assert not forget_worked_days(shoot, by="Tindra", at=MONTH_END)
    kinds = Evidence.objects.filter(subject=f"shoot:{shoot.pk}").order_by("seq").values_list("kind", flat=True)
    assert list(kinds)[-3:] == ["worked_days.set", "worked_days.set", "worked_days.forgotten"]


def test_the_second_of_two_people_is_told():
    shoot = ShootFactory()
    set_worked_days(shoot, DAYS, version=0, by="Tindra", at=MONTH_END)
    with pytest.raises(EditedMeanwhile):
        set_worked_days(shoot, DAYS | {"on_set": D(9)}, version=0, by="Tindra", at=MONTH_END)
    assert WorkedDays.objects.get().on_set == 1
