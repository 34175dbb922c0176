"""What every test may ask for: people, clients signed in as one of them, and a watched page in a real browser.

The clock is handed in as `at` wherever an action is called; what runs through a page is frozen with time-machine:
`with time_machine.travel(moment, tick=False)` round the request. The browser keeps the real time.
"""

import os
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.conf import settings
from django.db import connection
from django.test import Client
from hypothesis import HealthCheck
from hypothesis import settings as hypothesis_settings

from studio import bootstrap

# Playwright's own loop runs in the thread of the test; Django would refuse every query there.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

# The same examples in every run; `--hypothesis-profile=explore` looks for new ones.
hypothesis_settings.register_profile(
    "repeat", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
hypothesis_settings.register_profile("explore", deadline=None, max_examples=1000)
hypothesis_settings.load_profile("repeat")

# The first group is for a machine whose network is closed; Chromium would ask for hosts at every start.
QUIET = ("--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run")
FLAGS = (*QUIET, "--disable-gpu", "--disable-quic", "--disable-dev-shm-usage")


# --- The books -------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="session", autouse=True)
def emptying_passes_the_triggers() -> None:
    """Emptying tables after a browser test is no deed of the house: what is issued may go with the whole test.

    SQLite has no TRUNCATE, so its flush would meet the triggers that forbid a DELETE. They are set aside for it.
    """
    if connection.vendor != "sqlite":
        return
    operations = type(connection.ops)
    plain_flush = operations.execute_sql_flush

    def flush(self: Any, sql_list: list[str]) -> None:
        with self.connection.cursor() as cursor:
            cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
            triggers = cursor.fetchall()
            for name, _ in triggers:
                cursor.execute(f'DROP TRIGGER "{name}"')
            try:
                plain_flush(self, sql_list)
            finally:
                for _, sql in triggers:
                    cursor.execute(sql)

    operations.execute_sql_flush = flush  # type: ignore[method-assign]


# --- People ----------------------------------------------------------------------------------------------------------


def _person(role: str) -> Any:
    from shared.access.models import User

    return User.objects.create_user(
        username=role, email=f"{role}@studio.example", password=f"{role}-pass-2026", role=role
    )


@pytest.fixture
def owner(db: None) -> Any:
    return _person("owner")


@pytest.fixture
def assistant(db: None) -> Any:
    return _person("assistant")


@pytest.fixture
def accountant(db: None) -> Any:
    return _person("accountant")


@pytest.fixture
def client_for() -> Callable[[Any], Client]:
    """A test client, signed in as the person handed over; None is a stranger."""

    def make(person: Any = None) -> Client:
        client = Client()
        if person is not None:
            client.force_login(person)
        return client

    return make


# --- The browser -----------------------------------------------------------------------------------------------------


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    path = bootstrap.chromium()
    if path is None:
        pytest.fail(
            f"There is no Chromium. Run\n    {bootstrap.line_to_type('chromium', 'atomic')}\nthen the same command again."
        )
    flags = [*FLAGS, "--no-sandbox"] if os.geteuid() == 0 else [*FLAGS]  # Chromium refuses its sandbox to root
    return {**browser_type_launch_args, "executable_path": path, "args": flags}


@pytest.fixture(scope="session")
def browser_context_args(browser_context_args: dict[str, Any]) -> dict[str, Any]:
    return {
        **browser_context_args,
        "locale": "en-GB",
        "timezone_id": "Europe/Berlin",
        "viewport": {"width": 1280, "height": 800},
    }


@pytest.fixture
def watch() -> Iterator[Callable[[Any], Any]]:
    """`watch(page)`: the test fails on a script error, a line of error in the console or a refused request of ours."""
    wrong: list[str] = []

    def start(page: Any) -> Any:
        def on_console(message: Any) -> None:
            # A 4xx answer to a form is written to the console too; pages answer with it on purpose.
            if message.type == "error" and "Failed to load resource" not in message.text:
                wrong.append(f"console: {message.text}")

        def on_response(response: Any) -> None:
            is_missing = response.status == 404 and response.request.resource_type != "document"
            if response.status >= 500 or is_missing:
                wrong.append(f"{response.status}: {response.url}")

        page.on("pageerror", lambda error: wrong.append(f"script: {error}"))
        page.on("console", on_console)
        page.on("response", on_response)
        return page

    yield start
    assert not wrong, wrong


@pytest.fixture
def watched(page: Any, watch: Callable[[Any], Any]) -> Any:
    """One page of a stranger's browser, watched."""
    return watch(page)


@pytest.fixture
def sign_in(live_server: Any) -> Callable[[Any, Any], Any]:
    """`sign_in(page, person)`: this browser is that person's from now on, without walking through the log-in page."""

    def start(page: Any, person: Any) -> Any:
        client = Client()
        client.force_login(person)
        name = settings.SESSION_COOKIE_NAME
        page.context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": live_server.url}])
        return page

    return start


@pytest.fixture
def signed_in_page(watched: Any, sign_in: Callable[[Any, Any], Any], owner: Any) -> Any:
    """The owner's browser, watched; open pages with `signed_in_page.goto(live_server.url + path)`."""
    return sign_in(watched, owner)
