import uuid
from pathlib import Path

from django.conf import settings
from django.db import models


class StoredFile(models.Model):
    """Bytes kept for good, named by their SHA-256; the row says what they are and when they came."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=200)
    kind = models.CharField(max_length=40)
    media_type = models.CharField(max_length=80)
    size = models.PositiveBigIntegerField()
    sha256 = models.CharField(max_length=64, db_index=True)
    kept_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name

    @property
    def path(self) -> Path:
        return Path(settings.FILES_FOLDER) / self.sha256[:2] / self.sha256[2:4] / self.sha256

    def read_bytes(self) -> bytes:
        return self.path.read_bytes()
