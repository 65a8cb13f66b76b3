from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models

from studio.models.record import Record, StudioQuerySet
from studio.models.studio import Studio


class PersonManager(BaseUserManager.from_queryset(StudioQuerySet)):
    def get_by_natural_key(self, username: str) -> "Person":
        # One letter-box, one person: ANNA@ and anna@ sign in as the same.
        return self.get(email__iexact=username)


class Person(AbstractBaseUser, Record):
    """Someone of a studio, who signs in by email and may sit at the bench."""

    MOVES_PROGRAMME = True

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="people")
    name = models.CharField(max_length=80)
    email = models.EmailField(unique=True)
    paints = models.BooleanField(default=True)
    is_active = models.BooleanField(default=True)

    USERNAME_FIELD = "email"
    objects = PersonManager()

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.name
