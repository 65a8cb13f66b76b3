from django.db import models

from jobs.models.client import Client
from studio.models import Record, Studio
from studio.signals import why_held


class Commission(Record):
    """What was asked for, by whom, until when, and how far it has come."""

    MOVES_PROGRAMME = True

    class State(models.TextChoices):
        ENQUIRY = "enquiry", "enquiry"
        ESTIMATED = "estimated", "estimated"
        ACCEPTED = "accepted", "accepted"
        UNDER_WAY = "under-way", "under way"
        DRYING_OUT = "drying-out", "drying out"
        DELIVERED = "delivered", "delivered"
        DECLINED = "declined", "declined"

    class Weight(models.IntegerChoices):
        """What a day past the wanted one counts against that of others: common practice, no source.

        The value is the weight itself.
        """

        USUAL = 1, "as usual"
        MORE = 2, "more"
        MOST = 4, "most of all"

    IN_HAND = (State.ACCEPTED, State.UNDER_WAY, State.DRYING_OUT)

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="commissions")
    number = models.PositiveIntegerField()
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="commissions")
    title = models.CharField(max_length=120)
    brief = models.TextField(blank=True)
    wanted = models.DateField(null=True, blank=True)
    weight = models.PositiveSmallIntegerField(choices=Weight, default=Weight.USUAL)
    state = models.CharField(max_length=12, choices=State, default=State.ENQUIRY)
    accepted_at = models.DateTimeField(null=True, blank=True)
    delivered_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-number"]
        constraints = [
            models.UniqueConstraint(fields=["studio", "number"], name="commission_number"),
            models.CheckConstraint(
                condition=models.Q(
                    state__in=[
                        "enquiry", "estimated", "accepted", "under-way", "drying-out",
                        "delivered", "declined",
                    ]
                ),
                name="commission_state_known",
            ),
        ]  # fmt: skip

    def __str__(self) -> str:
        return f"{self.number} {self.title}"

    @property
    def in_hand(self) -> bool:
        """Return whether the work is agreed and not yet handed over."""
        return self.state in self.IN_HAND

    def why_no_work(self) -> str:
        """Return why no work is begun on it as it stands, or ""."""
        if self.in_hand:
            return ""
        if self.state == self.State.DELIVERED:
            return "The commission is handed over, so no work is begun on it any more."
        if self.state == self.State.DECLINED:
            how = "called off" if self.accepted_at else "declined"
            return f"The commission was {how}. Take it up again before you go on with it."
        return "The commission is not accepted yet: work is logged from then on."

    def why_kept(self) -> str:
        return why_held(self) or self.why_work_kept(panel__surface__piece__commission=self)

    def why_part_kept(self, **which) -> str:
        """Return why a part of the furniture may not be removed: it is agreed, or worked on."""
        if reason := self.why_work_kept(**which):
            return reason
        if self.state == self.State.DELIVERED:
            return (
                "It belongs to work that was handed over, and what was delivered stays on record."
            )
        if not self.in_hand:
            return ""
        if self.why_work_kept(panel__surface__piece__commission=self):
            return (
                "It belongs to what the client accepted, and that work has begun. If the client "
                "agrees to leave it out, set its lines to nothing on the estimate and issue that "
                "anew; then remove the stages of its method, and the programme leaves it out."
            )
        return (
            "It belongs to what the client accepted. If the client agrees to leave it out, open "
            "the estimate and undo the acceptance; then remove it and issue the new price."
        )

    @staticmethod
    def why_work_kept(**which) -> str:
        """Return why something may not be removed where work was logged on its stages."""
        from jobs.models.stage import Stage  # circular import

        stage = (
            Stage.objects.filter(**which)
            .filter(models.Q(sittings__isnull=False) | models.Q(touch_tests__isnull=False))
            .select_related("panel")
            .first()
        )
        if stage:
            return (
                f"Work is logged on ‘{stage.panel.name}’ ({stage.name.lower()}). "
                "Remove those sittings and touch tests first if they were logged by mistake."
            )
        return ""
