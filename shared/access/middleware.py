"""Stands before and behind every view: the doors, and the pages that say what could not be done."""

import errno
import logging
from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import RequestDataTooBig
from django.db import OperationalError
from django.http import HttpRequest, HttpResponseBase
from django.utils import timezone

from shared.access.doors import Door
from shared.access.pages import sentences_page, signed_out_page
from shared.business.queries import BusinessClock, profiles_read_once
from shared.errors import Refusal

Answer = Callable[[HttpRequest], HttpResponseBase]
log = logging.getLogger("django.request")

# A form may carry several pictures; each file is measured again when it is kept.
LARGEST_REQUEST = 10 * settings.LARGEST_UPLOAD


class DoorShut(Refusal):
    """The role of the person signed in does not open this page."""

    status = 403

    def __init__(self, role_name: str) -> None:
        super().__init__(
            f"This page is not open to you. You are signed in as {role_name.lower()}.",
            "Nothing was changed.",
            "Ask the owner of the studio if you need what is on it.",
        )


class OnlyAPress(Refusal):
    """An address that does something was opened like a page, from a bookmark or by loading it again."""

    status = 405

    def __init__(self) -> None:
        super().__init__(
            "This address only takes a press of a button; it is no page.",
            "Nothing was changed.",
            "Go back to the page with the button.",
        )


class DoorMissing(Refusal):
    """A page was built without saying who may open it."""

    status = 403

    def __init__(self) -> None:
        super().__init__(
            "This page is not open to anybody yet.",
            "Nothing was changed.",
            "Go back; whoever looks after this program can open it.",
        )


class RequestTooLarge(Refusal):
    """More was sent at once than a form may carry."""

    status = 413

    def __init__(self) -> None:
        largest = settings.LARGEST_UPLOAD // (1024 * 1024)
        super().__init__(
            "More was sent at once than this page takes.",
            "Nothing was saved.",
            f"Go back and send it in smaller parts. One file may have up to {largest} MB.",
        )


class DiskIsFull(Refusal):
    """The machine has no room left."""

    status = 507

    def __init__(self) -> None:
        super().__init__(
            "The disk is full.",
            "What was saved before is kept. What you just sent was not saved.",
            "Make room on the disk, then go back and send it again.",
        )


class BooksBusy(Refusal):
    """Another writer held the database longer than anybody waits."""

    status = 503

    def __init__(self) -> None:
        super().__init__(
            "The books are busy with something else.",
            "What was saved before is kept. What you just sent was not saved.",
            "Wait a minute, then go back and send it again.",
        )


class Doors:
    """Lets a request through only where the view's door opens to it."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        found: Door | None = getattr(request, "door", None)
        if found is not None and found.kind == "link":
            # The address is the key: it goes to nobody else. With "no-referrer" browsers hide the form's own origin too, and no answer could be sent.
            response["Referrer-Policy"] = "same-origin"
        if found is not None:
            response.headers.setdefault("Cache-Control", "no-store")
        return response

    def process_view(self, request: HttpRequest, view: Any, _args: Any, _kwargs: Any) -> HttpResponseBase | None:
        found: Door | None = getattr(view, "door", None)
        if found is None:
            return sentences_page(request, DoorMissing())
        request.door = found  # type: ignore[attr-defined]
        if found.kind != "role":
            return None
        if not request.user.is_authenticated:
            return redirect_to_login(request.get_full_path()) if request.method == "GET" else signed_out_page(request)
        if request.method == "GET" and not found.reads and request.user.role in found.writes:
            return sentences_page(request, OnlyAPress())
        if not found.lets_in(request.user.role, request.method or ""):
            return sentences_page(request, DoorShut(request.user.get_role_display()))
        return None


class ProfileOnce:
    """Reads the business profile once a page, and shows every moment by the business's own clock."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        with profiles_read_once(), timezone.override(BusinessClock()):
            return self.get_response(request)


class RefusalPages:
    """Turns a refusal into the page that says its three sentences; also a full disk and too large a form."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, problem: Exception) -> HttpResponseBase | None:
        if isinstance(problem, Refusal):
            return sentences_page(request, problem)
        if _is_disk_full(problem):
            log.error("The disk is full", exc_info=problem)
            return sentences_page(request, DiskIsFull())
        if isinstance(problem, OperationalError) and "locked" in str(problem):
            log.error("The database was locked for too long", exc_info=problem)
            return sentences_page(request, BooksBusy())
        if isinstance(problem, RequestDataTooBig):
            return sentences_page(request, RequestTooLarge())
        return None


class SizeOfRequest:
    """Refuses too large a request before anything of it is read."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        try:
            size = int(request.META.get("CONTENT_LENGTH") or 0)
        except ValueError:
            size = 0
        return sentences_page(request, RequestTooLarge()) if size > LARGEST_REQUEST else self.get_response(request)


def _is_disk_full(problem: Exception) -> bool:
    if isinstance(problem, OSError):
        return problem.errno in (errno.ENOSPC, errno.EDQUOT)
    return isinstance(problem, OperationalError) and "full" in str(problem).lower()
