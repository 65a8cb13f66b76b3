"""The ways through the pages, with the one she is on marked."""

from dataclasses import dataclass

from django import template
from django.urls import reverse

register = template.Library()

WAYS = (
    ("bench", "Bench"),
    ("programme", "Programme"),
    ("commissions", "Commissions"),
    ("clients", "Clients"),
    ("sheets", "Methods"),
    ("mixes", "Mixes"),
    ("supplies", "Materials"),
    ("paint", "Paint"),
    ("business", "Studio"),
)
"""Name of the address, and the word on the page, in the order of the bar."""

PARTS_OF_COMMISSIONS = frozenset(
    {"pieces", "surfaces", "panels", "stages", "sittings", "touch-tests", "photos", "extra-lines"}
)
"""First words of addresses that belong to a commission."""


@dataclass(frozen=True)
class Way:
    """A place one can go. `current` is "page" on the very page, "true" within its part, or ""."""

    name: str
    label: str
    address: str
    current: str


@register.simple_tag(takes_context=True)
def ways(context) -> list[Way]:
    """Return the ways in order, with the current one marked as aria-current wants it."""
    here = context["request"].path
    return [_way(name, label, here) for name, label in WAYS]


def _way(name: str, label: str, here: str) -> Way:
    address = reverse(name)
    part = first_word(here)
    if part in PARTS_OF_COMMISSIONS:
        part = "commissions"
    current = "page" if here == address else "true" if part == first_word(address) else ""
    return Way(name, label, address, current)


def first_word(path: str) -> str:
    """Return the first word of an address: "panels" for /panels/7/."""
    return path.strip("/").partition("/")[0]
