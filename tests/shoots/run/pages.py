from django.urls import reverse

from tests.factories.plan import planned_shoot
from tests.house.pages import Deed, Page, Paper


def _path(name, *more):
    return lambda rows: reverse(name, args=[planned_shoot(max(rows, 1)).pk, *more])


PAGES = {
    "run_of_day": Page(_path("run_of_day"), lists=True),
    "improve_run": Deed(_path("improve_run")),
    "edit_run": Page(_path("edit_run")),
    "edit_run_activity": Page(_path("edit_run_activity", "first")),
    "unpin_run_activity": Deed(_path("unpin_run_activity", "first")),
    "write_run_times": Deed(_path("write_run_times")),
    "run_paper": Paper(_path("run_paper")),
    "run_calendar": Paper(_path("run_calendar")),
}
