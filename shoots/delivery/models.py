from django.db import models

from shoots.brief.models import Shoot
from shoots.pictures.models import Picture


class Delivery(models.Model):
    """Pictures handed over to the client by private link, and whether they arrived."""

    class State(models.TextChoices):
        SENT = "sent", "Sent"
        RECEIVED = "received", "Received"
        CALLED_BACK = "called_back", "Called back"

    number = models.CharField(max_length=30, unique=True)
    shoot = models.ForeignKey(Shoot, on_delete=models.PROTECT, related_name="deliveries")
    pictures = models.ManyToManyField(Picture, related_name="deliveries")
    state = models.CharField(max_length=11, choices=State, default=State.SENT)
    note = models.TextField(blank=True)
    is_final = models.BooleanField(default=True)
    sent_to = models.EmailField(blank=True)
    sent_to_name = models.CharField(max_length=120, blank=True)
    sent_at = models.DateTimeField()
    called_back_at = models.DateTimeField(null=True, blank=True)
    received_at = models.DateTimeField(null=True, blank=True)
    received_by = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["-sent_at", "-pk"]
        verbose_name_plural = "deliveries"
        indexes = [models.Index(fields=["state", "sent_at"], name="delivery_by_state")]

    def __str__(self) -> str:
        return self.number
