from django.db import models

SAID = {
    "lapse_set": "Last day to pay set",
    "lapse_cleared": "Last day to pay taken back",
    "shot_okd": "OK’d",
    "shot_ok_taken_back": "OK taken back",
    "guardian": "Signed by a parent or guardian",
    "minor_signed": "Signed by the person under age",
    "witness": "Signed by a witness",
    "paper_kept": "Signed paper kept",
    "limits_typed": "Limits typed from a paper",
    "cap_raise_answered": "Higher sum answered",
}


class Evidence(models.Model):
    """One link of the evidence chain. Rows are only ever added: triggers refuse UPDATE and DELETE."""

    seq = models.PositiveBigIntegerField(primary_key=True)
    at = models.DateTimeField()
    kind = models.CharField(max_length=30)
    subject = models.CharField(max_length=60, db_index=True)
    payload = models.JSONField()
    prev = models.CharField(max_length=64)
    hash = models.CharField(max_length=64)

    class Meta:
        ordering = ["seq"]

    def __str__(self) -> str:
        return f"{self.seq}: {self.kind} {self.subject}"

    @property
    def in_words(self) -> str:
        return SAID.get(self.kind) or self.kind.replace("_", " ").capitalize()


class EvidenceHead(models.Model):
    """The one row that says where the chain ends; locked while a link is added."""

    id = models.PositiveSmallIntegerField(primary_key=True, default=1)
    seq = models.PositiveBigIntegerField(default=0)
    hash = models.CharField(max_length=64, default="0" * 64)


class ConcealedValue(models.Model):
    """A personal value that the chain names only by hash; this row can be erased, the chain still verifies."""

    hash = models.CharField(max_length=64, primary_key=True)
    nonce = models.CharField(max_length=64)
    value = models.TextField()
