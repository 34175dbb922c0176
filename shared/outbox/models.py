import uuid

from django.db import models


class Message(models.Model):
    """An e-mail: kept while no mail server is set, else sent by the worker."""

    class State(models.TextChoices):
        KEPT = "kept", "Kept, not sent"
        QUEUED = "queued", "Waiting to be sent"
        SENT = "sent", "Sent"
        PARKED = "parked", "Could not be sent"
        BY_HAND = "by_hand", "Sent by hand"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    to = models.EmailField()
    to_name = models.CharField(max_length=120, blank=True)
    subject = models.CharField(max_length=200)
    body = models.TextField()
    language = models.CharField(max_length=5, default="en")
    about = models.CharField(max_length=60, blank=True, db_index=True)
    link = models.ForeignKey(
        "shared.PrivateLink", null=True, blank=True, on_delete=models.PROTECT, related_name="messages"
    )
    attachments = models.ManyToManyField("shared.StoredFile", blank=True, related_name="+")
    state = models.CharField(max_length=8, choices=State, default=State.QUEUED)
    problem = models.CharField(max_length=300, blank=True)
    written_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-written_at"]
        indexes = [
            models.Index(fields=["written_at"], name="message_by_writing"),
            models.Index(fields=["state"], name="message_by_state"),
        ]

    def __str__(self) -> str:
        return f"{self.subject} to {self.to}"


class Job(models.Model):
    """Work to do after a transaction: a message to send or a fact to tell. Leased, retried, parked where a person sees it."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    kind = models.CharField(max_length=40)
    facts = models.JSONField(default=dict)
    made_at = models.DateTimeField()
    due_at = models.DateTimeField(db_index=True)
    leased_until = models.DateTimeField(null=True, blank=True)
    leased_by = models.CharField(max_length=80, blank=True)
    tries = models.PositiveSmallIntegerField(default=0)
    done_at = models.DateTimeField(null=True, blank=True)
    parked_at = models.DateTimeField(null=True, blank=True)
    problem = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["made_at"]

    def __str__(self) -> str:
        return f"{self.kind}, made {self.made_at:%Y-%m-%d %H:%M}"
