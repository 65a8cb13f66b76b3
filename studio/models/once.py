from django.db import models

from studio.models.studio import Studio


class Once(models.Model):
    """The answer to a form already sent, so that a double click writes one record."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE)
    token = models.UUIDField()
    digest = models.CharField(max_length=64)
    went_to = models.CharField(max_length=500, blank=True)
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["studio", "token", "digest"], name="one_answer_per_form"
            ),
        ]

    def __str__(self) -> str:
        return str(self.token)
