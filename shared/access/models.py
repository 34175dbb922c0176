import uuid

from django.contrib.auth.models import AbstractUser
from django.db import models


class Role(models.TextChoices):
    OWNER = "owner", "Owner"
    ASSISTANT = "assistant", "Assistant"
    ACCOUNTANT = "accountant", "Accountant"


class User(AbstractUser):
    """Someone who signs in. The role decides which pages open; see ``shared.access.doors``."""

    role = models.CharField(max_length=12, choices=Role, default=Role.OWNER)

    @property
    def is_owner(self) -> bool:
        return self.role == Role.OWNER


class SignInFailure(models.Model):
    """A failed sign-in, kept for the short time that slows a guesser down. The address is stored as a hash."""

    name = models.CharField(max_length=150, db_index=True)
    address_hash = models.CharField(max_length=64)
    at = models.DateTimeField(db_index=True)


class Submission(models.Model):
    """A form sent once: the key a form carries, and where its answer went, so that a double press changes nothing."""

    key = models.UUIDField(primary_key=True, default=uuid.uuid4)
    user = models.ForeignKey(User, null=True, blank=True, on_delete=models.CASCADE, related_name="+")
    answer_url = models.CharField(max_length=400, blank=True)
    at = models.DateTimeField()
