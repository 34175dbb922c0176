from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import NoReverseMatch, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from billing.invoices.papers import invoice_pdf
from billing.invoices.queries import (
    deposits_to_bill,
    invoice_shown,
    invoices_not_sent,
    invoices_of_shoot,
    owed_rows,
    papers_named,
    standing_of,
    total_left,
)
from billing.jobs.plan import HeldBack, Problem, Why
from billing.jobs.queries import BillableJob, draft_of, jobs_to_bill, plan_for
from billing.months import actions, queries
from billing.months.accounts import write_table
from billing.months.forms import OrderNumberForm
from billing.payments.queries import received_in, reminders_due, with_papers
from shared.access.doors import BOOKS, NOBODY, OWNER, STUDIO, door
from shared.access.models import Role
from shared.access.once import once
from shared.business.queries import business_or_none, current_business, today
from shared.dates import InvalidMonth, add_months, last_of_month, month_bounds, parse_month
from shared.words.formats import money as money_words
from shoots.brief.models import Shoot

ROWS = 20
PARTICULARS_OF_THE_BUSINESS = "Your "


@door(reads=BOOKS)
def money(request: HttpRequest) -> HttpResponse:
    at = timezone.now()
    on = today(at)
    first, until = month_bounds(on)
    owed = owed_rows()
    due = reminders_due(on, owed)
    plan = plan_for(jobs_to_bill(on), issued_on=on, made_on=on) if business_or_none(at) else None
    context = {
        "today": on,
        "month": first,
        "last_month": _month_before(first),
        "owed": total_left(owed),
        "late": total_left(row for row in owed if row.due_on < on),
        "owed_rows": [(row, standing_of(row, on)) for row in papers_named(row.pk for row in owed[:ROWS])],
        "owed_count": len(owed),
        "plan": plan,
        "received": received_in(first, until),
        "deposits": deposits_to_bill(),
        "reminders": with_papers(due[:ROWS]),
        "reminder_count": len(due),
        "not_sent": invoices_not_sent().count(),
    }
    return render(request, "billing/months/money.html", context)


@door(reads=BOOKS, writes=OWNER)
def month_end(request: HttpRequest, month: str) -> HttpResponse:
    first, at = _month(month), timezone.now()
    if request.method == "POST":
        report = actions.run_month(
            first, keys=request.POST.getlist("bill"), by=str(request.user), sends="sends" in request.POST, at=at
        )
        _say_what_was_made(request, report)
        return redirect("month_end", month)
    if first > today(at):
        raise actions.MonthNotBegun(first)
    return render(request, "billing/months/month_end.html", _shown(first, at))


@door(reads=BOOKS)
def month_sums(request: HttpRequest, month: str) -> HttpResponse:
    first, at = _month(month), timezone.now()
    context = _shown(first, at, keys=request.GET.getlist("bill"))
    return render(request, "billing/months/sums.html", context | {"sends": "sends" in request.GET})


@door(reads=BOOKS)
def month_drafts(request: HttpRequest, month: str) -> HttpResponse:
    first, at = _month(month), timezone.now()
    shown = _shown(first, at)
    business = current_business(shown["issued_on"])
    drafts = [
        (billable, invoice_shown(draft_of(billable, coming), business, billable.client))
        for billable, coming, _problems in shown["rows"]
    ]
    return render(request, "billing/months/drafts.html", shown | {"drafts": drafts})


@door(reads=BOOKS)
def month_draft_paper(request: HttpRequest, month: str) -> HttpResponse:
    first, at, key = _month(month), timezone.now(), request.GET.get("job", "")
    issued_on = queries.issue_day(first, today(at))
    jobs = jobs_to_bill(issued_on, key=key) if key else {}
    plan = plan_for(jobs, issued_on=issued_on, made_on=today(at))
    if not plan.invoices:
        raise Http404
    billable = jobs[key]
    shown = invoice_shown(draft_of(billable, plan.invoices[0]), current_business(issued_on), billable.client)
    headers = {"Content-Disposition": 'inline; filename="draft.pdf"'}
    return HttpResponse(invoice_pdf(shown, mark="Draft"), content_type="application/pdf", headers=headers)


@door(reads=NOBODY, writes=OWNER)
@require_POST
def enter_order_number(request: HttpRequest, month: str) -> HttpResponse:
    first, at, form = _month(month), timezone.now(), OrderNumberForm(request.POST)
    if not form.is_valid():
        context = _shown(first, at, form=form)
        return render(request, "billing/months/month_end.html", context, status=422)
    typed = form.cleaned_data
    actions.enter_order_number(typed["job"], order_number=typed["order_number"], by=str(request.user), at=at)
    messages.info(request, f"Order number {typed['order_number']} is kept with the job.")
    return redirect("month_end", month)


@door(reads=NOBODY, writes=OWNER)
@require_POST
def send_month(request: HttpRequest, month: str) -> HttpResponse:
    sent, kept = actions.send_month(_month(month), at=timezone.now())
    messages.info(request, f"{sent} e-mail{'' if sent == 1 else 's'} written.")
    if kept:
        numbers = ", ".join(f"{invoice.number} ({invoice.client})" for invoice in kept)
        messages.warning(request, f"No address for {numbers}. Enter it at the client, then send the invoice.")
    return redirect("month_end", month)


@door(reads=NOBODY, writes=OWNER)
@require_POST
@once
def bill_job(request: HttpRequest) -> HttpResponse:
    at = timezone.now()
    invoice = actions.bill_job(request.POST.get("job", ""), issued_on=today(at), by=str(request.user), at=at)
    messages.info(request, f"Invoice {invoice.number} is made. Look at it, then send it.")
    return redirect("invoice_page", invoice.pk)


@door(reads=STUDIO)
def shoot_invoices_panel(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    if request.user.role != Role.OWNER:  # type: ignore[union-attr]
        return HttpResponse("")
    shoot, at = get_object_or_404(Shoot, pk=shoot_pk), timezone.now()
    on = today(at)
    jobs = jobs_to_bill(on, shoot=shoot.pk) if business_or_none(at) else {}
    plan = plan_for(jobs, issued_on=on, made_on=on)
    context = {
        "shoot": shoot,
        "rows": [(row, standing_of(row, on)) for row in invoices_of_shoot(shoot.pk)],
        "coming": [(jobs[each.job.key], each) for each in plan.invoices],
        "held_back": [(each, _way(each, jobs[each.job.key])) for each in plan.held_back],
        "month": f"{on:%Y-%m}",
    }
    return render(request, "billing/months/shoot_panel.html", context)


@door(reads=BOOKS)
def invoices_csv(request: HttpRequest, month: str) -> HttpResponse:
    first = _month(month)
    headers = {"Content-Disposition": f'attachment; filename="accounts-{first:%Y-%m}.csv"'}
    return HttpResponse(
        write_table(queries.account_rows(first)), content_type="text/csv; charset=utf-8", headers=headers
    )


def _month(text: str) -> date:
    try:
        return parse_month(text)
    except InvalidMonth as wrong:
        raise Http404(str(wrong)) from wrong


def _shown(first: date, at: datetime, *, keys: list[str] | None = None, form: Any = None) -> dict[str, Any]:
    """The dry run as the page shows it; ``keys``: only these jobs are ticked."""
    on = today(at)
    shows_late = add_months(first, 2) > on  # this month and the last: older ones are closed
    issued_on = queries.issue_day(first, on)
    jobs = jobs_to_bill(issued_on)
    plan = plan_for(jobs, issued_on=issued_on, made_on=on)
    problems: dict[str, list[Problem]] = {}
    for problem in plan.problems:
        problems.setdefault(problem.job_key, []).append(problem)
    rows = [(jobs[each.job.key], each, problems.get(each.job.key, [])) for each in plan.invoices]
    ticked = [each for each in plan.invoices if keys is None or each.job.key in keys]
    sums: dict[str, Decimal] = {}
    for each in ticked:
        sums[each.job.currency] = sums.get(each.job.currency, Decimal(0)) + each.to_pay
    return {
        "month": first,
        "month_key": f"{first:%Y-%m}",
        "today": on,
        "issued_on": issued_on,
        "is_running": issued_on == on and issued_on < last_of_month(first),
        "before": _month_before(first),
        "after": add_months(first, 1) if add_months(first, 1) <= on else None,
        "rows": rows,
        "ticked": len(ticked),
        "sums": sums,
        "taxes": type(plan)(invoices=tuple(ticked)).tax(),
        "dues": sorted({each.due_on for each in ticked}),
        "numbers": queries.next_numbers(len(ticked), on=issued_on),
        "later": queries.later_invoice(issued_on),
        "problems": [(jobs[each.job_key], each, _way_of(each, jobs[each.job_key])) for each in plan.problems],
        "held_back": [(each, _way(each, jobs[each.job.key]), _order_form(each, form)) for each in plan.held_back],
        "job_count": len(plan.invoices) + len(plan.held_back),
        "runs": list(queries.runs_of(first)),
        "to_send": list(queries.made_and_not_sent(first)),
        "late_costs": list(queries.late_costs()[:20]) if shows_late else [],
        "late_journeys": list(queries.late_journeys()[:20]) if shows_late else [],
    }


def _month_before(first: date) -> date:
    return date(first.year - (first.month == 1), 12 if first.month == 1 else first.month - 1, 1)


def _order_form(held: HeldBack, form: Any) -> Any:
    """The box for an order number, where one is missing; with what was typed where it was wrong."""
    if held.why != Why.NO_ORDER_NUMBER:
        return None
    if form is not None and form.data.get("job") == held.job.key:
        return form
    return OrderNumberForm(initial={"job": held.job.key}, auto_id=f"id_{held.job.key.replace(':', '_')}_%s")


def _way(held: HeldBack, billable: BillableJob) -> str:
    """Where the way round of a job held back begins."""
    shoot = billable.shoot
    match held.why:
        case Why.NOT_DELIVERED:
            return _address("delivery_checklist", shoot) or _address("shoot_page", shoot)
        case Why.DEPOSIT_TO_GIVE_BACK:
            return _address("invoice_page", int(held.job.deposits[0].key))
        case Why.PARTICULARS:
            is_own = held.sentence.startswith(PARTICULARS_OF_THE_BUSINESS)
            return _address("business_profile") if is_own else _address("edit_client", billable.client.pk)
        case _:
            return _address("shoot_page", shoot)


def _way_of(problem: Problem, billable: BillableJob) -> str:
    """Where the way round of a problem begins."""
    shoot = billable.shoot
    match problem.why:
        case Why.ABOVE_CAP:
            return _address("ask_for_more", int(problem.line_key))
        case Why.NO_COST_RECORDED:
            return f"{_address('new_expense')}?shoot={shoot}"
        case Why.ABOVE_PROMISE | Why.NOT_IN_FIXED_PRICE | Why.TAX_CHANGED:
            return _address("estimate", billable.estimate.pk if billable.estimate else None)
        case Why.OTHER_CURRENCY:
            return _address("expense_page", int(problem.cost_key.partition(":")[2]))
        case Why.QUESTION:
            return _address("client_page", billable.client.pk)
        case Why.DEPOSIT_UNPAID:
            return f"{_address('invoices')}?state=owed"
        case _:
            return ""


def _address(name: str, *args: Any) -> str:
    """The address of a page of another room, or nothing while there is none."""
    try:
        return reverse(name, args=[each for each in args if each is not None])
    except NoReverseMatch:
        return ""


def _say_what_was_made(request: HttpRequest, report: actions.MonthReport) -> None:
    if report.made:
        first, last = report.made[0].number, report.made[-1].number
        span = first if first == last else f"{first} to {last}"
        currencies = {invoice.currency for invoice in report.made}
        total = (
            f", {money_words(sum(invoice.to_pay for invoice in report.made), currencies.pop(), 'en')} in all"
            if len(currencies) == 1
            else ""
        )
        made = "One invoice is" if len(report.made) == 1 else f"{len(report.made)} invoices are"
        messages.info(request, f"{made} made: {span}{total}.")
    elif not report.failed:
        messages.info(request, "Nothing was left to bill. No number was used.")
    for _key, refusal in report.failed:
        messages.warning(request, str(refusal))
