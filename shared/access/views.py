from django.http import HttpRequest, HttpResponse

from shared.access.middleware import RequestTooLarge
from shared.access.pages import sentences_page
from shared.errors import Refusal


class StaleForm(Refusal):
    """The form was opened before the person signed in or out elsewhere, or without cookies."""

    status = 403

    def __init__(self) -> None:
        super().__init__(
            "This form is out of date: you signed in or out after it was opened, or your browser keeps no cookies.",
            "Nothing was saved. What you typed is still in the form if you go back.",
            "Go back, copy what you typed, load the page again, then send it once more.",
        )


class NotFound(Refusal):
    status = 404

    def __init__(self) -> None:
        super().__init__(
            "There is no page at this address.", "Nothing was changed.", "Check the address, or start from the first page."
        )


class NotUnderstood(Refusal):
    status = 400

    def __init__(self) -> None:
        super().__init__("What was sent could not be read.", "Nothing was saved.", "Go back, load the page again and send it once more.")


class SomethingBroke(Refusal):
    status = 500

    def __init__(self) -> None:
        super().__init__(
            "Something in this program broke.",
            "What was saved before is kept. What you just sent was not saved.",
            "Go back and try again. If it happens again, write down what you did and show it to whoever looks after this program.",
        )


def stale_form(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Django's check against forged forms refused this one."""
    return sentences_page(request, StaleForm())


def page_not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    return sentences_page(request, NotFound())


def not_understood(request: HttpRequest, exception: Exception) -> HttpResponse:
    too_big = type(exception).__name__ in ("RequestDataTooBig", "TooManyFilesSent", "TooManyFieldsSent")
    return sentences_page(request, RequestTooLarge() if too_big else NotUnderstood())


def something_broke(request: HttpRequest) -> HttpResponse:
    """Says so without the frame and without the database, either of which may be what broke."""
    problem = SomethingBroke()
    lines = "".join(f"<p>{line}</p>" for line in (problem.what_happened, problem.what_is_kept, problem.what_to_do))
    return HttpResponse(
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">'
        f'<title>Something broke</title></head><body><main><h1>Something broke</h1>{lines}<p><a href="/">Start again</a></p></main></body></html>',
        status=500,
    )
