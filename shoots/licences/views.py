import json
from dataclasses import replace
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from clients.models import Client
from shared.access.doors import NOBODY, STUDIO, door, open_door
from shared.access.once import once
from shared.addresses import row_named
from shared.business.queries import today
from shared.errors import Refusal
from shared.evidence.queries import evidence_about
from shared.files.models import StoredFile
from shared.words.formats import InvalidDay, parse_day
from shoots.brief.models import Shoot
from shoots.licences import actions, queries
from shoots.licences import forms as sheets
from shoots.licences.models import Licence, LicencePaper, LicenceState
from shoots.licences.odrl import Addresses, NotExported, licence_as_odrl, why_not
from shoots.licences.profile import licence_profile
from shoots.licences.standing import Standing
from shoots.licences.states import may_become, uncovered_days
from shoots.pictures.models import Picture
from shoots.uses.forms import use_in_address
from shoots.uses.intended import InvalidUse

A_PAGE = 40


def _on() -> Any:
    return today(timezone.now())


@door(reads=STUDIO)
def licences(request: HttpRequest) -> HttpResponse:
    form, on = sheets.LicenceFilter(request.GET), _on()
    found = queries.licences_listed(on, **(form.cleaned_data if form.is_valid() else {}))
    page = Paginator(found.values_list("pk", flat=True), A_PAGE).get_page(request.GET.get("page"))
    context = {
        "form": form,
        "page": page,
        "rows": queries.licence_rows(queries.licences_of_page(page), on),
        "counts": queries.counts_on(on),
        "is_filtered": bool(request.GET),
    }
    return render(request, "shoots/licences/licences.html", context)


# Granting


@door(reads=STUDIO, writes=STUDIO)
@once
def grant_licence(request: HttpRequest) -> HttpResponse:
    """Without a picture or a shoot in the address the shoot is chosen first."""
    picture = row_named(request.GET, "picture", Picture.objects.select_related("shoot"))
    client = row_named(request.GET, "client", Client.objects.all())
    shoot = picture.shoot if picture else row_named(request.GET, "shoot", Shoot.objects.all())
    if shoot is None:
        page = Paginator(queries.shoots_with_pictures(client), A_PAGE).get_page(request.GET.get("page"))
        return render(request, "shoots/licences/choose_shoot.html", {"page": page, "client": client})
    form = _grant_form(request, shoot, picture, client)
    problem, said = None, {}
    if form.is_bound and form.is_valid():
        said = _check(form)
        # What the client may do already is said before it is sold once more: then the same press goes on.
        is_news = bool(said.get("check", {}).get("held")) and "knows_held" not in request.POST
        if form.deed in {"grant", "offer", "draft"} and not is_news:
            try:
                return _granted(request, form)
            except Refusal as refusal:
                problem = refusal
                form.say(refusal)
    context = {"form": form, "shoot": shoot, "pictures": form.fields["pictures"].queryset, "problem": problem, **said}
    return render(request, "shoots/licences/grant_licence.html", context, status=422 if form.is_bound else 200)


def _grant_form(request: HttpRequest, shoot: Shoot, picture: Picture | None, client: Client | None) -> sheets.GrantForm:
    deed, on = request.POST.get("do", ""), _on()
    typed = request.POST.copy() if request.method == "POST" else None
    if typed is not None and deed.startswith("from:"):
        typed["first_day"], typed["last_day"] = deed.removeprefix("from:"), ""
    try:
        first = parse_day(request.GET.get("first", ""))
    except InvalidDay:
        first = on
    # What a page above hands in: ticked pictures, a last day, a whole use.
    ticked = [picture.pk] if picture else request.GET.getlist("pictures")
    initial = {"licensee": client, "first_day": first, "last_day": request.GET.get("last_day", ""), "pictures": ticked}
    asked = queries.grant_start(request.GET.get("use", ""), on) or use_in_address(request.GET, on=on)
    use = asked or {"use_territories": [queries.home_country(on)]}
    return sheets.GrantForm(typed, shoot=shoot, deed=deed, initial=initial, use=use, use_on=on)


def _granted(request: HttpRequest, form: sheets.GrantForm) -> HttpResponse:
    at, typed = timezone.now(), form.cleaned_data
    if form.deed == "offer":
        licence = actions.offer_licence(**form.terms(), at=at)
        messages.success(request, f"Offer {licence.number} is made. It blocks nobody until the client says yes.")
    elif form.deed == "draft":
        licence = actions.draft_licence(
            **{name: each for name, each in form.terms().items() if name != "write_to_client"}, at=at
        )
        messages.success(request, f"{licence.number} is kept as a draft. Nobody was told.")
    else:
        words = {"accepted_by": typed["accepted_by"], "signed_by": typed["signed_by"]}
        licence = actions.grant_licence(**form.terms(), **words, at=at)
        messages.success(request, f"Licence {licence.number} is granted. Its fee goes on the next month’s invoice.")
    return redirect("licence_page", licence.pk)


def _check(form: sheets.GrantForm) -> dict[str, Any]:
    typed = form.cleaned_data
    if not (typed.get("licensee") and typed.get("first_day") and typed.get("pictures")):
        return {}
    try:
        found = queries.what_stands_against(
            licensee=typed["licensee"],
            trade=typed["trade"],
            pictures=typed["pictures"],
            use=form.use_values(),
            first_day=typed["first_day"],
            last_day=typed.get("last_day"),
        )
    except InvalidUse as refused:
        return {"mistake": str(refused)}
    return {"check": {**found, "sentence": form.use_in_words(typed["licensee"].name)}}


@door(reads=STUDIO)
def grant_check(request: HttpRequest) -> HttpResponse:
    """What the grant form says while it is filled in: the days, and who stands in the way."""
    shoot = row_named(request.GET, "shoot", Shoot.objects.all())
    form = sheets.GrantCheckForm(request.GET, shoot=shoot, use_on=_on()) if shoot else None
    context = _check(form) if form and form.is_valid() else {}
    return render(request, "shoots/licences/grant_check.html", context)


# One licence


@door(reads=STUDIO)
def licence_page(request: HttpRequest, pk: int) -> HttpResponse:
    return show_licence(request, pk)


def show_licence(request: HttpRequest, pk: int, *, status: int = 200, **bound: Any) -> HttpResponse:
    """The page of a licence; ``bound`` holds what was typed into one of its short forms and cannot be, by the form's name on the page."""
    licence, on = get_object_or_404(queries.licence_in_full(pk)), _on()
    row, evidence = queries.licence_row(licence, on), list(evidence_about(f"licence:{pk}"))
    facts, is_over = queries.paper_facts(licence, evidence), row["shown"].standing is Standing.ENDED
    can_renew = queries.can_be_renewed(licence)
    context = {
        **row,
        **facts,
        "today": on,
        "pictures": licence.pictures.all(),
        "evidence": evidence,
        "sentences": queries.sentences_of(licence),
        "gap": uncovered_days(licence.renews.use_until, licence.use_from) if licence.renews and licence.use_from else 0,
        "can_renew": can_renew,
        "can_place": licence.state in queries.STANDING and licence.shoot_id and queries.may_take_more(licence),
        "can_change": queries.can_be_changed(licence, on),
        "can_decline": may_become(licence.state, LicenceState.DECLINED),
        "can_revoke": licence.state == LicenceState.PAID and not is_over,
        "is_send_main": licence.is_placed and not (facts["is_sent"] or is_over or (can_renew and row["ends_soon"])),
        "send_form": sheets.SendForm(initial={"to": queries.address_of(licence.licensee)[0]}),
        "no_export": why_not(queries.grant_on(licence, licence.pictures.all())),
        "told": queries.told_of_an_offer(licence),
        "are_copies_counted": queries.are_copies_counted(licence),
        "accept_form": sheets.AcceptForm(licence=licence),
        "offer_form": sheets.OfferDraftForm(),
        "decline_form": sheets.DeclineForm(),
        "copies_form": sheets.CopiesForm(),
        **bound,
    }
    return render(request, "shoots/licences/licence_page.html", context, status=status)


@door(reads=STUDIO)
def licence_paper(request: HttpRequest, pk: int) -> HttpResponse:
    """Of an agreed licence the kept paper; of an offer a fresh one, marked as one that grants nothing."""
    licence, at = get_object_or_404(queries.licence_for_paper(pk)), timezone.now()
    if licence.state not in (LicenceState.DRAFT, LicenceState.OFFERED):
        return _file(actions.keep_licence_paper(licence, at=at).file)
    shown = queries.licence_shown(licence, version=1, at=at)
    pdf = actions.print_licence(shown, at=at)
    name = f"licence-offer-{licence.number.replace('/', '-')}.pdf"
    return HttpResponse(
        pdf, content_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{name}"'}
    )


@door(reads=STUDIO)
def kept_licence_paper(request: HttpRequest, pk: int, version: int) -> HttpResponse:
    rows = LicencePaper.objects.select_related("file")
    return _file(get_object_or_404(rows, licence=pk, version=version).file)


@door(reads=STUDIO)
def licence_odrl(request: HttpRequest, pk: int) -> HttpResponse:
    """The licence for programs, as ODRL 2.2; where it grants nothing, the page with the reason."""
    licence = get_object_or_404(queries.licence_in_full(pk))
    try:
        policy = licence_as_odrl(
            replace(queries.grant_on(licence, licence.pictures.all()), trade=licence.trade or None),  # as it was agreed
            number=licence.number,
            at=Addresses(studio=settings.SITE_ADDRESS),
            words=licence.frozen.get("sentences", ()),
            language=licence.frozen.get("language", "en"),
            words_sha256=licence.frozen_sha256,
            credit_line=licence.credit_line,
        )
    except NotExported:
        return show_licence(request, pk, status=422)
    name = f"licence-{licence.number.replace('/', '-')}.jsonld"
    return HttpResponse(
        json.dumps(policy, indent=2, ensure_ascii=False),
        content_type="application/ld+json",
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )


@open_door
@require_safe
def licence_terms(request: HttpRequest) -> HttpResponse:
    """What the own terms of exported licences mean, for programs: one document, at the profile's address and at each term's."""
    return _profile()


@open_door
@require_safe
def licence_term(request: HttpRequest, term: str) -> HttpResponse:
    return _profile(term)


def _profile(term: str = "") -> HttpResponse:
    profile = licence_profile(Addresses(studio=settings.SITE_ADDRESS))
    if term and f"own:{term}" not in {each["@id"] for each in profile["@reverse"]["skos:inScheme"]}:
        raise Http404
    return HttpResponse(
        json.dumps(profile, indent=1, ensure_ascii=False),
        content_type="application/ld+json",
        headers={"Access-Control-Allow-Origin": "*"},
    )


def _file(file: StoredFile) -> HttpResponse:
    return FileResponse(file.path.open("rb"), content_type=file.media_type, filename=file.name)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def send_licence(request: HttpRequest, pk: int) -> HttpResponse:
    licence, form = get_object_or_404(Licence, pk=pk), sheets.SendForm(request.POST)
    if not form.is_valid():
        return show_licence(request, pk, status=422, send_form=form)
    message = actions.send_licence(licence, to=form.cleaned_data["to"], at=timezone.now())
    messages.info(request, f"The e-mail to {message.to}: {message.get_state_display().lower()}.")
    return redirect("licence_page", pk)


@door(reads=STUDIO, writes=STUDIO)
def place_licence(request: HttpRequest, pk: int) -> HttpResponse:
    licence = get_object_or_404(Licence.objects.select_related("shoot", "licensee"), pk=pk, shoot__isnull=False)
    start = {
        "pictures": queries.suggested_pictures(licence),
        "first_day": max(licence.shoot.delivered_on or _on(), licence.begins_on or _on()),
    }
    form = sheets.PlaceForm(
        request.POST if request.method == "POST" else None, shoot=licence.shoot, licence=licence, initial=start
    )
    if form.is_valid():
        first_day = form.cleaned_data.get("first_day") or licence.use_from
        try:
            actions.place_licence(
                licence, pictures=form.cleaned_data["pictures"], first_day=first_day, at=timezone.now()
            )
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"{licence.number} is placed. The pictures show what it grants.")
            return redirect("licence_page", pk)
    context = {"licence": licence, "form": form, "pictures": queries.pictures_to_place(licence)}
    return render(request, "shoots/licences/place_licence.html", context, status=422 if form.is_bound else 200)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def accept_licence(request: HttpRequest, pk: int) -> HttpResponse:
    licence = get_object_or_404(Licence, pk=pk)
    form = sheets.AcceptForm(request.POST, licence=licence)
    if form.is_valid():
        try:
            actions.accept_licence(licence, **form.cleaned_data, at=timezone.now())
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"{licence.number} is granted. Its fee goes on the next month’s invoice.")
            return redirect("licence_page", pk)
    return show_licence(request, pk, status=422, accept_form=form)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def offer_draft(request: HttpRequest, pk: int) -> HttpResponse:
    licence, form = get_object_or_404(Licence, pk=pk), sheets.OfferDraftForm(request.POST)
    if form.is_valid():
        try:
            actions.offer_draft(licence, **form.cleaned_data, at=timezone.now())
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"{licence.number} is offered. It blocks nobody until the client says yes.")
            return redirect("licence_page", pk)
    return show_licence(request, pk, status=422, offer_form=form)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def discard_draft(request: HttpRequest, pk: int) -> HttpResponse:
    licence = get_object_or_404(Licence, pk=pk)
    actions.discard_draft(licence, at=timezone.now())
    messages.success(request, f"Draft {licence.number} is deleted.")
    return redirect("licences")
