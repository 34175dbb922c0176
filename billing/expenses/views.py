from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone, translation
from django.views.decorators.http import require_POST

from billing.estimates.models import EstimateLine
from billing.expenses import actions, queries
from billing.expenses.forms import AnswerForm, AskForMoreForm, ExpenseFilter, ExpenseForm, JourneyForm
from billing.expenses.models import CapRaise, Expense, Journey
from shared.access.doors import EVERYONE, NOBODY, OWNER, STUDIO, door, link_door
from shared.access.once import once
from shared.addresses import row_named
from shared.business.queries import today
from shared.errors import Refusal
from shoots.brief.models import Shoot

A_PAGE = 50


@door(reads=EVERYONE)
def expenses(request: HttpRequest) -> HttpResponse:
    form = ExpenseFilter(request.GET)
    on = today(timezone.now())
    context = {
        "form": form,
        "page": Paginator(queries.expenses_listed(**(form.cleaned_data if form.is_valid() else {})), A_PAGE).get_page(
            request.GET.get("page")
        ),
        "journeys": queries.with_currency(queries.journeys_listed()[:10]),
        "month": on,
        "month_net": queries.expense_month_totals(on) or {queries.currency_on(on): Decimal(0)},
        "is_filtered": bool(request.GET),
    }
    return render(request, "billing/expenses/expenses.html", context)


@door(reads=STUDIO, writes=STUDIO)
@once
def new_expense(request: HttpRequest) -> HttpResponse:
    at = timezone.now()
    shoot = row_named(request.GET, "shoot", Shoot.objects.all())
    form = ExpenseForm(
        request.POST or None,
        request.FILES or None,
        initial={
            "shoot": shoot,
            "spent_on": today(at),
            "currency": queries.currency_on(today(at)),
            "charge": "at_cost" if shoot else "not",
        },
    )
    if form.is_valid():
        try:
            expense = actions.record_expense(**form.what_was_typed(), **_receipt(form), at=at)
        except Refusal as refusal:
            form.add_error("receipt_file", str(refusal))
        else:
            messages.success(request, f"{expense.what} is recorded.")
            return redirect("shoot_page", expense.shoot_id) if expense.shoot_id else redirect("expenses")
    _ask_for_the_file_again(form)
    return render(request, "billing/expenses/expense_form.html", {"form": form}, status=422 if form.is_bound else 200)


@door(reads=STUDIO, writes=STUDIO)
def expense_page(request: HttpRequest, pk: int) -> HttpResponse:
    expense = get_object_or_404(Expense.objects.select_related("shoot", "receipt", "estimate_line"), pk=pk)
    form = ExpenseForm(request.POST or None, request.FILES or None, instance=expense)
    if form.is_valid():
        try:
            actions.change_expense(
                expense,
                form.what_was_typed(),
                version=form.cleaned_data["version"],
                **_receipt(form),
                at=timezone.now(),
            )
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"{expense.what} is corrected.")
            return redirect("expenses")
    _ask_for_the_file_again(form)
    return render(
        request,
        "billing/expenses/expense_form.html",
        {"form": form, "expense": expense},
        status=422 if form.is_bound else 200,
    )


def _ask_for_the_file_again(form: ExpenseForm) -> None:
    """A browser gives a chosen file once: where something else was wrong it has to be chosen again, and the page says so."""
    if form.is_bound and form.files and "receipt_file" not in form.errors:
        form.add_error("receipt_file", "Choose the receipt again: a file is not kept while something else is wrong.")


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def remove_expense(request: HttpRequest, pk: int) -> HttpResponse:
    expense = get_object_or_404(Expense, pk=pk)
    actions.remove_expense(expense, at=timezone.now())
    messages.success(request, f"{expense.what} is taken off the books.")
    return redirect("expenses")


@door(reads=EVERYONE)
def receipt(request: HttpRequest, pk: int) -> FileResponse:
    expense = get_object_or_404(Expense.objects.select_related("receipt"), pk=pk)
    if expense.receipt is None:
        raise Http404
    return FileResponse(
        expense.receipt.path.open("rb"), content_type=expense.receipt.media_type, filename=expense.receipt.name
    )


@door(reads=STUDIO, writes=STUDIO)
@once
def new_journey(request: HttpRequest) -> HttpResponse:
    at = timezone.now()
    form = JourneyForm(request.POST or None, initial=queries.usual_journey(request.GET.get("shoot", ""), at))
    if form.is_valid():
        try:
            journey = actions.record_journey(**form.what_was_typed(), at=at)
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"The journey {journey} is recorded.")
            return redirect("shoot_page", journey.shoot_id) if journey.shoot_id else redirect("expenses")
    return render(request, "billing/expenses/journey_form.html", {"form": form}, status=422 if form.is_bound else 200)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def remove_journey(request: HttpRequest, pk: int) -> HttpResponse:
    actions.remove_journey(get_object_or_404(Journey, pk=pk), at=timezone.now())
    messages.success(request, "The journey is taken off the books.")
    return redirect("expenses")


@door(reads=OWNER, writes=OWNER)
@once
def ask_for_more(request: HttpRequest, line_pk: int) -> HttpResponse:
    line = get_object_or_404(EstimateLine.objects.select_related("option__estimate__shoot__client"), pk=line_pk)
    estimate = line.option.estimate
    cap = next((each for each in queries.caps_of(estimate.shoot) if each["line"].pk == line.pk), None)
    form = AskForMoreForm(request.POST or None, initial={"amount_net": cap["capped"].actual if cap else None})
    if form.is_valid():
        try:
            actions.ask_for_more(line, **form.cleaned_data, at=timezone.now())
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.success(
                request,
                f"The question is written to {estimate.shoot.client}. Until they say yes, no more than agreed is billed.",
            )
            return redirect("shoot_page", estimate.shoot_id)
    return render(
        request,
        "billing/expenses/ask_for_more.html",
        {"form": form, "line": line, "estimate": estimate, "cap": cap},
        status=422 if form.is_bound else 200,
    )


@link_door("cap_raise")
def answer_for_more(request: HttpRequest, token: str) -> HttpResponse:
    asked = get_object_or_404(
        CapRaise.objects.select_related("line", "estimate__shoot"), pk=int(request.link.subject.partition(":")[2])
    )  # type: ignore[attr-defined]
    form = AnswerForm(request.POST or None)
    with translation.override(asked.estimate.language):
        if form.is_valid():
            actions.answer_for_more(
                asked, is_agreed="agree" in request.POST, name=form.cleaned_data["name"], at=timezone.now()
            )
            return redirect(request.path)
        context = {
            "asked": asked,
            "form": form,
            "language": asked.estimate.language,
            "agreed": queries.agreed_for(asked.line, apart_from=asked),
        }
        return render(request, "billing/expenses/answer_for_more.html", context, status=422 if form.is_bound else 200)


@door(reads=STUDIO)
def shoot_costs_panel(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = get_object_or_404(Shoot, pk=shoot_pk)
    return render(request, "billing/expenses/shoot_costs_panel.html", {"shoot": shoot, **queries.costs_of(shoot)})


@door(reads=STUDIO)
def shoot_costs_line(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """How many costs of a shoot have their receipt, in a sentence: for the end of the day."""
    shoot = get_object_or_404(Shoot, pk=shoot_pk)
    costs = list(shoot.expenses.all())
    context = {"costs": costs, "missing": [each for each in costs if not each.receipt_id]}
    return render(request, "billing/expenses/shoot_costs_line.html", context)


def _receipt(form: ExpenseForm) -> dict[str, Any]:
    file = form.cleaned_data.get("receipt_file")
    return {"receipt": file.read(), "receipt_name": file.name} if file else {}
