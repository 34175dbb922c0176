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
from billing.estimates.forms import (
    CallOffForm,
    CurrencyForm,
    DeclineForm,
    EstimateForm,
    ItemForm,
    LineForms,
    OfferForm,
    OptionForm,
    QuestionForm,
    SendForm,
)
from billing.estimates.models import ClientQuestion, Estimate, EstimateState, LineKind
from billing.estimates.papers import estimate_pdf, sum_rows
from billing.estimates.queries import (
    accepted_estimate_of,
    billed_by,
    card_of,
    check_before_sending,
    estimate_in_full,
    estimate_shown,
    estimates_listed,
    estimates_of_shoot,
    estimates_to_copy,
    fee_by_terms,
    is_called_off,
    is_weather_free,
    items_of,
    missing_before_sending,
    optional_items_of,
    repriced,
    shoots_to_estimate,
    sums_with,
    wider_uses,
    with_tax_of,
)
from billing.estimates.snapshot import AcceptedShown, EstimateShown, SumsShown, accepted_from_json, estimate_from_json
from billing.estimates.terms import can_be_accepted
from billing.rates.fees import MOST_ITEMS
from billing.rates.queries import rates_in_force
from billing.rates.steps import lines_in_words
from shared.access.doors import STUDIO, door, link_door
from shared.access.once import once
from shared.business.queries import business_or_none, current_business, today
from shared.errors import Refusal
from shared.links.queries import links_for, shown_path
from shared.outbox.actions import has_mail_server
from shared.papers.printing import kept_picture_uri
from shared.words import formats
from shared.words.formats import money
from shoots.brief.models import AgreedPicture, Shoot
from shoots.licences.actions import USE_FIELDS
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
def send_estimate(request: HttpRequest, pk: int) -> HttpResponse:
    if _found(pk).state != EstimateState.DRAFT:
        return redirect("estimate", pk=pk)
    row, at = estimate_in_full(pk), timezone.now()
    is_exclusive = any(
        use.exclusivity != "none"
        for option in row.options.all()
        for use in (*items_of(option), *optional_items_of(option))
    )
    form = SendForm(request.POST or None, needs_signature=is_exclusive, initial=_addressee(row))
    if request.method == "POST" and form.is_valid():
        try:
            row = actions.send_estimate(row, at=at, **form.cleaned_data)
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.info(request, f"{row} is on its way to {form.cleaned_data['to_name']}.")
            return redirect("estimate", pk=pk)
    return render(
        request,
        "billing/estimates/send.html",
        _send_context(row, form, at, is_exclusive=is_exclusive),
        status=422 if form.errors else 200,
    )


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
    shown = _shown(estimate_in_full(pk))
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
    pdf = estimate_pdf(_shown(estimate_in_full(pk)), logo=kept_picture_uri(business.logo), mark="Draft")
    return HttpResponse(
        pdf,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{row.number}-draft.pdf"'},
    )


@door(reads=STUDIO, writes=STUDIO)
@require_POST
@once
def remind_client(request: HttpRequest, pk: int) -> HttpResponse:
    row = _found(pk)
    actions.remind_client(row, at=timezone.now())
    messages.info(request, f"A reminder is on its way to {row.sent_to}.")
    return redirect("estimate", pk=pk)


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def call_back_estimate(request: HttpRequest, pk: int) -> HttpResponse:
    row = _found(pk)
    actions.call_back_estimate(row, at=timezone.now())
    messages.info(request, f"{row} is called back. The client’s page says so.")
    return redirect("estimate", pk=pk)


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


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def answer_question(request: HttpRequest, pk: int) -> HttpResponse:
    question = get_object_or_404(ClientQuestion, pk=pk)
    actions.mark_question_answered(question, at=timezone.now())
    return redirect("estimate", pk=question.estimate_id)


@door(reads=STUDIO, writes=STUDIO)
@once
def estimate_cancel_shoot(request: HttpRequest, shoot: int) -> HttpResponse:
    row, at = accepted_estimate_of(get_object_or_404(Shoot, pk=shoot)), timezone.now()
    if row is None:
        return redirect("cancel_shoot", pk=shoot)
    form = CallOffForm(request.POST or None, is_weather_free=is_weather_free(row))
    if request.method == "POST" and form.is_valid():
        try:
            fee = actions.call_off_shoot(row, by=str(request.user), at=at, **form.cleaned_data)
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.info(
                request,
                f"{row.shoot}: {fee.get_kind_display().lower()}. Fee by the terms: {money(fee.amount_net, fee.currency, 'en')} before VAT.",
            )
            return redirect("estimate", pk=row.pk)
    return render(
        request,
        "billing/estimates/cancel_shoot.html",
        _call_off_context(row, form, at),
        status=422 if form.errors else 200,
    )


# The client's page, opened by private link


@link_door("estimate", lands=True)
@once
def offer(request: HttpRequest, token: str) -> HttpResponse:
    row = _offered(request)
    with translation.override(row.language):
        if request.method == "GET":
            if request.link.times_opened == 1 and not request.user.is_authenticated:
                actions.note_shown(row, link=request.link, at=timezone.now())
            return _offer_page(request, row, token)
        match request.POST.get("do"):
            case "accept":
                return _accept(request, row, token)
            case "decline":
                return _decline(request, row, token)
            case "ask":
                return _ask(request, row, token)
        return _offer_page(request, row, token, typed=request.POST)


@link_door("estimate")
def offer_sums(request: HttpRequest, token: str) -> HttpResponse:
    row = _offered(request)
    with translation.override(row.language):
        return render(
            request,
            "billing/estimates/offer_sums.html",
            _chosen_context(_shown(row), request.GET) | {"token": token, "is_swap": True},
        )


@link_door("estimate")
def offer_terms(request: HttpRequest, token: str) -> HttpResponse:
    row = _offered(request)
    with translation.override(row.language):
        return render(
            request,
            "billing/estimates/offer_terms.html",
            {"shown": _shown(row), "language": row.language, "token": token},
        )


@link_door("estimate")
def offer_paper(request: HttpRequest, token: str) -> FileResponse:
    row = _offered(request)
    if row.paper is None:
        raise Http404
    return FileResponse(row.paper.path.open("rb"), content_type=row.paper.media_type, filename=row.paper.name)


def _offered(request: HttpRequest) -> Estimate:
    row = get_object_or_404(
        Estimate.objects.select_related("shoot", "paper"), pk=request.link.subject.removeprefix("estimate:")
    )
    if row.state == EstimateState.DRAFT:
        raise Http404
    return row


def _chosen_context(shown: EstimateShown, typed: Any) -> dict[str, Any]:
    """The option the client has pressed, with its optional lines and their sums; none is chosen beforehand where there are several."""
    option = shown.option(typed.get("option", "")) or (shown.options[0] if len(shown.options) == 1 else None)
    if option is None:
        return {"shown": shown, "chosen": None}
    keys = set(typed.getlist("lines")) if hasattr(typed, "getlist") else set()
    taken = [line for line in option.lines if not line.is_optional or line.key in keys]
    sums, chosen = sums_with(shown, taken, option), option.taking(keys)
    return {
        "shown": shown, "chosen": chosen, "taken": taken, "keys": keys, "sums": sums, "rows": sum_rows(shown, option, sums),
        "deposit_words": _deposit_words(shown, sums), "uses": uses_told(chosen),
    }  # fmt: skip


def _deposit_words(shown: EstimateShown | AcceptedShown, sums: SumsShown) -> str:
    if not sums.deposit:
        return ""
    percent = formats.percent(shown.deposit_percent, shown.language)
    deposit = formats.money(sums.deposit, shown.currency, shown.language)
    if isinstance(shown, AcceptedShown):
        return translation.gettext("%(percent)s deposit, %(sum)s") % {"percent": percent, "sum": deposit}
    return translation.gettext("%(percent)s deposit, %(sum)s, due %(days)s days after you accept") % {
        "percent": percent,
        "sum": deposit,
        "days": shown.deposit_days,
    }


def _offer_page(
    request: HttpRequest,
    row: Estimate,
    token: str,
    *,
    typed: Any = None,
    form: Any = None,
    decline: Any = None,
    ask: Any = None,
    is_too_late: bool = False,
    status: int = 200,
) -> HttpResponse:
    shown, on = _shown(row), today(timezone.now())
    is_undecided = row.state == EstimateState.SENT
    closed = is_undecided and ("cancelled" if is_called_off(row) else "billed" if billed_by(row) else "")
    is_open = is_undecided and not closed and can_be_accepted(row.valid_until, on)
    newer = Estimate.objects.filter(number=row.number, issue__gt=row.issue).exclude(state=EstimateState.DRAFT).exists()
    context = _chosen_context(shown, typed or request.GET) | {
        "estimate": row, "token": token, "language": row.language, "is_open": is_open, "is_expired": is_undecided and not closed and not is_open,
        "accepted": accepted_from_json(row.accepted_snapshot) if row.accepted_snapshot else None, "form": form or _offer_form(shown, typed),
        "decline": decline or DeclineForm(), "ask": ask or QuestionForm(), "opened": [name for name, each in (("decline", decline), ("ask", ask)) if each],
        "is_newer": newer, "closed": closed, "has_mail": has_mail_server(), "is_too_late": is_too_late, "comparison": compared(shown),
    }  # fmt: skip
    accepted = context["accepted"]
    if accepted is not None:
        context |= {
            "accepted_rows": sum_rows(accepted, accepted.option, accepted.sums),
            "accepted_deposit": _deposit_words(accepted, accepted.sums),
        }
    return render(request, "billing/estimates/offer.html", context, status=status)


def _offer_form(shown: EstimateShown, typed: Any = None, *, is_bound: bool = False) -> OfferForm:
    option = shown.option(typed.get("option", "")) if typed else None
    keys = [line.key for line in option.optional_lines] if option else []
    initial = (
        {name: typed.get(name, "") for name in ("name", "role", "order_number")} if typed and not is_bound else None
    )
    return OfferForm(
        typed if is_bound else None,
        initial=initial,
        letters=[each.letter for each in shown.options],
        keys=keys,
        client_name=shown.client_name,
        needs_order_number=shown.is_order_number_required,
    )


def _accept(request: HttpRequest, row: Estimate, token: str) -> HttpResponse:
    form = _offer_form(_shown(row), request.POST, is_bound=True)
    if form.is_valid():
        given = form.cleaned_data
        try:
            actions.accept_estimate(
                row, letter=given["option"], keys=given["lines"], name=given["name"], role=given["role"], order_number=given["order_number"],
                at=timezone.now(), address=request.META.get("REMOTE_ADDR"),
            )  # fmt: skip
        except (actions.EstimateDecided, actions.EstimateExpired, actions.JobClosed):
            row.refresh_from_db()
            return _offer_page(request, row, token, is_too_late=True, status=409)
        except (actions.OptionUnknown, actions.OrderNumberMissing) as refusal:
            form.say(refusal)
        except Refusal as why:  # it may concern another client: the owner reads why, the client does not
            actions.note_stopped_acceptance(
                row, letter=given["option"], name=given["name"], role=given["role"], why=why, at=timezone.now()
            )
            form.add_error(
                None,
                translation.gettext(
                    "It cannot be accepted just now. Nothing was ordered. The photographer has been told and will write to you."
                ),
            )
        else:
            return redirect("offer", token=token)
    return _offer_page(request, row, token, typed=request.POST, form=form, status=422)


def _decline(request: HttpRequest, row: Estimate, token: str) -> HttpResponse:
    form = DeclineForm(request.POST)
    if not form.is_valid():
        return _offer_page(request, row, token, typed=request.POST, decline=form, status=422)
    try:
        actions.decline_estimate(row, reason=form.cleaned_data["reason"], at=timezone.now())
    except actions.EstimateDecided:
        row.refresh_from_db()
        return _offer_page(request, row, token, is_too_late=True, status=409)
    return redirect("offer", token=token)


def _ask(request: HttpRequest, row: Estimate, token: str) -> HttpResponse:
    form = QuestionForm(request.POST)
    if not form.is_valid():
        return _offer_page(request, row, token, typed=request.POST, ask=form, status=422)
    actions.ask_question(row, name=form.cleaned_data["asker"], text=form.cleaned_data["text"], at=timezone.now())
    messages.info(
        request, translation.gettext("Your question is kept and on its way. The answer comes by e-mail or phone.")
    )
    return redirect("offer", token=token)


def _found(pk: int) -> Estimate:
    return get_object_or_404(Estimate.objects.select_related("shoot__client", "paper"), pk=pk)


def _shown(row: Estimate) -> EstimateShown:
    if row.snapshot:
        return estimate_from_json(row.snapshot)
    on = today(timezone.now())
    business = current_business(on)
    return estimate_shown(with_tax_of(business, row), business=business, on=on)


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
    shown = _shown(row) if business else None
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
    shown = _shown(row)
    return {
        "estimate": row, "shown": shown, "options": [(option, sum_rows(shown, option, option.sums)) for option in shown.options], "accepted": accepted_from_json(row.accepted_snapshot) if row.accepted_snapshot else None, "link": link,
        "link_path": shown_path(link), "questions": row.questions.all(), "newer": newer, "today": today(at),
        "days_since": (today(at) - today(row.sent_at)).days if row.sent_at else 0, "is_reminded_today": bool(row.reminded_at and today(row.reminded_at) == today(at)),
        "fees": row.cancellation_fees.all(), "is_expired": bool(row.valid_until and row.valid_until < today(at)),
    }  # fmt: skip


def _addressee(row: Estimate) -> dict[str, str]:
    parts = row.shoot.client.parts.select_related("person").order_by("-orders", "pk")
    person = next((part.person for part in parts if part.person.email), None)
    return {
        "to_name": person.name if person else row.shoot.client.name,
        "to": person.email if person else row.shoot.client.invoice_email,
    }


def _send_context(row: Estimate, form: SendForm, at: Any, *, is_exclusive: bool) -> dict[str, Any]:
    on, business = today(at), business_or_none(at)
    row.signed_by = row.signed_by or ("to be signed here" if is_exclusive else "")
    return {
        "estimate": row, "form": form, "missing": missing_before_sending(row, business=business, on=on), "is_exclusive": is_exclusive,
        "notes": check_before_sending(row, business=business) if business else [], "shown": _shown(row) if business else None,
    }  # fmt: skip


def _call_off_context(row: Estimate, form: CallOffForm, at: Any) -> dict[str, Any]:
    on = today(at)
    return {
        "estimate": row, "form": form, "today": on, "usual": fee_by_terms(row, row.shoot, kind="cancelled", on=on), "is_weather_free": is_weather_free(row),
    }  # fmt: skip
