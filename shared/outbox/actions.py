import os
import socket
import uuid
from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from django.conf import settings
from django.db import connection, transaction
from django.db.models import F, Q
from django.template import Context
from django.template.loader import get_template
from django.utils import translation

from shared.files.models import StoredFile
from shared.links.models import PrivateLink
from shared.outbox.letters import LINK_MARK, MailRefused, post_message
from shared.outbox.models import Job, Message
from shared.outbox.registry import listeners_for, surroundings
from shared.outbox.schedule import LEASE, wait_after
from shared.states import move

MAIL = "mail"
State = Message.State
MOVES: Mapping[str, frozenset[str]] = {
    State.KEPT: frozenset({State.QUEUED, State.BY_HAND}),
    State.QUEUED: frozenset({State.SENT, State.PARKED, State.KEPT, State.BY_HAND}),
    State.PARKED: frozenset({State.QUEUED, State.BY_HAND}),
    State.SENT: frozenset({State.QUEUED}),
    State.BY_HAND: frozenset({State.QUEUED}),
}


def has_mail_server() -> bool:
    """Is a mail server set? Without one, messages are kept and shown, and nothing says it was sent."""
    return bool(settings.MAIL_ADDRESS)


@transaction.atomic
def queue_mail(
    *,
    to: str,
    template: str,
    language: str,
    context: Mapping[str, Any],
    at: datetime,
    about: str,
    attachments: Iterable[StoredFile] = (),
    to_name: str = "",
) -> Message:
    """Writes an e-mail from ``mail/<template>.txt`` (first line the subject) and leaves it for the worker.

    ``context["link"]`` may be a ``PrivateLink``: the message keeps a mark in its place, and the address is filled in when the
    message is shown or sent. ``about`` is ``estimate:12``.
    """
    link = context.get("link")
    words = dict(context)
    if isinstance(link, PrivateLink):
        words["link"] = LINK_MARK
    with translation.override(language):
        letter: Any = get_template(f"mail/{template}.txt")
        text = letter.template.render(Context({**words, "language": language}, autoescape=False))
    subject, _, body = text.strip().partition("\n")
    message = Message.objects.create(
        to=to,
        to_name=to_name,
        subject=" ".join(subject.split())[:200],
        body=body.strip() + "\n",
        language=language,
        about=about,
        link=link if isinstance(link, PrivateLink) else None,
        state=State.QUEUED if has_mail_server() else State.KEPT,
        written_at=at,
    )
    message.attachments.set(attachments)
    if message.state == State.QUEUED:
        _queue_job(message, at)
    return message


def tell_fact(kind: str, *, at: datetime, **facts: Any) -> Job:
    """Leaves word of what happened (``estimate_accepted``, estimate=12) for the rooms above, in the transaction it happened in.

    ``facts`` are text, whole numbers, lists: what JSON holds.
    """
    return Job.objects.create(kind=kind, facts=facts, made_at=at, due_at=at)


@transaction.atomic
def send_again(message: Message, *, at: datetime) -> None:
    """Queues a kept, parked or sent message (once more). Raises ``MailRefused`` while no mail server is set."""
    if not has_mail_server():
        raise MailRefused(
            "There is no mail server to send this with.",
            "The message is kept.",
            "Set PLATE_LEDGER_MAIL, or copy the text, send it yourself and mark it as sent.",
        )
    move(message, State.QUEUED, moves=MOVES, noun="message", problem="", sent_at=None)
    Job.objects.filter(kind=MAIL, facts__message=str(message.pk), done_at=None).delete()
    _queue_job(message, at)


@transaction.atomic
def mark_sent_by_hand(message: Message, *, at: datetime) -> None:
    """The owner copied the text and sent it: the worker leaves it alone from now on."""
    move(message, State.BY_HAND, moves=MOVES, noun="message", problem="", sent_at=at)
    Job.objects.filter(kind=MAIL, facts__message=str(message.pk), done_at=None).delete()


@transaction.atomic
def try_job_again(job: Job, *, at: datetime) -> None:
    """Takes parked work up again from the first try."""
    Job.objects.filter(pk=job.pk, done_at=None).exclude(parked_at=None).update(
        parked_at=None, tries=0, due_at=at, leased_until=None, leased_by="", problem=""
    )
    job.refresh_from_db()


def work_once(at: datetime) -> bool:
    """Does one job that is due, if there is one; whether there was. Never raises for what a job does.

    A worker that dies in the middle loses its lease, not the job: the next one takes it up. A fact's listeners and the mark
    that it is done are one transaction, so it has its effect once. A mail is sent before it is marked, so after a crash in
    that moment it may be sent twice, with the same Message-ID.
    """
    job = _take_job(at)
    if job is None:
        return False
    try:
        with surroundings():
            if job.kind == MAIL:
                _send(job, at)
            else:
                _tell(job, at)
    except Exception as problem:  # noqa: BLE001  whatever a listener or a mail server does, the job is kept and shown
        _put_back(job, problem, at)
    return True


def _queue_job(message: Message, at: datetime) -> None:
    Job.objects.create(kind=MAIL, facts={"message": str(message.pk)}, made_at=at, due_at=at)


def _take_job(at: datetime) -> Job | None:
    """Leases the oldest job that is due: one conditional UPDATE, so two workers never hold the same one."""
    me = f"{socket.gethostname()}:{os.getpid()}:{uuid.uuid4().hex[:8]}"[-80:]
    free = Q(leased_until=None) | Q(leased_until__lte=at)
    due = Job.objects.filter(free, done_at=None, parked_at=None, due_at__lte=at).order_by("due_at", "made_at")
    if not due.exists():  # looking takes no lock, so an idle worker is in nobody's way
        return None
    with transaction.atomic():
        if connection.features.has_select_for_update_skip_locked:
            due = due.select_for_update(skip_locked=True)
        job = due.first()
        if job is None:
            return None
        taken = Job.objects.filter(free, pk=job.pk, done_at=None, parked_at=None).update(
            leased_until=at + LEASE, leased_by=me, tries=F("tries") + 1
        )
    if not taken:
        return None
    job.refresh_from_db()
    return job if job.leased_by == me else None


def _tell(job: Job, at: datetime) -> None:
    with transaction.atomic():
        held = Job.objects.select_for_update().filter(pk=job.pk, leased_by=job.leased_by, done_at=None)
        if not held.exists():
            return  # the lease ran out and another worker has it
        for listener in listeners_for(job.kind):
            listener(at=at, **job.facts)
        held.update(done_at=at, leased_until=None, problem="")


def _send(job: Job, at: datetime) -> None:
    message = Message.objects.select_related("link").filter(pk=job.facts["message"]).first()
    if message is not None and message.state == State.QUEUED:
        post_message(message, at=at)
    with transaction.atomic():
        Job.objects.filter(pk=job.pk, leased_by=job.leased_by).update(done_at=at, leased_until=None, problem="")
        if message is not None:
            Message.objects.filter(pk=message.pk, state=State.QUEUED).update(state=State.SENT, sent_at=at, problem="")


@transaction.atomic
def _put_back(job: Job, problem: Exception, at: datetime) -> None:
    wait = wait_after(job.tries)
    is_hopeless = isinstance(problem, MailRefused)
    said = (str(problem) or type(problem).__name__)[:300]
    held = Job.objects.filter(pk=job.pk, leased_by=job.leased_by, done_at=None)
    if wait is None or is_hopeless:
        parked = held.update(parked_at=at, leased_until=None, problem=said)
        if parked and job.kind == MAIL:
            Message.objects.filter(pk=job.facts["message"], state=State.QUEUED).update(state=State.PARKED, problem=said)
    else:
        held.update(due_at=at + wait, leased_until=None, problem=said)
        if job.kind == MAIL:
            Message.objects.filter(pk=job.facts["message"], state=State.QUEUED).update(problem=said)
