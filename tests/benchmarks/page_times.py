"""Prints how long each page takes at demo size, as a ratio to an empty signed-in page. It judges nothing.

    .venv/bin/python -m tests.benchmarks.page_times

The pages are those of `tests/house/pages.py`, their rows the demo's own. The books are made for this one run, in a folder that is
gone when it ends. On a slow machine the demo takes some minutes to load; `--pictures 20` is for a quick try.
"""

import argparse
import os

import django


def main() -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"  # whatever the environment names, nobody's own books
    os.environ.pop("DATABASE_URL", None)  # SQLite works in this process, whose time is measured
    django.setup()
    from django.conf import settings
    from django.test import override_settings
    from django.test.utils import setup_databases, teardown_databases
    from django.utils import timezone

    from studio.demo.actions import load_demo, prepare_log_ins
    from studio.demo.jobs import PICTURES_IN_ALL
    from studio.demo.year import ZONE
    from tests.benchmarks.walk import report
    from tests.house import pages

    words = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    words.add_argument("--pictures", type=int, default=PICTURES_IN_ALL, help="pictures of the demo (%(default)s)")
    words.add_argument("--rounds", type=int, default=15, help="times each page is opened (%(default)s)")
    chosen = words.parse_args()
    books = setup_databases(verbosity=0, interactive=False, serialized_aliases=[])
    try:
        with override_settings(MAIL_ADDRESS=""):  # invented people get no mail either
            log_ins, _ = prepare_log_ins(settings.DATA_FOLDER)
            load_demo(on=timezone.now().astimezone(ZONE).date(), log_ins=log_ins, pictures=chosen.pictures)
            print(*report(pages.pick(pages.Page) | pages.pick(pages.Panel), rounds=chosen.rounds), sep="\n")
    finally:
        teardown_databases(books, verbosity=0)


if __name__ == "__main__":
    main()
