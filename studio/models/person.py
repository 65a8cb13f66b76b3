from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models

from studio.models.record import Record, StudioQuerySet
from studio.models.studio import Studio


class PersonManager(BaseUserManager.from_queryset(StudioQuerySet)):
    def get_by_natural_key(self, username: str) -> "Person":
        # One letter-box, one person: ANNA@ and anna@ sign in as the same.
        return self.get(email__iexact=username)


class Person(AbstractBaseUser, Record):
    """Someone of a studio, who may sit at the bench where she `paints`.

    Whoever is active signs in by email; another, such as a helper for a week, needs none.
    `kinds` are the keys of the kinds of stage she does, none for every kind. `paints_from` and
    `paints_until` are the first and the last day she paints here, where there is one.
    """

    MOVES_PROGRAMME = True

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="people")
    name = models.CharField(max_length=80)
    email = models.EmailField(unique=True, null=True, blank=True)
    paints = models.BooleanField(default=True)
    kinds = models.JSONField(default=list, blank=True)
    paints_from = models.DateField(null=True, blank=True)
    paints_until = models.DateField(null=True, blank=True)
    is_active = models.BooleanField(default=True)

    USERNAME_FIELD = "email"
    objects = PersonManager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(paints_from__isnull=True)
                | models.Q(paints_until__isnull=True)
                | models.Q(paints_until__gte=models.F("paints_from")),
                name="person_paints_until_after_from",
            ),
            models.CheckConstraint(
                condition=models.Q(is_active=False) | models.Q(email__isnull=False),
                name="person_signs_in_by_email",
            ),
        ]

    def __str__(self) -> str:
        return self.name
