from typing import Any

from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone, translation
from django.views.decorators.http import require_POST

from billing.estimates.adding_up import sums_with
from billing.estimates.comparing import compared, uses_told
from billing.estimates.models import ClientQuestion, Estimate, EstimateState
from billing.estimates.papers import sum_rows
from billing.estimates.queries import (
    accepted_estimate_of,
    billed_by,
    check_before_sending,
    estimate_as_read,
    estimate_in_full,
    is_called_off,
    items_of,
    missing_before_sending,
    optional_items_of,
)
from billing.estimates.snapshot import AcceptedShown, EstimateShown, SumsShown, accepted_from_json, estimate_from_json
from billing.estimates.terms import can_be_accepted
from billing.orders import actions
from billing.orders.forms import CallOffForm, DeclineForm, OfferForm, QuestionForm, SendForm
from billing.orders.queries import fee_by_terms, is_weather_free
from shared.access.doors import STUDIO, door, link_door
from shared.access.once import once
from shared.business.queries import business_or_none, today
from shared.errors import Refusal
from shared.outbox.actions import has_mail_server
from shared.words import formats
from shared.words.formats import money
from shoots.brief.models import Shoot


@door(reads=STUDIO, writes=STUDIO)
def send_estimate(request: HttpRequest, pk: int) -> HttpResponse:
    if get_object_or_404(Estimate, pk=pk).state != EstimateState.DRAFT:
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
        "billing/orders/send.html",
        _send_context(row, form, at, is_exclusive=is_exclusive),
        status=422 if form.errors else 200,
    )


@door(reads=STUDIO, writes=STUDIO)
@require_POST
@once
def remind_client(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(Estimate, pk=pk)
    actions.remind_client(row, at=timezone.now())
    messages.info(request, f"A reminder is on its way to {row.sent_to}.")
    return redirect("estimate", pk=pk)


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def call_back_estimate(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(Estimate, pk=pk)
    actions.call_back_estimate(row, at=timezone.now())
    messages.info(request, f"{row} is called back. The client’s page says so.")
    return redirect("estimate", pk=pk)


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
        "billing/orders/cancel_shoot.html",
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
            "billing/orders/offer_sums.html",
            _chosen_context(estimate_from_json(row.snapshot), request.GET) | {"token": token, "is_swap": True},
        )


@link_door("estimate")
def offer_terms(request: HttpRequest, token: str) -> HttpResponse:
    row = _offered(request)
    with translation.override(row.language):
        return render(
            request,
            "billing/orders/offer_terms.html",
            {"shown": estimate_from_json(row.snapshot), "language": row.language, "token": token},
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
    shown, on = estimate_from_json(row.snapshot), today(timezone.now())
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
            "uses": uses_told(accepted.option),
        }
    return render(request, "billing/orders/offer.html", context, status=status)


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
    form = _offer_form(estimate_from_json(row.snapshot), request.POST, is_bound=True)
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
        "notes": check_before_sending(row, business=business) if business else [], "shown": estimate_as_read(row, at=at) if business else None,
    }  # fmt: skip


def _call_off_context(row: Estimate, form: CallOffForm, at: Any) -> dict[str, Any]:
    on = today(at)
    return {
        "estimate": row, "form": form, "today": on, "usual": fee_by_terms(row, row.shoot, kind="cancelled", on=on), "is_weather_free": is_weather_free(row),
    }  # fmt: skip
