from django.db import models

from studio.models import Record, Studio


class OwnValue(Record):
    """A value of the paint tables that a studio puts its own in place of, and why.

    `table`, `row` and `column` name the place in the tables; `value` is written as there.
    """

    MOVES_PROGRAMME = True

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="own_values")
    table = models.CharField(max_length=40)
    row = models.CharField(max_length=60)
    column = models.CharField(max_length=40)
    value = models.CharField(max_length=40)
    reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["table", "row", "column"]
        constraints = [
            models.UniqueConstraint(
                fields=["studio", "table", "row", "column"], name="one_own_value_a_place"
            ),
        ]

    def __str__(self) -> str:
        return "your own value"
