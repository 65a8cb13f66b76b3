"""Binders and media: what a coat is bound with, how it dries, how far it goes."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from jobs.paint.film import wet_film_microns
from jobs.paint.gates import GATES
from jobs.paint.table import (
    Column,
    caution_keys,
    many_of,
    number,
    one_of,
    optional,
    read_fields,
    read_rows,
    text,
    whole,
    yes_no,
)

FILE = Path(__file__).parent / "data" / "binders.toml"

FAMILIES = ("none", "dry", "water", "oil", "shellac", "resin", "wax")
ROLES = ("none", "ground", "paint", "glaze", "sealer", "varnish")
LONGEST_HOURS = 20_000
LONGEST = "20 000 hours, which is two years and a quarter"


@dataclass(frozen=True)
class Wait:
    """Time of the usual film to one gate at 20 °C and 50 %: a lognormal from `least_hours` on."""

    hours: float
    sigma: float
    least_hours: float = 0.0


@dataclass(frozen=True)
class Binder:
    """One binder. Rate in m2 per litre (None: leaves no film), waste a share, pack in ml.

    `price` is what a pack is first put at, in a currency near the euro; None for the usual.
    `energy` is the activation energy in kJ/mol, `lowest_c` the lowest working temperature.
    `by_pigment` says whether the drying class of the pigments changes its waits.
    """

    key: str
    name: str
    family: str
    role: str
    waits: dict[str, Wait]
    energy: float
    lowest_c: float
    rate: Decimal | None
    waste: Decimal
    pack_ml: int
    price: Decimal | None
    by_pigment: bool
    hazards: tuple[str, ...]
    note: str
    source: str

    @property
    def leaves_film(self) -> bool:
        """Whether a coat of it stays on the panel as paint, ground or varnish."""
        return self.role != "none"

    def with_hours(self, hours: Mapping[str, float]) -> "Binder":
        """The same binder with a studio's own hours to some gates in place of the table's.

        A floor of the table's gives way to them: she has seen it dry. ValueError, in the
        painter's words, for a gate nobody waits for, no time at all, or a later gate that opens
        before an earlier one.
        """
        waits = dict(self.waits)
        for gate, own in hours.items():
            if gate not in waits:
                raise ValueError(f"Nobody waits for {self.name} to be {GATES[gate].label}.")
            if not 0 < own <= LONGEST_HOURS:
                raise ValueError(f"A wait lasts more than nothing and at most {LONGEST}.")
            waits[gate] = Wait(own, waits[gate].sigma, min(waits[gate].least_hours, own))
        told = [each.hours for each in waits.values()]
        if told != sorted(told):
            raise ValueError(
                "Each wait must be at least as long as the one before: touch-dry, then the next "
                "coat, then dry all through, then cured."
            )
        return replace(self, waits=waits)

    @property
    def film_um(self) -> float:
        """Microns of wet film that its waits hold for: as the rate spreads it; 0 without one."""
        return wet_film_microns(self.rate) if self.rate else 0.0


_WAIT = {
    "hours": Column(number(0.01, LONGEST_HOURS)),
    "sigma": Column(number(0.01, 2)),
    "least": optional(number(0, LONGEST_HOURS), Decimal(0)),
}


def _waits(value: Any) -> dict[str, Wait]:
    gates = [key for key in GATES if key != "none"]
    if not isinstance(value, dict) or (value and list(value) != gates):
        raise ValueError(f"needs {', '.join(gates)} in this order, or nothing")
    waits = {}
    least = 0.0
    for gate, fields in value.items():
        row = read_fields(fields, _WAIT)
        # In a hot room a later gate must not overtake the floor of an earlier one.
        least = max(least, float(row["least"]))
        waits[gate] = Wait(float(row["hours"]), float(row["sigma"]), least)
    return waits


_COLUMNS = {
    "key": Column(text),
    "name": Column(text),
    "family": Column(one_of(FAMILIES)),
    "role": Column(one_of(ROLES)),
    "waits": optional(_waits, {}),
    "energy": optional(number(10, 150), Decimal(50)),
    "lowest_c": optional(number(-20, 40), Decimal(5)),
    "rate": optional(number(1, 50), None),
    "waste": optional(number(0, 1), Decimal(0)),
    "pack_ml": optional(whole(1, 20000), 0),
    "price": optional(number(0, 10_000), None),
    "by_pigment": optional(yes_no, False),
    "hazards": optional(many_of(caution_keys()), ()),
    "note": optional(text, ""),
}


@cache
def binders() -> dict[str, Binder]:
    """Every binder by its key, in the order of the table. ValueError names a bad row."""
    table = {}
    for row in read_rows(FILE, "binder", _COLUMNS):
        row["energy"], row["lowest_c"] = float(row["energy"]), float(row["lowest_c"])
        binder = Binder(**row)
        if binder.leaves_film and not (binder.waits and binder.rate and binder.pack_ml):
            raise ValueError(f"{FILE.name}, {binder.key}: a film needs waits, rate and pack_ml")
        table[binder.key] = binder
    return table


def binder(key: str) -> Binder:
    """The binder of that key; ValueError when there is none."""
    try:
        return binders()[key]
    except KeyError:
        raise ValueError(f"There is no binder '{key}'.") from None
