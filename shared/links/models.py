import uuid

from django.db import models


class PrivateLink(models.Model):
    """A private link for one person to one thing. Only the hash of its token is stored; it expires and can be called back."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    purpose = models.CharField(max_length=30)
    subject = models.CharField(max_length=60, db_index=True)
    token_hash = models.CharField(max_length=64, unique=True)
    person_name = models.CharField(max_length=120, blank=True)
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    called_back_at = models.DateTimeField(null=True, blank=True)
    first_opened_at = models.DateTimeField(null=True, blank=True)
    last_opened_at = models.DateTimeField(null=True, blank=True)
    times_opened = models.PositiveIntegerField(default=0)
    used_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.purpose} for {self.subject}"
