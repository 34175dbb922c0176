from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from clients.models import Client
from shared.access.doors import NOBODY, STUDIO, door
from shared.access.once import once
from shared.addresses import row_named
from shared.business.queries import today
from shared.errors import Refusal
from shared.evidence.queries import evidence_about
from shared.files.models import StoredFile
from shared.words import formats
from shared.words.formats import InvalidDay, parse_day
from shoots.found import actions, queries
from shoots.found import forms as sheets
from shoots.found.models import FoundLetter, FoundShot, FoundState, FoundUse
from shoots.found.scenario import scenario_of
from shoots.found.wording import first_answer_day
from shoots.licences.models import Licence, LicenceState
from shoots.pictures.models import Picture
from shoots.uses.forms import fee_in_address

A_PAGE, FRAMES_A_PAGE = 30, 24


def _on() -> Any:
    return today(timezone.now())


def _uploads(files: list[Any]) -> list[actions.Upload]:
    return [actions.Upload(file.read(), file.name) for file in files]


@door(reads=STUDIO)
def found_uses(request: HttpRequest) -> HttpResponse:
    form, on = sheets.FoundFilter(request.GET), _on()
    found = queries.found_listed(**(form.cleaned_data if form.is_valid() else {}))
    page = Paginator(found, A_PAGE).get_page(request.GET.get("page"))
    context = {
        "form": form,
        "page": page,
        "rows": queries.rows_of(page, on),
        "waiting": queries.found_waiting(on).count(),
        "is_filtered": bool(request.GET),
    }
    return render(request, "shoots/found/found_uses.html", context)


@door(reads=STUDIO, writes=STUDIO)
@once
def record_found(request: HttpRequest) -> HttpResponse:
    picture = row_named(request.GET, "picture", Picture.objects.all())
    initial = {
        "pictures": [picture.pk] if picture else [],
        "client": row_named(request.GET, "client", Client.objects.all()),
    }
    form = sheets.RecordForm(request.POST or None, request.FILES or None, initial=initial)
    if form.is_valid():
        try:
            found = actions.record_use(
                pictures=form.cleaned_data["pictures"],
                screenshots=_uploads(form.cleaned_data["screenshots"]),
                at=timezone.now(),
                **form.facts(),
            )
        except Refusal as refusal:
            form.add_error("screenshots", str(refusal))
        else:
            messages.success(request, f"{found.number} is recorded.")
            return redirect("found_page", found.pk)
    form.ask_for_files_again()
    context = {"form": form, "picture": picture}
    return render(request, "shoots/found/record_found.html", context, status=422 if form.is_bound else 200)


@door(reads=STUDIO)
def found_page(request: HttpRequest, pk: int) -> HttpResponse:
    return _page(request, pk)


def _page(request: HttpRequest, pk: int, *, status: int = 200, **bound: Any) -> HttpResponse:
    found, on = get_object_or_404(queries.found_in_full(pk)), _on()
    answer = queries.answer_of(found)
    letters = list(found.letters.all())
    context = {
        "found": found,
        "today": on,
        "look": queries.state_look(found, on),
        "words": queries.state_words(found, on),
        "pictures": found.pictures.all(),
        "shots": found.shots.all(),
        "letters": letters,
        "evidence": evidence_about(f"found:{pk}"),
        "can_write": not answer["now"].missing and bool(found.user) and not answer["now"].is_covered,
        "can_offer": queries.may_be_offered(found, answer["now"]),
        "is_settled": queries.is_settled(found),
        "shots_form": sheets.ShotsForm(),
        "outcome_form": sheets.OutcomeForm(
            found=found, on=on, initial=_outcome_at_hand(found, is_covered=answer["now"].is_covered)
        ),
        "send_form": sheets.SendLetterForm(initial={"to": queries.address_of_user(found)[0]}),
        **answer,
        **queries.found_facts(found),
        **bound,
    }
    return render(request, "shoots/found/found_page.html", context, status=status)


def _outcome_at_hand(found: FoundUse, *, is_covered: bool) -> dict[str, Any]:
    """What the outcome's form begins with: a licence taken for it, else nothing to do where it is covered."""
    if queries.is_settled(found):
        return {"outcome": FoundState.LICENSED, "licence": found.licence_id}
    return {"outcome": FoundState.LOOKED if is_covered else None}


@door(reads=STUDIO, writes=STUDIO)
def change_found(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(FoundUse.objects.select_related("client"), pk=pk)
    form = sheets.ChangeForm(request.POST or None, found=found)
    if form.is_valid():
        try:
            actions.change_use(found, version=form.cleaned_data["version"], at=timezone.now(), **form.facts())
        except Refusal as refusal:
            form.say(refusal)
            form.data = form.data.copy()
            form.data["version"] = str(FoundUse.objects.values_list("version", flat=True).get(pk=pk))
        else:
            messages.success(request, f"{found.number} is saved.")
            return redirect("found_page", pk)
    context = {"form": form, "found": found}
    return render(request, "shoots/found/change_found.html", context, status=422 if form.is_bound else 200)


@door(reads=STUDIO, writes=STUDIO)
def found_pictures(request: HttpRequest, pk: int) -> HttpResponse:
    """Which picture is it? Those ticked stay ticked while another search is made."""
    found = get_object_or_404(FoundUse.objects.prefetch_related("pictures__thumbnail"), pk=pk)
    form = sheets.PickForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        actions.name_pictures(found, form.cleaned_data["pictures"], at=timezone.now())
        messages.success(request, "The pictures are named.")
        return redirect("found_page", pk)
    filter_form = sheets.PickFilter(request.GET)
    listed = queries.pictures_to_pick(**(filter_form.cleaned_data if filter_form.is_valid() else {}))
    named = list(found.pictures.all())
    page = Paginator(listed.exclude(pk__in=[each.pk for each in named]), FRAMES_A_PAGE).get_page(
        request.GET.get("page")
    )
    context = {
        "found": found,
        "form": filter_form,
        "pick": form,
        "named": named,
        "page": page,
        "is_filtered": bool(request.GET),
    }
    return render(request, "shoots/found/found_pictures.html", context, status=422 if form.is_bound else 200)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def add_screenshots(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(FoundUse, pk=pk)
    form = sheets.ShotsForm(request.POST, request.FILES)
    if form.is_valid():
        try:
            actions.add_screenshots(found, _uploads(form.cleaned_data["screenshots"]), at=timezone.now())
        except Refusal as refusal:
            form.add_error("screenshots", str(refusal))
        else:
            messages.success(request, "It is kept with this use.")
            return redirect("found_page", pk)
    return _page(request, pk, status=422, shots_form=form)


@door(reads=STUDIO)
def found_shot(request: HttpRequest, pk: int, shot_pk: int) -> FileResponse:
    """The file as it came in."""
    shot = get_object_or_404(FoundShot.objects.select_related("file"), pk=shot_pk, found=pk)
    return _file(shot.file)


@door(reads=STUDIO)
def found_shot_shown(request: HttpRequest, pk: int, shot_pk: int) -> FileResponse:
    shot = get_object_or_404(FoundShot.objects.select_related("copy"), pk=shot_pk, found=pk)
    if shot.copy is None:
        raise Http404
    return _file(shot.copy)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def record_outcome(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(FoundUse, pk=pk)
    form = sheets.OutcomeForm(request.POST, found=found, on=_on())
    if form.is_valid():
        try:
            actions.record_outcome(found, **form.cleaned_data, at=timezone.now())
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.success(request, "What came of it is recorded.")
            return redirect("found_page", pk)
    return _page(request, pk, status=422, outcome_form=form)


@door(reads=STUDIO, writes=STUDIO)
@once
def offer_for_found(request: HttpRequest, pk: int) -> HttpResponse:
    """A licence for the days on which it was used. Whoever prices it hands the fee on in the address."""
    found, on = get_object_or_404(queries.found_in_full(pk)), _on()
    try:
        priced = parse_day(request.GET.get("last_day", ""))
    except InvalidDay:
        priced = found.seen_on
    initial = {
        "licensee": found.client,
        "first_day": found.since or found.seen_on,
        "last_day": min(priced, on),  # a begun month was priced whole; what is still to come is licensed apart
        "fee_net": fee_in_address(request.GET),
    }
    asks = queries.asks_for_copies(found)
    form = sheets.OfferForm(request.POST or None, on=on, asks_for_copies=asks, initial=initial)
    if form.is_valid():
        is_draft = request.POST.get("do") == "draft"
        try:
            licence = actions.offer_for_use(found, **form.terms(), is_draft=is_draft, at=timezone.now())
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.success(request, _said_of_offer(licence))
            return redirect("licence_page" if is_draft else "found_page", licence.pk if is_draft else pk)
    context = {"found": found, "form": form, "pictures": found.pictures.all(), **queries.answer_of(found)}
    return render(request, "shoots/found/offer_for_found.html", context, status=422 if form.is_bound else 200)


def _said_of_offer(licence: Licence) -> str:
    if licence.state == LicenceState.DRAFT:
        return f"{licence.number} is kept as a draft. Nobody was told."
    after = [each.number for each in licence.renewed_by.all()]
    numbers = formats.list_in_words([licence.number, *after], "en")
    return f"{numbers} {'are' if after else 'is'} offered. Nothing is covered until it is accepted and paid."


# The letter


@door(reads=STUDIO, writes=STUDIO)
@once
def write_letter(request: HttpRequest, pk: int) -> HttpResponse:
    found, on = get_object_or_404(queries.found_in_full(pk)), _on()
    answer = queries.answer_of(found)
    initial = {
        "language": found.client.words_of_licence if found.client else "en",
        "asks": [code for code, _words in sheets.ASKS],
        "answer_by": first_answer_day(on),
    }
    form = sheets.LetterForm(request.POST or None, found=found, on=on, initial=initial)
    if form.is_valid():
        try:
            actions.write_letter(found, **form.cleaned_data, at=timezone.now())
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.success(request, "The letter is written and kept. Nothing was sent.")
            return redirect("found_page", pk)
    context = {"found": found, "form": form, "pictures": found.pictures.all(), **answer}
    return render(request, "shoots/found/write_letter.html", context, status=422 if form.is_bound else 200)


@door(reads=STUDIO)
def found_letter(request: HttpRequest, pk: int, version: int) -> FileResponse:
    letter = get_object_or_404(FoundLetter.objects.select_related("file"), found=pk, version=version)
    return _file(letter.file)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def send_found_letter(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(FoundUse, pk=pk)
    form = sheets.SendLetterForm(request.POST)
    if form.is_valid():
        try:
            message = actions.send_letter(found, to=form.cleaned_data["to"], at=timezone.now())
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"E-mail to {message.to}: {message.get_state_display().lower()}.")
            return redirect("found_page", pk)
    return _page(request, pk, status=422, send_form=form)


@door(reads=STUDIO)
def found_question(request: HttpRequest, pk: int) -> HttpResponse:
    """What was seen and the licences on it, as a file for ``manage.py check_use``."""
    found = get_object_or_404(queries.found_in_full(pk))
    answer = queries.answer_of(found)
    if answer["now"].missing:
        raise Http404
    response = JsonResponse(scenario_of(answer["seen"], answer["held"]), json_dumps_params={"indent": 1})
    response["Content-Disposition"] = f'attachment; filename="{found.number}.json"'
    return response


# What others show of found uses


@door(reads=STUDIO)
def picture_found_panel(request: HttpRequest, pk: int) -> HttpResponse:
    picture = get_object_or_404(Picture, pk=pk)
    return _panel(request, queries.found_with(picture), {"picture": picture.pk})


@door(reads=STUDIO)
def client_found_panel(request: HttpRequest, pk: int) -> HttpResponse:
    client = get_object_or_404(Client, pk=pk)
    return _panel(request, queries.found_listed(client=client), {"client": client.pk})


@door(reads=STUDIO)
def licence_found_panel(request: HttpRequest, pk: int) -> HttpResponse:
    licence = get_object_or_404(Licence.objects.select_related("licensee"), pk=pk)
    return _panel(request, queries.found_beside(licence), {"client": licence.licensee_id})


def _panel(request: HttpRequest, found: Any, about: dict[str, Any]) -> HttpResponse:
    rows = queries.rows_of(found[:A_PAGE], _on())
    record_url = f"{reverse('record_found')}?{urlencode(about)}"
    return render(request, "shoots/found/found_panel.html", {"rows": rows, "record_url": record_url})


def _file(file: StoredFile) -> FileResponse:
    return FileResponse(file.path.open("rb"), content_type=file.media_type, filename=file.name)
