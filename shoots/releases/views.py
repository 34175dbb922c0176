from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from clients.models import Kitchen, Person
from shared.access.doors import NOBODY, STUDIO, door, link_door
from shared.access.once import once
from shared.errors import Refusal
from shared.evidence.queries import evidence_about
from shared.links.queries import links_for, shown_url
from shoots.brief.models import Shoot
from shoots.releases import actions, queries
from shoots.releases.forms import AddressForm, DecisionForm, ReasonForm, ReleaseFilter, ReleaseForm, SignForm
from shoots.releases.models import Release, ReleaseState
from shoots.releases.signing import WORDS, words_in

MOST_IN_PANEL = 12


@door(reads=STUDIO)
def releases(request: HttpRequest) -> HttpResponse:
    form = ReleaseFilter(request.GET)
    found = queries.releases_listed(**(form.cleaned_data if form.is_valid() else {}))
    waiting = queries.releases_waiting().count()
    context = {
        "form": form,
        "page": Paginator(found, 50).get_page(request.GET.get("page")),
        "waiting": waiting,
        "undecided": queries.withdrawals_open().count(),
        "is_filtered": bool(request.GET),
    }
    return render(request, "shoots/releases/releases.html", context)


@door(reads=STUDIO, writes=STUDIO)
@once
def new_release(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot.objects.select_related("client", "licensee", "kitchen"), pk=shoot_pk)
    form = ReleaseForm(
        request.POST or None,
        shoot=shoot,
        initial=queries.first_choices(
            shoot,
            about=request.GET.get("about", ""),
            thing=request.GET.get("thing", "")[:200],
            is_minor=request.GET.get("age") == "minor",
        ),
    )
    if form.is_valid():
        release = actions.offer_release(shoot, **form.chosen(), at=timezone.now())
        messages.success(request, f"Release {release.number} is made. Its text cannot change any more.")
        return redirect("release_page", release.pk)
    return render(
        request,
        "shoots/releases/new_release.html",
        {"form": form, "shoot": shoot},
        status=422 if form.is_bound else 200,
    )


@door(reads=STUDIO)
def release_page(request: HttpRequest, pk: int) -> HttpResponse:
    release = get_object_or_404(queries.release_in_full(pk))
    links = list(links_for(f"release:{pk}"))
    context = {
        "release": release,
        "texts": release.snapshot.get("texts", []),
        "evidence": evidence_about(f"release:{pk}"),
        "links": [(link, shown_url(link)) for link in links if not link.called_back_at],
        "address_form": AddressForm(initial={"email": release.signer_email}),
    }
    return render(request, "shoots/releases/release_page.html", context)


@door(reads=STUDIO, writes=STUDIO)
def sign_release_here(request: HttpRequest, pk: int) -> HttpResponse:
    return _sign(
        request, get_object_or_404(Release, pk=pk), via="photographer's device", paper_url=("release_paper", pk)
    )


@link_door("release", lands=True)
def sign_release(request: HttpRequest, token: str) -> HttpResponse:
    return _sign(request, _linked(request), via="private link", paper_url=("release_paper_by_link", token))


def _sign(request: HttpRequest, release: Release, *, via: str, paper_url: tuple[Any, ...]) -> HttpResponse:
    """The sign page: both languages paragraph by paragraph; the answer is yes with a signature, or no."""
    languages = tuple(each["language"] for each in release.snapshot["texts"])
    form = SignForm(
        request.POST if "agree" in request.POST else None,
        release=release,
        labels=words_in(languages),
        initial=queries.known_of(release),
    )
    at, problem = timezone.now(), None
    try:
        if "refuse" in request.POST:
            actions.refuse_release(release, reason=request.POST.get("reason", "")[:300], via=via, at=at)
            return redirect(request.path)
        if form.is_valid():
            actions.sign_release(release, **form.answer(), via=via, at=at)
            return redirect(request.path)
    except Refusal as refusal:
        problem = refusal
    if request.method == "GET" and release.state == ReleaseState.OFFERED:
        actions.show_release(release, language=",".join(languages), at=at)
    context = {
        **queries.sign_context(release, request.GET.get("show", "")),
        "form": form,
        "problem": problem,
        "paper_url": paper_url[0],
        "paper_key": paper_url[1],
        "said": [(language, WORDS[language]) for language in languages],  # the signer's language first
    }
    return render(
        request, "shoots/releases/sign_release.html", context, status=422 if form.is_bound or problem else 200
    )


@door(reads=STUDIO)
def release_paper(request: HttpRequest, pk: int) -> FileResponse:
    return _paper(get_object_or_404(Release, pk=pk))


@link_door("release")
def release_paper_by_link(request: HttpRequest, token: str) -> FileResponse:
    return _paper(_linked(request))


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def send_release_link(request: HttpRequest, pk: int) -> HttpResponse:
    release = get_object_or_404(Release, pk=pk)
    form = AddressForm(request.POST)
    if form.is_valid():
        actions.send_release_link(release, email=form.cleaned_data["email"], at=timezone.now())
        messages.success(
            request, f"A new link is written to {form.cleaned_data['email']}. The earlier link opens nothing now."
        )
    else:
        messages.error(request, "No link was sent: " + " ".join(form.errors.get("email", ["the address is missing."])))
    return redirect("release_page", pk)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def call_back_release(request: HttpRequest, pk: int) -> HttpResponse:
    release = actions.call_back_release(get_object_or_404(Release, pk=pk), at=timezone.now())
    messages.success(request, f"Release {release.number} is called back. Its link opens nothing now.")
    return redirect("release_page", pk)


@door(reads=STUDIO, writes=STUDIO)
def withdraw_release(request: HttpRequest, pk: int) -> HttpResponse:
    release = get_object_or_404(queries.release_in_full(pk))
    form = ReasonForm(request.POST or None)
    if form.is_valid():
        actions.withdraw_release(release, reason=form.cleaned_data["reason"], at=timezone.now())
        messages.success(
            request,
            f"Release {release.number} is withdrawn. Its pictures show it, and new licences wait.",
        )
        return redirect("decide_withdrawal", pk)
    return render(
        request,
        "shoots/releases/withdraw_release.html",
        {"release": release, "form": form},
        status=422 if form.is_bound else 200,
    )


@door(reads=STUDIO, writes=STUDIO)
@once
def decide_withdrawal(request: HttpRequest, pk: int) -> HttpResponse:
    release = get_object_or_404(queries.release_in_full(pk))
    form = DecisionForm(request.POST or None, initial={"decision": release.decision, "words": release.decision_words})
    if form.is_valid():
        actions.decide_withdrawal(release, **form.cleaned_data, at=timezone.now())
        messages.success(request, "Your decision is recorded. It changes no licence by itself.")
        return redirect("release_page", pk)
    return render(
        request,
        "shoots/releases/decide_withdrawal.html",
        {"release": release, "form": form},
        status=422 if form.is_bound else 200,
    )


@door(reads=STUDIO)
def shoot_releases_panel(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot.objects.select_related("kitchen"), pk=shoot_pk)
    return render(
        request, "shoots/releases/shoot_releases_panel.html", {"shoot": shoot, **queries.asked_and_unasked(shoot)}
    )


@door(reads=STUDIO)
def shoot_releases_line(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """How the releases of a shoot stand, in a sentence: for the end of the day."""
    shoot = get_object_or_404(Shoot.objects.select_related("kitchen"), pk=shoot_pk)
    return render(request, "shoots/releases/shoot_releases_line.html", queries.asked_and_unasked(shoot))


@door(reads=STUDIO)
def person_releases_panel(request: HttpRequest, pk: int) -> HttpResponse:
    person = get_object_or_404(Person, pk=pk)
    return _releases_panel(request, queries.releases_with(person), person.name)


@door(reads=STUDIO)
def kitchen_releases_panel(request: HttpRequest, pk: int) -> HttpResponse:
    kitchen = get_object_or_404(Kitchen, pk=pk)
    return _releases_panel(request, queries.releases_for(kitchen), kitchen.name)


def _releases_panel(request: HttpRequest, found: QuerySet[Release], name: str) -> HttpResponse:
    context = {"releases": found[:MOST_IN_PANEL], "count": found.count(), "most": MOST_IN_PANEL, "name": name}
    return render(request, "shoots/releases/releases_panel.html", context)


def _linked(request: HttpRequest) -> Release:
    return get_object_or_404(Release, pk=int(request.link.subject.partition(":")[2]))  # type: ignore[attr-defined]


def _paper(release: Release) -> FileResponse:
    if release.paper is None:
        raise Http404
    return FileResponse(release.paper.path.open("rb"), content_type="application/pdf", filename=release.paper.name)
