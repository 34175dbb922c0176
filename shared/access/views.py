from django.contrib import messages
from django.contrib.auth import login, logout, update_session_auth_hash
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from shared.access.actions import (
    INVITE,
    PasswordRefused,
    change_password,
    check_sign_in,
    invite_again,
    invite_person,
    let_in_person,
    set_password_by_link,
    shut_out_person,
)
from shared.access.doors import EVERYONE, NOBODY, OWNER, door, link_door, open_door
from shared.access.forms import ChangePasswordForm, InviteForm, NewPasswordForm, SignInForm
from shared.access.middleware import RequestTooLarge
from shared.access.models import User
from shared.access.once import once
from shared.access.pages import sentences_page
from shared.access.queries import books_have_an_owner, people
from shared.errors import Refusal
from shared.outbox.actions import has_mail_server
from shared.outbox.models import Message


class StaleForm(Refusal):
    """The form was opened before the person signed in or out elsewhere, or without cookies."""

    status = 403

    def __init__(self) -> None:
        super().__init__(
            "This form is out of date: you signed in or out after it was opened, or your browser keeps no cookies.",
            "Nothing was saved.",
            "Sign in in another tab if you are signed out, then go back in this one: most browsers still show what you typed. Load the page again before you send it.",
        )


class NotFound(Refusal):
    status = 404

    def __init__(self) -> None:
        super().__init__(
            "There is no page at this address.",
            "Nothing was changed.",
            "Check the address, or start from the first page.",
        )


class NotUnderstood(Refusal):
    status = 400

    def __init__(self) -> None:
        super().__init__(
            "What was sent could not be read.",
            "Nothing was saved.",
            "Go back, load the page again and send it once more.",
        )


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


class InviteUsed(Refusal):
    status = 410

    def __init__(self) -> None:
        super().__init__(
            "This link was used: your password is set.",
            "Your password is as you set it.",
            "Sign in with your e-mail address. If you forgot the password, ask the owner of the studio for a new link.",
        )


@open_door
def sign_in(request: HttpRequest) -> HttpResponseBase:
    """Name and password; then on to the page that was asked for."""
    onward = request.POST.get("next") or request.GET.get("next") or ""
    if not url_has_allowed_host_and_scheme(
        onward, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    ):
        onward = "/"
    kept_for, kept = _carried_along(request)
    if request.user.is_authenticated and not kept_for:
        return redirect(onward)
    form = SignInForm(request.POST or None)
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            typed = form.cleaned_data
            try:
                user = check_sign_in(
                    typed["name"], typed["password"], address=request.META.get("REMOTE_ADDR", ""), at=timezone.now()
                )
            except Refusal as refusal:
                form.say(refusal)
            else:
                login(request, user)
                if kept_for:
                    return render(request, "shared/access/send_again.html", {"kept_for": kept_for, "kept": kept})
                return redirect(onward)
    context = {"form": form, "next": onward, "has_owner": books_have_an_owner(), "kept_for": kept_for, "kept": kept}
    return render(request, "shared/access/sign_in.html", context, status=status)


def _carried_along(request: HttpRequest) -> tuple[str, list[tuple[str, str]]]:
    """What somebody had typed into a form when they were signed out, and the form's address; nothing for the usual sign-in."""
    address = request.POST.get("kept_for", "")
    if not url_has_allowed_host_and_scheme(address, allowed_hosts=None):
        return "", []
    kept = [
        (name.removeprefix("kept:"), value)
        for name, values in request.POST.lists()
        if name.startswith("kept:")
        for value in values
    ]
    return address, kept


@open_door
@require_POST
def sign_out(request: HttpRequest) -> HttpResponseBase:
    logout(request)
    return redirect("sign_in")


@door(reads=EVERYONE, writes=EVERYONE)
def change_own_password(request: HttpRequest) -> HttpResponseBase:
    form = ChangePasswordForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            change_password(request.user, old=form.cleaned_data["old"], new=form.cleaned_data["password"])
        except PasswordRefused as refusal:
            form.say(refusal)
        else:
            update_session_auth_hash(request, request.user)
            messages.success(request, "Your password is changed. Everywhere else you are signed out.")
            return redirect("preferences")
    return render(request, "shared/access/change_own_password.html", {"form": form}, status=422 if form.errors else 200)


@link_door(INVITE)
def set_first_password(request: HttpRequest, token: str) -> HttpResponseBase:
    """Where an invited person sets the password, once."""
    if request.link.used_at:
        raise InviteUsed
    person = get_object_or_404(User, pk=request.link.subject.removeprefix("user:"), is_active=True)
    form = NewPasswordForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            set_password_by_link(person, form.cleaned_data["password"], link=request.link, at=timezone.now())
        except PasswordRefused as refusal:
            form.say(refusal)
        else:
            login(request, person, backend="django.contrib.auth.backends.ModelBackend")
            messages.success(request, f"Your password is set. From now on sign in as {person.email}.")
            return redirect("/")
    return render(
        request,
        "shared/access/set_first_password.html",
        {"form": form, "person": person},
        status=422 if form.errors else 200,
    )


@door(reads=OWNER)
def people_list(request: HttpRequest) -> HttpResponseBase:
    return render(request, "shared/access/people_list.html", {"people": people(), "has_mail": has_mail_server()})


@door(reads=OWNER, writes=OWNER)
@once
def invite_someone(request: HttpRequest) -> HttpResponseBase:
    form = InviteForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        try:
            person, message = invite_person(
                name=typed["name"], email=typed["email"], role=typed["role"], language="en", at=timezone.now()
            )
        except Refusal as refusal:
            form.say(refusal)
        else:
            _say_invited(request, person, message)
            return redirect("people_list")
    return render(
        request,
        "shared/access/invite_someone.html",
        {"form": form, "has_mail": has_mail_server()},
        status=422 if form.errors else 200,
    )


@door(reads=NOBODY, writes=OWNER)
@once
def invite_someone_again(request: HttpRequest, pk: int) -> HttpResponseBase:
    person = get_object_or_404(User, pk=pk, is_active=True)
    _say_invited(request, person, invite_again(person, language="en", at=timezone.now()))
    return redirect("people_list")


@door(reads=NOBODY, writes=OWNER)
def shut_out(request: HttpRequest, pk: int) -> HttpResponseBase:
    person = get_object_or_404(User, pk=pk)
    shut_out_person(person, by=request.user, at=timezone.now())
    messages.success(request, f"{person.first_name or person.username} can no longer sign in.")
    return redirect("people_list")


@door(reads=NOBODY, writes=OWNER)
def let_in(request: HttpRequest, pk: int) -> HttpResponseBase:
    person = get_object_or_404(User, pk=pk)
    let_in_person(person)
    messages.success(request, f"{person.first_name or person.username} can sign in again.")
    return redirect("people_list")


def _say_invited(request: HttpRequest, person: User, message: Message) -> None:
    if message.state == Message.State.KEPT:
        messages.info(
            request,
            f"There is no mail server, so nothing was sent. Copy the link for {person.first_name} from Messages.",
        )
    else:
        messages.success(request, f"The invitation to {person.email} waits to be sent.")
