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
from shared.files.models import StoredFile
from shared.links.queries import links_for, shown_url
from shoots.brief.models import Shoot
from shoots.releases import actions, queries
from shoots.releases.addresses import uses_asked
from shoots.releases.forms import (
    AddressForm,
    BesideGuardianForm,
    DecisionForm,
    ForeignPaperForm,
    ReasonForm,
    ReleaseFilter,
    ReleaseForm,
    SignedPrintForm,
    SignForm,
)
from shoots.releases.models import Release, ReleaseScan, ReleaseState
from shoots.releases.signing import words_for, words_in

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
    wish = uses_asked(request.GET)
    form = ReleaseForm(
        request.POST or None,
        shoot=shoot,
        others=queries.shoots_to_name(shoot, wanted=wish.get("also_for", ())),
        minor_signs_from=queries.minor_signs_from(),
        wanted=queries.person_wanted(request.GET.get("about", "")),
        initial={**_first_choices(request, shoot), **wish},
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


def _first_choices(request: HttpRequest, shoot: Shoot) -> dict[str, Any]:
    return queries.first_choices(
        shoot,
        about=request.GET.get("about", ""),
        thing=request.GET.get("thing", "")[:200],
        is_minor=request.GET.get("age") == "minor",
    )


@door(reads=STUDIO, writes=STUDIO)
@once
def record_foreign_paper(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """A paper signed with a pen whose words are not ours."""
    shoot = get_object_or_404(Shoot.objects.select_related("client", "licensee", "kitchen"), pk=shoot_pk)
    initial = _first_choices(request, shoot)
    form = ForeignPaperForm(
        request.POST or None,
        request.FILES or None,
        shoot=shoot,
        others=queries.shoots_to_name(shoot),
        wanted=queries.person_wanted(request.GET.get("about", "")),
        initial={**initial, "email": "", "media": []},
    )
    if form.is_valid():
        try:
            sheets = _sheets(form.cleaned_data["sheets"])
            release = actions.record_foreign_paper(shoot, **form.recorded(), sheets=sheets, at=timezone.now())
        except Refusal as refusal:
            form.add_error(_field_of(refusal), str(refusal))
        else:
            messages.success(request, f"The paper is kept as release {release.number}. It counts from now on.")
            return redirect("release_page", release.pk)
    form.ask_for_files_again()
    context = {"form": form, "shoot": shoot}
    return render(request, "shoots/releases/record_foreign_paper.html", context, status=422 if form.is_bound else 200)


@door(reads=STUDIO, writes=STUDIO)
@once
def record_signed_print(request: HttpRequest, pk: int) -> HttpResponse:
    """The print of a release came back signed with a pen."""
    release = get_object_or_404(queries.release_in_full(pk))
    if release.state != ReleaseState.OFFERED:
        messages.error(request, f"Release {release.number} has its answer already. Nothing was recorded.")
        return redirect("release_page", pk)
    form = SignedPrintForm(
        request.POST or None, request.FILES or None, release=release, initial=queries.recorded_choices(release)
    )
    if form.is_valid():
        try:
            sheets = _sheets(form.cleaned_data["sheets"])
            actions.record_signed_print(release, **form.how_signed(), sheets=sheets, at=timezone.now())
        except Refusal as refusal:
            form.add_error(_field_of(refusal), str(refusal))
        else:
            messages.success(request, f"Release {release.number} is signed. The paper is kept with it.")
            return redirect("release_page", pk)
    form.ask_for_files_again()
    context = {"form": form, "release": release}
    return render(request, "shoots/releases/record_signed_print.html", context, status=422 if form.is_bound else 200)


def _field_of(refusal: Refusal) -> str:
    """Under which field of a form for papers a refusal stands."""
    if isinstance(refusal, actions.DayImpossible):
        return "signed_on"
    return "signer_name" if isinstance(refusal, actions.GuardianMustSign) else "sheets"


def _sheets(files: list[Any]) -> list[actions.Sheet]:
    return [actions.Sheet(file.read(), file.name or "paper") for file in files]


@door(reads=STUDIO)
def release_page(request: HttpRequest, pk: int) -> HttpResponse:
    release = get_object_or_404(queries.release_in_full(pk))
    links = list(links_for(f"release:{pk}"))
    context = {
        "release": release,
        "texts": release.snapshot.get("texts", []),
        "evidence": evidence_about(f"release:{pk}"),
        "links": [(link, shown_url(link)) for link in links if not link.called_back_at],
        "named": queries.shoots_named(release) if release.reach == Release.Reach.NAMED else [],
        "sheets": release.scans.all() if release.is_on_paper else [],
        "address_form": AddressForm(initial={"email": release.signer_email}),
    }
    return render(request, "shoots/releases/release_page.html", context)


@door(reads=STUDIO, writes=STUDIO)
def sign_release_here(request: HttpRequest, pk: int) -> HttpResponse:
    release = get_object_or_404(Release.objects.select_related("person", "kitchen"), pk=pk)
    return _sign(request, release, via="photographer's device", urls=("release_paper", "print_release", pk))


@link_door("release", lands=True)
def sign_release(request: HttpRequest, token: str) -> HttpResponse:
    urls = ("release_paper_by_link", "print_release_by_link", token)
    return _sign(request, _linked(request), via="private link", urls=urls)


def _sign(request: HttpRequest, release: Release, *, via: str, urls: tuple[str, str, Any]) -> HttpResponse:
    """The sign page: both languages paragraph by paragraph; the answer is yes with a signature, or no.

    Where somebody under age signs beside the guardian they come first, on the same page; ``?alone=`` passes them over.
    """
    languages = tuple(each["language"] for each in release.snapshot["texts"])
    names = {"minor": release.who_or_what, "guardian": release.guardian_name}
    labels = words_in(languages, **names)
    said = [(language, words_for(language, **names)) for language in languages]  # the signer's language first
    form = SignForm(
        request.POST if "agree" in request.POST else None,
        release=release,
        labels=labels,
        initial=queries.known_of(release),
    )
    beside = BesideGuardianForm(
        request.POST if "agree_beside" in request.POST else None, labels=labels, initial=queries.known_of(release)
    )
    at, problem = timezone.now(), None
    try:
        if "refuse" in request.POST:
            actions.refuse_release(release, reason=request.POST.get("reason", "")[:300], via=via, at=at)
            return redirect(request.path)
        if beside.is_valid():
            actions.sign_beside_guardian(release, **beside.answer(release.who_or_what), via=via, at=at)
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
        "beside": beside,
        "is_minors_turn": release.minor_signs
        and not release.minor_signed_at
        and not (form.is_bound or "alone" in request.GET),
        "problem": problem,
        "paper_url": urls[0],
        "print_url": urls[1],
        "paper_key": urls[2],
        "said": said,
        "witness_said": [(language, {**words, "sign": words["witness_sign"]}) for language, words in said],
    }
    status = 422 if form.is_bound or beside.is_bound or problem else 200
    return render(request, "shoots/releases/sign_release.html", context, status=status)


@door(reads=STUDIO)
def release_paper(request: HttpRequest, pk: int) -> FileResponse:
    return _paper(get_object_or_404(Release, pk=pk))


@link_door("release")
def release_paper_by_link(request: HttpRequest, token: str) -> FileResponse:
    return _paper(_linked(request))


@door(reads=STUDIO)
def release_sheet(request: HttpRequest, pk: int, position: int) -> FileResponse:
    """A further sheet of a release signed on paper, as it came."""
    scan = get_object_or_404(ReleaseScan.objects.select_related("file"), release=pk, position=position)
    return _shown(scan.file)


@door(reads=STUDIO)
def print_release(request: HttpRequest, pk: int) -> HttpResponse:
    """The text with lines for pens, as long as it waits for its answer."""
    return _print(get_object_or_404(Release.objects.select_related("person", "kitchen"), pk=pk))


@link_door("release")
def print_release_by_link(request: HttpRequest, token: str) -> HttpResponse:
    return _print(_linked(request))


def _print(release: Release) -> HttpResponse:
    paper = actions.print_to_sign(release)
    name = f"release-{release.number}-to-sign.pdf"
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    return HttpResponse(paper, content_type="application/pdf", headers=headers)


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
    return _shown(release.paper)


def _shown(file: StoredFile) -> FileResponse:
    """A kept paper: a PDF of ours, or a PDF, JPEG or PNG of somebody's pen, told by its bytes when it was kept."""
    return FileResponse(file.path.open("rb"), content_type=file.media_type, filename=file.name)
