from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import date, datetime

from django.db import transaction

from billing.invoices.actions import JobAlreadyBilled, NoAddress, issue_invoice, send_invoice
from billing.invoices.models import Invoice
from billing.invoices.queries import invoices_standing, licences_waiting_for
from billing.jobs.plan import HeldBack, plan_job
from billing.jobs.queries import draft_of, jobs_to_bill, plan_for, shoot_of_job
from billing.months.models import MonthRun
from billing.months.queries import issue_day, made_and_not_sent
from billing.payments.actions import start_paid_licences
from shared.business.queries import today
from shared.errors import Refusal
from shared.files.actions import DiskFull
from shared.words import formats
from shoots.brief.actions import change_shoot, lock_shoots
from shoots.brief.models import Shoot
from shoots.licences.models import Licence
from shoots.life.actions import set_lapse


class MonthNotBegun(Refusal):
    """The month is still to come."""

    def __init__(self, month: date) -> None:
        self.month = month
        super().__init__(
            f"{formats.month(month, 'en')} has not begun.", "Nothing was billed.", "Choose a month that has begun."
        )


class JobHeldBack(Refusal):
    """The job cannot be billed now, for the reason the dry run shows."""

    def __init__(self, held: HeldBack | None) -> None:
        self.held = held
        super().__init__(
            held.sentence if held else "There is nothing to bill for this job now.",
            "No number was used.",
            f"{held.way_round}." if held else "Open the dry run to see how it stands.",
        )


@dataclass(slots=True)
class MonthReport:
    """What a run did: the invoices it made, and the jobs that were refused, each with its reason."""

    run: MonthRun | None = None
    made: list[Invoice] = field(default_factory=list)
    failed: list[tuple[str, Refusal]] = field(default_factory=list)


def run_month(
    month: date, *, keys: Collection[str] | None = None, by: str = "", sends: bool = False, at: datetime
) -> MonthReport:
    """Bill every job of the month that is ready, or those of ``keys``; each invoice in a transaction of its own.

    Killed at any point, the invoices made so far stand whole; started again, it makes the rest and nothing twice. ``sends``: each
    invoice goes out as it is made. Raises MonthNotBegun, NoBusinessYet, DiskFull.
    """
    on = today(at)
    if month.replace(day=1) > on:
        raise MonthNotBegun(month)
    issued_on, report = issue_day(month, on), MonthReport()
    plan = plan_for(jobs_to_bill(issued_on), issued_on=issued_on, made_on=on)
    wanted = [coming.job.key for coming in plan.invoices if keys is None or coming.job.key in keys]
    if not wanted:
        return report
    report.run = MonthRun.objects.create(month=month.replace(day=1), started_at=at, by=by)
    for key in wanted:
        try:
            report.made.append(bill_job(key, issued_on=issued_on, by=by, sends=sends, run=report.run, at=at))
        except JobAlreadyBilled:
            continue  # somebody else pressed at the same time
        except DiskFull:
            raise
        except Refusal as refusal:
            report.failed.append((key, refusal))
    MonthRun.objects.filter(pk=report.run.pk).update(finished_at=at)
    return report


@transaction.atomic
def bill_job(
    key: str, *, issued_on: date, by: str = "", sends: bool = False, run: MonthRun | None = None, at: datetime
) -> Invoice:
    """Bill one job as it stands now: planned afresh, numbered, printed, and where wanted sent, all or nothing.

    Sets the day its licences lapse if unpaid; a job its deposit has paid already starts them. Raises JobHeldBack, JobAlreadyBilled,
    and what ``issue_invoice`` raises.
    """
    lock_shoots(shoot_of_job(key))
    billable = jobs_to_bill(issued_on, key=key).get(key)
    if billable is None:
        standing = invoices_standing([key]).first()
        raise JobAlreadyBilled(standing.number) if standing else JobHeldBack(None)
    plan = plan_job(billable.job, issued_on=issued_on, made_on=today(at))
    if not plan.invoices:
        raise JobHeldBack(plan.held_back[0] if plan.held_back else None)
    invoice = issue_invoice(draft_of(billable, plan.invoices[0]), at=at, by=by)
    if not key.startswith("cancellation:"):
        for licence in licences_waiting_for(invoice):
            set_lapse(licence, due_on=invoice.due_on, at=at)
        start_paid_licences(invoice, at=at)
    if run is not None:
        run.invoices.add(invoice)
    if sends:
        _send_if_there_is_an_address(invoice, at=at)
    return invoice


def send_month(month: date, *, at: datetime) -> tuple[int, list[Invoice]]:
    """Send every invoice of the month's runs that has not gone out; how many went, and those whose client has no address."""
    sent, kept = 0, []
    for invoice in made_and_not_sent(month):
        with transaction.atomic():
            # Somebody else may be sending the same month: the row waits for them and is then looked at again.
            now = Invoice.objects.select_for_update().get(pk=invoice.pk)
            if now.sent_at is not None or now.is_cancelled:
                continue
            if _send_if_there_is_an_address(invoice, at=at):
                sent += 1
            else:
                kept.append(invoice)
    return sent, kept


@transaction.atomic
def enter_order_number(key: str, *, order_number: str, by: str = "", at: datetime) -> None:
    """The client's order number for a job of the dry run, kept with its shoot or licence. Raises JobHeldBack when the job is gone."""
    billable = jobs_to_bill(today(at), key=key).get(key)
    if billable is None:
        raise JobHeldBack(None)
    if billable.licence is not None:
        Licence.objects.filter(pk=billable.licence.pk).update(order_number=order_number)
    elif billable.shoot is not None:
        shoot = Shoot.objects.get(pk=billable.shoot)
        shoot.order_number = order_number
        change_shoot(shoot, fields=["order_number"], version=shoot.version, at=at, by=by)


def _send_if_there_is_an_address(invoice: Invoice, *, at: datetime) -> bool:
    try:
        send_invoice(invoice, at=at)
    except NoAddress:
        return False
    return True
