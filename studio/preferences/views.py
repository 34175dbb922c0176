from django.contrib import messages
from django.contrib.auth import login
from django.http import FileResponse, Http404, HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.crypto import constant_time_compare

from shared.access.doors import EVERYONE, OWNER, door, open_door
from shared.access.queries import books_have_an_owner, people, welcome_token
from shared.business.models import BusinessProfile
from shared.business.queries import business_or_none, missing_for_invoices
from shared.errors import Refusal
from shared.outbox.queries import messages_waiting_for_you, parked_jobs
from studio.preferences.actions import OwnerExists, open_books, save_profile
from studio.preferences.forms import BusinessProfileForm, WelcomeForm


@door(reads=EVERYONE)
def preferences(request: HttpRequest) -> HttpResponseBase:
    """Where everything is set, each with how it stands."""
    context = {}
    if request.user.is_owner:
        profile = business_or_none(timezone.now())
        context = {
            "profile": profile,
            "missing": missing_for_invoices(profile) if profile else (),
            "people_count": people().filter(is_active=True).count(),
            "waiting": messages_waiting_for_you().count() + parked_jobs().count(),
        }
    return render(request, "studio/preferences/preferences.html", context)


@open_door
def welcome(request: HttpRequest, token: str) -> HttpResponseBase:
    """The first page of new books: makes the owner. Shut for good as soon as there is one."""
    if not constant_time_compare(token, welcome_token()):
        raise Http404
    if books_have_an_owner():
        raise OwnerExists
    form = WelcomeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            owner = open_books(**form.cleaned_data, at=timezone.now())
        except Refusal as refusal:
            form.say(refusal)
        else:
            login(request, owner, backend="django.contrib.auth.backends.ModelBackend")
            return redirect("business_profile")
    return render(request, "studio/preferences/welcome.html", {"form": form}, status=422 if form.errors else 200)


@door(reads=OWNER, writes=OWNER)
def business_profile(request: HttpRequest) -> HttpResponseBase:
    """The dated profile on one page; ``?entry=3`` opens an earlier or coming entry."""
    entries = list(BusinessProfile.objects.order_by("-valid_from"))
    now = business_or_none(timezone.now())
    wanted = request.GET.get("entry", "")
    entry = next((each for each in entries if str(each.pk) == wanted), now) if wanted else now
    opened_pk = entry.pk if entry else None
    form = BusinessProfileForm(request.POST or None, request.FILES or None, instance=entry)
    if request.method == "POST" and form.is_valid():
        try:
            saved = save_profile(form.instance, form.cleaned_data, opened_from=form.opened_from, at=timezone.now())
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.success(request, "The business profile is saved.")
            return redirect(f"{request.path}?entry={saved.pk}")
    opened = BusinessProfile.objects.filter(pk=opened_pk).first()
    context = {
        "form": form, "entries": entries, "now": now, "opened": opened,
        "missing": missing_for_invoices(opened) if opened else (),
    }  # fmt: skip
    return render(request, "studio/preferences/business_profile.html", context, status=422 if form.errors else 200)


@door(reads=OWNER)
def business_picture(request: HttpRequest, pk: int, which: str) -> HttpResponseBase:
    """The logo or the signature of an entry."""
    stored = getattr(get_object_or_404(BusinessProfile, pk=pk), which)
    if stored is None:
        raise Http404
    return FileResponse(stored.path.open("rb"), content_type=stored.media_type)
