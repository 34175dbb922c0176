from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone, translation
from django.views.decorators.http import require_POST

from billing.estimates import actions
from billing.estimates.comparing import compared, uses_told
from billing.estimates.forms import CurrencyForm, EstimateForm, ItemForm, LineForms, OptionForm
from billing.estimates.models import Estimate, EstimateState, LineKind
from billing.estimates.papers import estimate_pdf, sum_rows
from billing.estimates.queries import (
    accepted_estimate_of,
    card_of,
    check_before_sending,
    estimate_as_read,
    estimate_in_full,
    estimates_listed,
    estimates_of_shoot,
    estimates_to_copy,
    items_of,
    missing_before_sending,
    optional_items_of,
    repriced,
    shoots_to_estimate,
    wider_uses,
)
from billing.estimates.snapshot import accepted_from_json
from billing.rates.fees import MOST_ITEMS
from billing.rates.queries import rates_in_force
from billing.rates.steps import lines_in_words
from shared.access.doors import STUDIO, door
from shared.access.once import once
from shared.business.queries import business_or_none, current_business, today
from shared.errors import Refusal
from shared.links.queries import links_for, shown_path
from shared.papers.printing import kept_picture_uri
from shoots.brief.models import USE_FIELDS, AgreedPicture, Shoot
from shoots.uses.forms import use_words

A_PAGE = 50  # rows of a list


@door(reads=STUDIO)
def estimates(request: HttpRequest) -> HttpResponse:
    state, text = request.GET.get("state", ""), request.GET.get("q", "")
    page = Paginator(estimates_listed(state=state, text=text), A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "state": state,
        "q": text,
        "states": EstimateState.choices,
        "today": today(timezone.now()),
    }
    return render(request, "billing/estimates/estimates.html", context)


@door(reads=STUDIO)
def choose_shoot(request: HttpRequest) -> HttpResponse:
    page = Paginator(shoots_to_estimate(), A_PAGE).get_page(request.GET.get("page"))
    return render(request, "billing/estimates/choose_shoot.html", {"page": page})


@door(reads=STUDIO, writes=STUDIO)
@once
def new_estimate(request: HttpRequest, shoot: int) -> HttpResponse:
    found = get_object_or_404(Shoot.objects.select_related("client", "billing_party", "licensee", "kitchen"), pk=shoot)
    if request.method == "POST":
        draft = actions.draft_three_options if request.POST.get("do") == "three" else actions.draft_estimate
        return redirect("estimate", pk=draft(found, at=timezone.now()).pk)
    return render(request, "billing/estimates/new.html", {"shoot": found, "estimates": estimates_of_shoot(shoot)})


@door(reads=STUDIO, writes=STUDIO)
@once
def draft_like(request: HttpRequest, shoot: int) -> HttpResponse:
    """A draft for a shoot from an earlier estimate: the one pressed, of this client's first, or found by a word."""
    found = get_object_or_404(Shoot.objects.select_related("client", "billing_party", "licensee", "kitchen"), pk=shoot)
    refused: Refusal | None = None
    if request.method == "POST":
        source = get_object_or_404(Estimate, pk=request.POST.get("source") or 0)
        try:
            made = actions.draft_like(found, source, at=timezone.now())
        except Refusal as refusal:
            refused = refusal
        else:
            messages.info(request, f"Drafted like {source}, by your rates of today. Prices you typed there are kept.")
            return redirect("estimate", pk=made.pk)
    text = request.GET.get("q", "")
    page = Paginator(estimates_to_copy(found, text=text), A_PAGE).get_page(request.GET.get("page"))
    context = {"shoot": found, "page": page, "q": text, "refused": refused}
    return render(request, "billing/estimates/draft_like.html", context, status=refused.status if refused else 200)


@door(reads=STUDIO, writes=STUDIO)
@once
def estimate_card(request: HttpRequest, pk: int) -> HttpResponse:
    """What a draft would change by the rates and fees of today; a press takes them."""
    if _found(pk).state != EstimateState.DRAFT:
        return redirect("estimate", pk=pk)
    row, at = estimate_in_full(pk), timezone.now()
    refused: Refusal | None = None
    if request.method == "POST":
        try:
            actions.use_card_of_today(row, at=at)
        except Refusal as refusal:
            refused = refusal
        else:
            messages.info(request, "The draft goes by your rates and fees of today.")
            return redirect("estimate", pk=pk)
    card = rates_in_force(today(at))
    changed = [each for each in repriced(row, to_card=card, to_rate=row.currency_rate) if each.is_changed]
    context = {"estimate": row, "changed": changed, "own": card_of(row), "card": card, "refused": refused}
    return render(request, "billing/estimates/card.html", context, status=refused.status if refused else 200)


@door(reads=STUDIO, writes=STUDIO)
@once
def estimate_currency(request: HttpRequest, pk: int) -> HttpResponse:
    """The money a draft is offered in, with the rate, its day and its source."""
    row, on = _found(pk), today(timezone.now())
    if row.state != EstimateState.DRAFT:
        return redirect("estimate", pk=pk)
    own = card_of(row).currency
    start = {
        "currency": row.currency if row.currency_rate else row.shoot.billing_party.currency,
        "rate": row.currency_rate,
        "rate_on": row.currency_rate_on or on,
        "source": row.currency_rate_source,
    }
    form = CurrencyForm(request.POST or None, own=own, on=on, initial=start)
    if request.method == "POST" and form.is_valid():
        try:
            actions.offer_in_currency(row, **form.cleaned_data)
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.info(request, f"The draft is in {form.cleaned_data['currency']} now.")
            return redirect("estimate", pk=pk)
    context = {"estimate": row, "form": form, "own": own}
    return render(request, "billing/estimates/currency.html", context, status=422 if form.errors else 200)


@door(reads=STUDIO)
def shoot_estimates_panel(request: HttpRequest, shoot: int) -> HttpResponse:
    found = get_object_or_404(Shoot, pk=shoot)
    context = {
        "shoot": found,
        "estimates": estimates_of_shoot(shoot),
        "accepted": accepted_estimate_of(found),
        "today": today(timezone.now()),
    }
    return render(request, "billing/estimates/shoot_panel.html", context)


@door(reads=STUDIO, writes=STUDIO)
def estimate(request: HttpRequest, pk: int) -> HttpResponse:
    _found(pk)
    row = estimate_in_full(pk)
    if row.state != EstimateState.DRAFT:
        return render(request, "billing/estimates/estimate.html", _read_context(row))
    forms = _edit_forms(request, row)
    if request.method != "POST":
        return render(request, "billing/estimates/edit.html", _edit_context(row, forms))
    if all(form.is_valid() for form in forms["all"]):
        try:
            return _save(request, row, forms)
        except Refusal as refusal:
            forms["terms"].say(refusal)
    row = estimate_in_full(pk)
    return render(request, "billing/estimates/edit.html", _edit_context(row, forms), status=422)


@door(reads=STUDIO, writes=STUDIO)
@once
def option_uses(request: HttpRequest, pk: int, letter: str) -> HttpResponse:
    """The uses of one option of a draft: its own, and further ones to add and take off."""
    if _found(pk).state != EstimateState.DRAFT:
        return redirect("estimate", pk=pk)
    row = estimate_in_full(pk)
    option = next((each for each in row.options.all() if each.letter == letter), None)
    if option is None:
        raise Http404
    remove, asked = request.POST.get("remove", ""), request.GET.get("change", "")
    changed = next((each for each in option.further_items.all() if str(each.pk) == asked), None)
    start: Any = {"use_territories": option.use_territories}
    if changed:
        start = {name: getattr(changed, name) for name in USE_FIELDS}
    form = ItemForm(
        request.POST if request.method == "POST" and not remove else None,
        use_on=today(row.made_at),
        use=start,
        initial={"is_optional": bool(changed and changed.is_optional)},
    )
    if remove or form.is_valid():
        try:
            done = _change_uses(row, letter, form, remove=remove, asked=asked)
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.info(request, done)
            return redirect("option_uses", pk=pk, letter=letter)
    licensee = row.shoot.licensee.name
    fees = [(line, lines_in_words(line.figures)) for line in option.lines.all() if line.kind == LineKind.USAGE]
    uses = [
        {"use": each, "words": use_words({name: getattr(each, name) for name in USE_FIELDS}, licensee)}
        for each in (*items_of(option), *optional_items_of(option))  # as the lines of the fee count them
    ]
    context = {
        "estimate": row,
        "option": option,
        "changed": changed,
        "uses": uses,
        "fees": fees,
        "own": card_of(row).currency,
        "form": form,
        "is_full": len(uses) >= MOST_ITEMS,
    }
    return render(request, "billing/estimates/option_uses.html", context, status=422 if form.errors else 200)


def _change_uses(row: Estimate, letter: str, form: ItemForm, *, remove: str, asked: str) -> str:
    """Takes a use off, changes or adds one, and says what was done."""
    if remove:
        actions.remove_item(row, item=int(remove) if remove.isdecimal() else 0)
        return "The use is taken off."
    given = {"use": form.use_values(), "is_optional": form.cleaned_data["is_optional"]}
    if asked:
        actions.change_item(row, item=int(asked) if asked.isdecimal() else 0, **given)
        return "The use is changed."
    actions.add_item(row, letter=letter, **given)
    return "The use is added."


@door(reads=STUDIO)
def estimate_preview(request: HttpRequest, pk: int) -> HttpResponse:
    _found(pk)
    shown = estimate_as_read(estimate_in_full(pk), at=timezone.now())
    with translation.override(shown.language):
        return render(
            request,
            "billing/estimates/preview.html",
            {
                "shown": shown,
                "language": shown.language,
                "comparison": compared(shown),
                "options": [
                    (option, sum_rows(shown, option, option.sums), uses_told(option)) for option in shown.options
                ],
            },
        )


@door(reads=STUDIO)
def estimate_paper(request: HttpRequest, pk: int) -> FileResponse | HttpResponse:
    row = _found(pk)
    if row.paper is not None:
        return FileResponse(row.paper.path.open("rb"), content_type=row.paper.media_type, filename=row.paper.name)
    business = current_business(today(timezone.now()))
    pdf = estimate_pdf(
        estimate_as_read(estimate_in_full(pk), at=timezone.now()), logo=kept_picture_uri(business.logo), mark="Draft"
    )
    return HttpResponse(
        pdf,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{row.number}-draft.pdf"'},
    )


@door(reads=STUDIO, writes=STUDIO)
@require_POST
@once
def revise_estimate(request: HttpRequest, pk: int) -> HttpResponse:
    fresh = actions.revise_estimate(_found(pk), at=timezone.now())
    messages.info(
        request,
        f"{fresh} is a draft. What was sent before stands until this one is sent, what was accepted until this one is accepted.",
    )
    return redirect("estimate", pk=fresh.pk)


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def discard_estimate(request: HttpRequest, pk: int) -> HttpResponse:
    row = _found(pk)
    shoot = row.shoot_id
    actions.discard_estimate(row)
    messages.info(request, f"The draft of {row} is deleted.")
    return redirect("shoot_page", pk=shoot)


def _found(pk: int) -> Estimate:
    return get_object_or_404(Estimate.objects.select_related("shoot__client", "paper"), pk=pk)


def _edit_forms(request: HttpRequest, row: Estimate) -> dict[str, Any]:
    typed = request.POST if request.method == "POST" else None
    pictures = list(row.shoot.agreed_pictures.exclude(state=AgreedPicture.State.LEFT_OUT))
    options = []
    for option in row.options.all():
        form = OptionForm(typed, instance=option, prefix=option.letter, shoot=row.shoot, pictures=pictures)
        lines = LineForms(typed, instance=option, prefix=f"{option.letter}-lines")
        options.append({"option": option, "form": form, "lines": lines})
    terms = EstimateForm(typed, instance=row, prefix="t")
    return {
        "terms": terms,
        "options": options,
        "all": [terms, *(form for each in options for form in (each["form"], each["lines"]))],
    }


def _save(request: HttpRequest, row: Estimate, forms: dict[str, Any]) -> HttpResponse:
    edits = [
        actions.OptionEdit(
            each["form"].edited(),
            list(each["form"].cleaned_data["pictures"]),
            each["lines"].edited(),
            each["lines"].removed(),
        )
        for each in forms["options"]
    ]
    terms = forms["terms"]
    actions.save_estimate(
        row, fields=terms.Meta.fields, version=terms.cleaned_data["version"], options=edits, at=timezone.now()
    )
    try:
        return _do(request, row)
    except Refusal as refusal:  # what was typed is saved all the same
        messages.warning(request, str(refusal))
        return redirect("estimate", pk=row.pk)


def _do(request: HttpRequest, row: Estimate) -> HttpResponse:
    deed, _, about = request.POST.get("do", "save").partition(":")
    place = ""
    match deed:
        case "send":
            return redirect("send_estimate", pk=row.pk)
        case "copy":
            place = f"#option-{actions.add_option(row, copied_from=about).letter}"
        case "sizes":
            place = f"#option-{actions.add_sizes(row, of=about)[0].letter}"
        case "remove":
            actions.remove_option(row, letter=about)
        case "wider":
            letter, _, key = about.partition("-")
            is_taken = actions.take_wider_use(row, letter=letter, key=key)
            messages.info(
                request,
                "The draft is saved and the licence covers more, at the same fee."
                if is_taken
                else "The draft is saved. With what you changed, the wider use no longer costs the same: it was not taken.",
            )
            return redirect(f"{reverse('estimate', args=[row.pk])}#option-{letter}")
        case "up" | "down":
            letter, _, line = about.partition("-")
            actions.move_line(row, line=int(line) if line.isdecimal() else 0, places=-1 if deed == "up" else 1)
            place = f"#option-{letter}"
        case _:
            place = f"#option-{about}" if about else ""
    messages.info(request, "The draft is saved.")
    response = redirect("estimate", pk=row.pk)
    response["Location"] += place
    return response


def _edit_context(row: Estimate, forms: dict[str, Any]) -> dict[str, Any]:
    on = today(timezone.now())
    business = business_or_none(timezone.now())
    shown = estimate_as_read(row, at=timezone.now()) if business else None
    options = {option.letter: option for option in shown.options} if shown else {}
    for each in forms["options"]:
        each["shown"] = options.get(each["option"].letter)
        each["wider"] = wider_uses(each["option"], row)
        amounts = {line.key: line.amount for line in each["shown"].lines} if each["shown"] else {}
        for form in each["lines"].forms:
            form.amount = amounts.get(str(form.instance.pk))
            form.fee = lines_in_words(form.instance.figures) if form.instance.kind == LineKind.USAGE else ()
    context = {
        "estimate": row, "shown": shown, "terms": forms["terms"], "options": forms["options"], "missing": missing_before_sending(row, business=business, on=on),
        "notes": check_before_sending(row, business=business) if business else [], "today": on, "card": card_of(row),
    }  # fmt: skip
    first = row.shoot.client.parts.filter(orders=True).select_related("person").first()
    context["orderer"] = first.person.name if first else row.shoot.client.name
    return context


def _read_context(row: Estimate) -> dict[str, Any]:
    at = timezone.now()
    link = links_for(f"estimate:{row.pk}").first()
    newer = Estimate.objects.filter(number=row.number, issue__gt=row.issue).order_by("-issue").first()
    shown = estimate_as_read(row, at=at)
    return {
        "estimate": row, "shown": shown, "options": [(option, sum_rows(shown, option, option.sums)) for option in shown.options], "accepted": accepted_from_json(row.accepted_snapshot) if row.accepted_snapshot else None, "link": link,
        "link_path": shown_path(link), "questions": row.questions.all(), "newer": newer, "today": today(at),
        "days_since": (today(at) - today(row.sent_at)).days if row.sent_at else 0, "is_reminded_today": bool(row.reminded_at and today(row.reminded_at) == today(at)),
        "fees": row.cancellation_fees.all(), "is_expired": bool(row.valid_until and row.valid_until < today(at)),
    }  # fmt: skip
