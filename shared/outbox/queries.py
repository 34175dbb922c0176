from django.db.models import QuerySet

from shared.outbox.models import Job, Message

MAIL = "mail"


def messages_newest_first() -> QuerySet[Message]:
    """Every message, with its link and papers."""
    return Message.objects.select_related("link").prefetch_related("attachments")


def messages_waiting_for_you() -> QuerySet[Message]:
    """Messages a person has to do something about: kept because there is no mail server, or parked."""
    return Message.objects.filter(state__in=(Message.State.KEPT, Message.State.PARKED))


def messages_about(subject: str) -> QuerySet[Message]:
    """The messages about one thing (``estimate:12``), the newest first."""
    return Message.objects.filter(about=subject)


def parked_jobs() -> QuerySet[Job]:
    """Work given up after too many tries, mail excepted: that shows as its message."""
    return Job.objects.exclude(parked_at=None).filter(done_at=None).exclude(kind=MAIL)
