from django.db import models

from studio.models import Record, Studio


class Client(Record):
    """Who asks for the work."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="clients")
    name = models.CharField(max_length=120)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    address = models.TextField(blank=True)
    notes = models.TextField(blank=True)

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def why_kept(self) -> str:
        count = self.commissions.count()
        if count:
            which = "a commission" if count == 1 else f"{count} commissions"
            return f"{self.name} has {which}. Remove those first, or keep the client."
        return ""
