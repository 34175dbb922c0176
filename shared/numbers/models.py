from django.db import models


class Counter(models.Model):
    """The next number of a series in a year. Locked while a number is taken, so numbers have no gap and no twin."""

    series = models.CharField(max_length=40)
    year = models.PositiveSmallIntegerField()
    last = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["series", "year"], name="counter_once_a_year")]

    def __str__(self) -> str:
        return f"{self.series} {self.year}: {self.last}"
