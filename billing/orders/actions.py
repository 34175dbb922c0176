"""What becomes of an estimate at its client: sent, reminded of, called back; accepted, declined, asked about; its shoot called off."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils import translation

from billing.estimates.actions import TAX_FIELDS, EstimateNotDraft, lock_estimate, need_draft
from billing.estimates.adding_up import sums_with
from billing.estimates.models import (
    ESTIMATE_MOVES,
    CancellationFee,
    ClientQuestion,
    Estimate,
    EstimateLine,
    EstimateOption,
    EstimateState,
    FeeKind,
    LineKind,
)
from billing.estimates.papers import estimate_pdf
from billing.estimates.queries import (
    billed_by,
    estimate_in_full,
    estimate_shown,
    is_called_off,
    items_of,
    missing_before_sending,
    with_tax_of,
)
from billing.estimates.snapshot import AcceptedShown, EstimateShown, accepted_from_json, estimate_from_json
from billing.estimates.terms import can_be_accepted
from billing.orders.items import carriers, shares
from billing.orders.queries import fee_by_terms, other_agreed
from shared.business.queries import current_business, today, zone
from shared.errors import Refusal
from shared.evidence.actions import conceal, record_evidence
from shared.files.actions import keep_file
from shared.links.actions import make_link, mark_used
from shared.links.models import PrivateLink
from shared.outbox.actions import queue_mail, tell_fact
from shared.papers.kept import as_json, digest_of
from shared.states import MoveRefused, move
from shared.words import formats
from shoots.brief.actions import (
    agree_pictures,
    cancel_shoot,
    confirm_shoot,
    leave_out_picture,
    lock_shoots,
    pencil_shoot,
    postpone_shoot,
)
from shoots.brief.models import USE_FIELDS, AgreedPicture, Shoot, ShootState
from shoots.licences.actions import agree_licence, supersede_licence
from shoots.licences.models import Licence, LicenceState
from shoots.life.actions import decline_licence

LINK = "estimate"
LINK_DAYS = (
    30  # how long the page still opens after the last day on which it can be accepted; common practice, no source
)


class EstimateIncomplete(Refusal):
    """Something is missing that the client must be told."""

    def __init__(self, missing: Sequence[str]) -> None:
        self.missing = tuple(missing)
        super().__init__(
            "The estimate was not sent. " + " ".join(missing),
            "It is kept as a draft.",
            "Fill in what is missing, then send it.",
        )


class EstimateExpired(Refusal):
    """The day until which the estimate was valid is over."""

    status = 410

    def __init__(self, estimate: Estimate) -> None:
        self.estimate = estimate
        until = formats.day(estimate.valid_until, translation.get_language() or "en") if estimate.valid_until else ""
        super().__init__(
            translation.gettext("This estimate was valid until %(day)s.") % {"day": until},
            translation.gettext("Nothing was ordered."),
            translation.gettext("Ask for a new one; dates and prices may have changed."),
        )


class EstimateDecided(Refusal):
    """Somebody else was first: it is accepted, declined, replaced or called back."""

    def __init__(self, estimate: Estimate) -> None:
        self.estimate = estimate
        said = {
            EstimateState.ACCEPTED: translation.gettext(
                "This estimate has been accepted already, from another page or by somebody else."
            ),
            EstimateState.DECLINED: translation.gettext("This estimate has been declined already."),
            EstimateState.SUPERSEDED: translation.gettext("This estimate was replaced by a newer version."),
            EstimateState.CALLED_BACK: translation.gettext("This estimate was called back."),
        }.get(EstimateState(estimate.state), translation.gettext("This estimate has not been sent yet."))
        super().__init__(
            said,
            translation.gettext("What was decided first stands. Nothing was ordered twice."),
            translation.gettext("Open the page again to see how it stands, or ask the photographer."),
        )


class JobClosed(Refusal):
    """The shoot was cancelled or the job is billed: its estimate is neither sent nor accepted any more."""


class OrderNumberMissing(Refusal):
    """The client's house sends invoices back without an order number."""

    status = 422

    def __init__(self) -> None:
        super().__init__(
            "The order number is missing.", "Nothing was ordered.", "Enter the order number and accept again."
        )


class OptionUnknown(Refusal):
    """The option or line chosen is not on this estimate."""

    status = 422

    def __init__(self) -> None:
        super().__init__(
            translation.gettext("This choice is not on the estimate."),
            translation.gettext("Nothing was ordered."),
            translation.gettext("Open the page again and choose once more."),
        )


class ReminderTooSoon(Refusal):
    """One reminder a day is polite, two are not."""

    def __init__(self) -> None:
        super().__init__(
            "A reminder was written today already.", "Nothing was sent.", "Wait until tomorrow, or call the client."
        )


def send_estimate(estimate: Estimate, *, to: str, to_name: str, at: datetime, signed_by: str = "") -> Estimate:
    """Freezes a draft with the VAT of today and sends it: snapshot, paper, private link, e-mail; an older version still open is replaced, the shoot pencilled.

    Raises ``EstimateIncomplete``, ``EstimateNotDraft``, ``JobClosed``, ``MoveRefused``.
    """
    need_draft(estimate)
    on = today(at)
    business = current_business(on)
    estimate = with_tax_of(business, estimate_in_full(estimate.pk))
    estimate.sent_to, estimate.signed_by = to, signed_by
    _need_unbilled(estimate, kept="It is kept as a draft.", then="send the new version")
    missing = missing_before_sending(estimate, business=business, on=on)
    if missing:
        raise EstimateIncomplete(missing)
    shown = estimate_shown(estimate, business=business, on=on)
    paper = estimate_pdf(shown)
    with transaction.atomic():
        lock_shoots(estimate.shoot_id)
        _need_unbilled(estimate, kept="It is kept as a draft.", then="send the new version")
        _issue(estimate, shown, paper, to=to, to_name=to_name, at=at)
        _replace_open_versions(estimate, at=at)
        _pencil(estimate, at=at)
    return estimate


@transaction.atomic
def remind_client(estimate: Estimate, *, at: datetime) -> None:
    """A polite reminder of an open estimate, once a day. Raises ``EstimateDecided``, ``EstimateExpired``, ``JobClosed``, ``ReminderTooSoon``."""
    lock_estimate(estimate)
    _need_open(estimate, at)
    if estimate.reminded_at and today(estimate.reminded_at) == today(at):
        raise ReminderTooSoon
    link = _link_of(estimate)
    Estimate.objects.filter(pk=estimate.pk).update(reminded_at=at)
    estimate.refresh_from_db()
    _write_to_client("estimate_reminder", estimate, link=link, at=at)


@transaction.atomic
def call_back_estimate(estimate: Estimate, *, at: datetime) -> None:
    """The client can no longer accept it; the page says so."""
    move(estimate, EstimateState.CALLED_BACK, moves=ESTIMATE_MOVES, noun="estimate", decided_at=at)
    record_evidence(
        "withdrawn",
        subject=f"estimate:{estimate.pk}",
        payload={"number": estimate.number, "issue": estimate.issue},
        at=at,
    )


@transaction.atomic
def note_shown(estimate: Estimate, *, link: PrivateLink, at: datetime) -> None:
    """The client opened the page for the first time."""
    payload = {"number": estimate.number, "issue": estimate.issue, "link": str(link.pk)}
    record_evidence("shown", subject=f"estimate:{estimate.pk}", payload=payload, at=at)


@transaction.atomic
def accept_estimate(
    estimate: Estimate,
    *,
    letter: str,
    keys: Iterable[str],
    name: str,
    role: str,
    order_number: str,
    at: datetime,
    address: str | None = None,
) -> Estimate:
    """The client takes exactly one option, with the optional lines in ``keys``. Everything that follows happens in one transaction.

    Frozen with its sums and recorded; the shoot is confirmed, its pictures agreed, the licence agreed (unplaced), the terms copied to the
    shoot; an accepted older version and its licence are replaced. The fact ``estimate_accepted`` (estimate) is told, both sides get a copy.
    Raises ``EstimateDecided`` (also for the loser of a race), ``EstimateExpired``, ``JobClosed``, ``OptionUnknown``, ``OrderNumberMissing``.
    """
    lock_estimate(estimate)
    _need_open(estimate, at)
    shown = estimate_from_json(estimate.snapshot)
    if shown.is_order_number_required and not order_number.strip():
        raise OrderNumberMissing
    accepted = _accepted(shown, letter=letter, keys=set(keys), order_number=order_number.strip(), on=today(at))
    option = EstimateOption.objects.get(estimate=estimate, letter=letter)
    try:
        move(
            estimate, EstimateState.ACCEPTED, moves=ESTIMATE_MOVES, noun="estimate", accepted_option=option, accepted_snapshot=as_json(accepted),
            accepted_name=name, accepted_role=role, accepted_address=address, order_number=order_number.strip(), decided_at=at,
        )  # fmt: skip
    except MoveRefused as refused:
        raise EstimateDecided(estimate) from refused
    taken = {int(line.key) for line in accepted.taken}
    EstimateLine.objects.filter(option=option, is_optional=True).exclude(pk__in=taken).update(is_taken=False)
    _confirm(estimate, option, at=at)
    # Trades and numbers come before the log, as for whoever grants a licence: else the two would wait for each other.
    _agree_licence(estimate, option, accepted, name=name, at=at)
    _record_acceptance(estimate, accepted, name=name, role=role, at=at)
    tell_fact("estimate_accepted", at=at, estimate=estimate.pk)
    for link in PrivateLink.objects.filter(subject=f"estimate:{estimate.pk}", purpose=LINK):
        mark_used(link, at)
    _write_to_client("estimate_accepted", estimate, link=_link_of(estimate), at=at)
    _write_to_owner("estimate_accepted_note", estimate, at=at, accepted=accepted)
    return estimate


@transaction.atomic
def decline_estimate(estimate: Estimate, *, reason: str, at: datetime) -> None:
    """The client says no, with a reason. Raises ``EstimateDecided``."""
    try:
        move(
            estimate,
            EstimateState.DECLINED,
            moves=ESTIMATE_MOVES,
            noun="estimate",
            declined_reason=reason[:500],
            decided_at=at,
        )
    except MoveRefused as refused:
        raise EstimateDecided(estimate) from refused
    payload = {"number": estimate.number, "issue": estimate.issue, "reason": conceal(reason)}
    record_evidence("refused", subject=f"estimate:{estimate.pk}", payload=payload, at=at)
    _write_to_owner("estimate_declined", estimate, at=at, reason=reason)


@transaction.atomic
def ask_question(estimate: Estimate, *, name: str, text: str, at: datetime) -> ClientQuestion:
    """Keeps a question of the client and tells the owner by e-mail."""
    question = ClientQuestion.objects.create(estimate=estimate, name=name, text=text, asked_at=at)
    _write_to_owner("estimate_question", estimate, at=at, question=text, name=name)
    return question


@transaction.atomic
def note_stopped_acceptance(
    estimate: Estimate, *, letter: str, name: str, role: str, why: Refusal, at: datetime
) -> ClientQuestion:
    """The client said yes and the books could not take it (another licence stands against it, say): kept, recorded, told to the owner by e-mail.

    ``why`` may name another client's licence by number, so it is for the owner only. The same yes pressed again while the first waits is not told twice.
    """
    lock_estimate(estimate)
    text = f"{name} ({role}) wanted to accept option {letter}. {why} Ask them to wait, mend what stands in the way, then ask them to accept again."
    waiting = estimate.questions.filter(kind=ClientQuestion.Kind.STOPPED, text=text, answered_at=None).first()
    if waiting is not None:
        return waiting
    stopped = ClientQuestion.objects.create(
        estimate=estimate, kind=ClientQuestion.Kind.STOPPED, name=name, text=text, asked_at=at
    )
    payload = {
        "number": estimate.number,
        "issue": estimate.issue,
        "option": letter,
        "name": conceal(name),
        "why": conceal(str(why)),
    }
    record_evidence("stopped", subject=f"estimate:{estimate.pk}", payload=payload, at=at)
    _write_to_owner("estimate_stopped", estimate, at=at, name=name, role=role, letter=letter, why=str(why))
    return stopped


@transaction.atomic
def mark_question_answered(question: ClientQuestion, *, at: datetime) -> None:
    """The question was answered, by phone or e-mail; it waits for nobody any more."""
    ClientQuestion.objects.filter(pk=question.pk, answered_at=None).update(answered_at=at)
    question.refresh_from_db()


@transaction.atomic
def call_off_shoot(
    estimate: Estimate, *, kind: str, reason: str, by: str, at: datetime, new_first_on: date | None = None
) -> CancellationFee:
    """Cancels or postpones a confirmed shoot by its accepted terms and keeps the fee they ask, to be billed once.

    Weather is free once; costs already spent are billed as expenses. Cancelled, the agreed licences of the shoot grant nothing more.
    Tells the fact ``shoot_cancelled`` (fee, shoot, estimate). Raises ``JobClosed`` for cancelling a job that is billed, ``MoveRefused``.
    """
    lock_estimate(estimate)
    if kind == FeeKind.CANCELLED:
        _need_unbilled(estimate, kept="The shoot is kept as it is.", then="cancel the shoot")
    shoot = Shoot.objects.select_for_update().get(pk=estimate.shoot_id)
    due = fee_by_terms(estimate, shoot, kind=kind, on=today(at))
    fee = CancellationFee.objects.create(
        estimate=estimate,
        kind=kind,
        percent=due.percent,
        amount_net=due.fee,
        currency=estimate.currency,
        working_days_before=due.working_days,
        was_on=shoot.first_on or today(at),
        reason=reason,
        at=at,
    )
    if kind == FeeKind.CANCELLED:
        cancel_shoot(shoot, reason=reason, by=by, at=at)
        for licence in Licence.objects.filter(
            shoot=shoot, is_billed_with_shoot=True, state=LicenceState.ACCEPTED
        ).order_by("pk"):
            decline_licence(licence, reason="The shoot was cancelled", at=at)
    else:
        postpone_shoot(shoot, new_first_on=new_first_on, reason=reason, by=by, at=at)
    tell_fact("shoot_cancelled", at=at, fee=fee.pk, shoot=shoot.pk, estimate=estimate.pk)
    return fee


def _need_open(estimate: Estimate, at: datetime) -> None:
    if estimate.state != EstimateState.SENT:
        raise EstimateDecided(estimate)
    if not can_be_accepted(estimate.valid_until, today(at)):
        raise EstimateExpired(estimate)
    # What the client reads: no number of an invoice, no word on how it came about.
    if is_called_off(estimate):
        raise JobClosed(
            translation.gettext("The shoot was cancelled, so this estimate can no longer be accepted."),
            translation.gettext("Nothing was ordered."),
            translation.gettext("Ask the photographer if you would like to take it up again."),
        )
    if billed_by(estimate):
        raise JobClosed(
            translation.gettext("This job has been billed already, so this estimate can no longer be accepted."),
            translation.gettext("Nothing was ordered."),
            translation.gettext("Ask the photographer; something new needs an estimate of its own."),
        )


def _need_unbilled(estimate: Estimate, *, kept: str, then: str) -> None:
    number = billed_by(estimate)
    if number:
        raise JobClosed(
            f"This job is billed already, by invoice {number}.",
            kept,
            f"Cancel that invoice by credit note first, then {then}.",
        )
    if is_called_off(estimate):
        raise JobClosed(f"{estimate.shoot} was cancelled.", kept, "Open a new shoot if it is taken up again.")


def _issue(estimate: Estimate, shown: EstimateShown, paper: bytes, *, to: str, to_name: str, at: datetime) -> None:
    kept = as_json(shown)
    file = keep_file(paper, name=f"{shown.name.replace('/', '-')}.pdf", kind="estimate", at=at)
    current = Estimate.objects.select_for_update().get(pk=estimate.pk)
    if current.version != estimate.version:
        raise (
            EstimateNotDraft(current)
            if current.state != EstimateState.DRAFT
            else MoveRefused("estimate", "changed meanwhile", "sent")
        )
    move(
        estimate, EstimateState.SENT, moves=ESTIMATE_MOVES, noun="estimate", snapshot=kept, paper=file, sent_at=at, sent_to=to,
        signed_by=estimate.signed_by, **{name: getattr(estimate, name) for name in TAX_FIELDS},
    )  # fmt: skip
    payload = {
        "number": estimate.number,
        "issue": estimate.issue,
        "paper": file.sha256,
        "snapshot": digest_of(kept),
        "to": conceal(to),
    }
    if estimate.signed_by:
        payload["signed_by"] = conceal(estimate.signed_by)
    record_evidence("issued", subject=f"estimate:{estimate.pk}", payload=payload, at=at)
    last_day = max(estimate.valid_until or today(at), today(at)) + timedelta(days=LINK_DAYS + 1)
    expires_at = datetime.combine(last_day, time(), zone(at)).astimezone(UTC)
    link = make_link(LINK, subject=f"estimate:{estimate.pk}", expires_at=expires_at, at=at, person=to_name)
    _write_to_client("estimate_sent", estimate, link=link, at=at, to_name=to_name)


def _replace_open_versions(estimate: Estimate, *, at: datetime) -> None:
    for older in Estimate.objects.filter(
        number=estimate.number, state__in=(EstimateState.SENT, EstimateState.DECLINED)
    ).exclude(pk=estimate.pk):
        move(older, EstimateState.SUPERSEDED, moves=ESTIMATE_MOVES, noun="estimate")
        record_evidence(
            "superseded",
            subject=f"estimate:{older.pk}",
            payload={"number": older.number, "issue": older.issue, "by": estimate.issue},
            at=at,
        )


def _pencil(estimate: Estimate, *, at: datetime) -> None:
    shoot = Shoot.objects.get(pk=estimate.shoot_id)
    if shoot.first_on and shoot.state in (ShootState.ENQUIRY, ShootState.POSTPONED):
        pencil_shoot(shoot, held_until=estimate.valid_until, at=at, reason=f"Estimate {estimate} sent")


def _accepted(shown: EstimateShown, *, letter: str, keys: set[str], order_number: str, on: date) -> AcceptedShown:
    option = shown.option(letter)
    if option is None or not keys <= {line.key for line in option.optional_lines}:
        raise OptionUnknown
    taken = tuple(line for line in option.lines if not line.is_optional or line.key in keys)
    return AcceptedShown(
        number=shown.number,
        issue=shown.issue,
        language=shown.language,
        currency=shown.currency,
        option=option.taking(keys),
        taken=taken,
        sums=sums_with(shown, taken, option),
        deposit_percent=shown.deposit_percent,
        deposit_days=shown.deposit_days,
        tax_category=shown.tax_category,
        tax_percent=shown.tax_percent,
        tax_reason=shown.tax_reason,
        order_number=order_number,
        accepted_on=on,
    )


def _record_acceptance(estimate: Estimate, accepted: AcceptedShown, *, name: str, role: str, at: datetime) -> None:
    record_evidence(
        "accepted",
        subject=f"estimate:{estimate.pk}",
        payload={
            "number": estimate.number,
            "issue": estimate.issue,
            "option": accepted.option.letter,
            "gross": str(accepted.sums.gross),
            "currency": accepted.currency,
            "paper": estimate.paper.sha256 if estimate.paper else "",
            "accepted": digest_of(estimate.accepted_snapshot),
            "name": conceal(name),
            "role": conceal(role),
        },
        at=at,
    )


def _confirm(estimate: Estimate, option: EstimateOption, *, at: datetime) -> None:
    shoot = Shoot.objects.select_for_update().get(pk=estimate.shoot_id)
    wanted, others = list(option.pictures.all()), list(other_agreed(estimate))
    own, shared = estimate.order_number, shoot.order_number
    if wanted:
        agree_pictures(shoot, pictures=wanted)
        promised = AgreedPicture.objects.filter(options__in=[each.accepted_option_id for each in others])
        kept = {picture.pk for picture in (*wanted, *promised)}
        for picture in shoot.agreed_pictures.exclude(pk__in=kept).exclude(state=AgreedPicture.State.LEFT_OUT):
            leave_out_picture(picture)
    Shoot.objects.filter(pk=shoot.pk).update(
        billable_when=estimate.billable_when,
        corrections_included=estimate.rounds_included,
        portfolio_from=estimate.portfolio_from,
        order_number=(shared or own) if others else (own or shared),  # a job beside another keeps its number to itself
        version=F("version") + 1,
        **{name: getattr(option, name) for name in USE_FIELDS},
    )
    shoot.refresh_from_db()
    if shoot.state in (ShootState.ENQUIRY, ShootState.PENCILLED, ShootState.POSTPONED):
        confirm_shoot(shoot, at=at, reason=f"Estimate {estimate} accepted, option {option.letter}")


def _agree_licence(
    estimate: Estimate, option: EstimateOption, accepted: AcceptedShown, *, name: str, at: datetime
) -> None:
    standing: list[Licence] = []
    for older in Estimate.objects.filter(number=estimate.number, state=EstimateState.ACCEPTED).exclude(pk=estimate.pk):
        move(older, EstimateState.SUPERSEDED, moves=ESTIMATE_MOVES, noun="estimate")
        standing += Licence.objects.filter(
            origin=f"estimate:{older.pk}", state__in=(LicenceState.ACCEPTED, LicenceState.PAID)
        ).order_by("pk")
    shoot, own = estimate.shoot, items_of(option)
    usage = {int(line.key): line.amount for line in accepted.taken if line.kind == LineKind.USAGE}
    added = list(option.lines.filter(pk__in=usage, item__is_optional=True).select_related("item"))
    agreed = sum(usage.values(), Decimal(0)) - sum((usage[line.pk] for line in added), Decimal(0))
    uses = (*own, *(line.item for line in added if line.item))
    lines = _fee_lines(option, len(own))
    fees = (*shares(agreed, lines, len(own)), *(usage[line.pk] for line in added))
    billed_at, made = carriers(lines, len(own)), list[Licence]()
    # One too many: unplaced it ends now; placed it goes on until the first of the new ones covers something (``_take_over``).
    for dropped in standing[len(uses) :]:
        cut_on = (dropped.use_until or date.max) if dropped.is_placed else today(at)
        supersede_licence(dropped, cut_on=cut_on, at=at)
    for index, use in enumerate(uses):
        carrier = made[billed_at[index]] if index < len(own) and billed_at[index] != index else None
        licence = agree_licence(
            shoot=shoot,
            licensee=shoot.licensee,
            billing_party=shoot.billing_party,
            use=use,
            pictures_agreed=option.pictures_count,
            begins=estimate.begins,
            begins_on=estimate.begins_on,
            lapse_days=estimate.lapse_days,
            fee_net=fees[index],
            currency=estimate.currency,
            origin=f"estimate:{estimate.pk}",
            at=at,
            accepted_by=name,
            order_number=estimate.order_number,
            language=estimate.language,
            supersedes=standing[index] if index < len(standing) else None,
            signed_by=estimate.signed_by if use.exclusivity != "none" else "",
            fee_with=carrier if carrier and carrier.fee_net and not fees[index] else None,
        )
        made.append(licence)


def _fee_lines(option: EstimateOption, count: int) -> list[tuple[list[int], Fraction]]:
    """The lines of the option's fee as they were reckoned; none where the figures are of other uses than are there now."""
    kept: Mapping[str, Any] = next(
        (line.figures for line in option.lines.filter(kind=LineKind.USAGE, item=None) if line.figures), {}
    )
    lines = [(each["items"], Fraction(each["sum"])) for each in kept.get("lines", ())]
    return lines if sorted(index for items, _ in lines for index in items) == list(range(count)) else []


def _link_of(estimate: Estimate) -> PrivateLink | None:
    return (
        PrivateLink.objects.filter(subject=f"estimate:{estimate.pk}", purpose=LINK, called_back_at=None)
        .order_by("-made_at")
        .first()
    )


def _write_to_client(
    template: str, estimate: Estimate, *, link: PrivateLink | None, at: datetime, to_name: str = ""
) -> None:
    name = to_name or (link.person_name if link else "")
    shown = estimate_from_json(estimate.snapshot)
    queue_mail(
        to=estimate.sent_to,
        to_name=name,
        template=template,
        language=estimate.language,
        context={
            "estimate": estimate,
            "shown": shown,
            "accepted": accepted_from_json(estimate.accepted_snapshot) if estimate.accepted_snapshot else None,
            "link": link,
            "name": name,
        },
        attachments=[estimate.paper] if estimate.paper else [],
        at=at,
        about=f"estimate:{estimate.pk}",
    )


def _write_to_owner(template: str, estimate: Estimate, *, at: datetime, **context: Any) -> None:
    business = current_business(today(at))
    if business.email:
        queue_mail(
            to=business.email, template=template, language=business.language, context={"estimate": estimate, "shoot": estimate.shoot, **context},
            at=at, about=f"estimate:{estimate.pk}",
        )  # fmt: skip
