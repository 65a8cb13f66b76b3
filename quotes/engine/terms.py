"""What a costing starts from: work, supplies, extras, the studio's terms, her own corrections."""

from dataclasses import dataclass
from decimal import Decimal

CONTINGENCY_KEY = "contingency"
"""The key of the contingency line, by which it too can be set by hand."""


@dataclass(frozen=True)
class Work:
    """One line of hands-on work.

    `minutes` are hands-on minutes including set-up; `why` is their arithmetic in words; `panel`
    is the key of the panel it belongs to, "" for work on the whole commission.
    """

    key: str
    panel: str
    text: str
    minutes: int
    why: str = ""

    def __post_init__(self) -> None:
        _keyed(self.key, self.text)
        if self.minutes < 0:
            raise ValueError(f"{self.text}: the hours cannot be less than nothing.")


@dataclass(frozen=True)
class Supply:
    """One material, charged by use.

    `ml` is what the work uses (waste included), `pack_ml` what one pack holds and `pack_price` what
    a pack costs in minor units; `why` is the arithmetic of the use in words.
    """

    key: str
    text: str
    ml: Decimal
    pack_ml: int
    pack_price: int
    why: str = ""

    def __post_init__(self) -> None:
        _keyed(self.key, self.text)
        if not self.ml.is_finite() or self.ml < 0:
            raise ValueError(f"{self.text}: the amount used cannot be less than nothing.")
        if self.pack_ml <= 0:
            raise ValueError(f"{self.text}: a pack must hold more than nothing.")
        if self.pack_price < 0:
            raise ValueError(f"{self.text}: the price of a pack cannot be negative.")


@dataclass(frozen=True)
class Extra:
    """One thing charged at a price of its own, in minor units: collection, a new set of hinges."""

    key: str
    text: str
    amount: int

    def __post_init__(self) -> None:
        _keyed(self.key, self.text)
        if self.amount < 0:
            raise ValueError(f"{self.text}: the amount cannot be negative.")


@dataclass(frozen=True)
class Override:
    """A line set by hand: other minutes, another amount in minor units, or both, and why."""

    minutes: int | None
    amount: int | None
    reason: str

    def __post_init__(self) -> None:
        if not self.reason.strip():
            raise ValueError("Say why this line was changed by hand.")
        if self.minutes is None and self.amount is None:
            raise ValueError("Give the hours or the amount that this line shall have.")
        if self.minutes is not None and self.minutes < 0:
            raise ValueError("The hours of a line cannot be less than nothing.")
        if self.amount is not None and self.amount < 0:
            raise ValueError("The amount of a line cannot be negative.")


@dataclass(frozen=True)
class Terms:
    """The studio's terms.

    `hourly_cost` is minor units an hour; `contingency`, `tax` and `deposit` are per cent. `tax` is
    None where the studio charges none (not registered), which is not the same as a rate of 0.
    """

    hourly_cost: int
    contingency: Decimal
    tax: Decimal | None
    deposit: Decimal

    def __post_init__(self) -> None:
        if self.hourly_cost < 0:
            raise ValueError("The cost of an hour cannot be negative.")
        for name, percent in (
            ("contingency", self.contingency),
            ("tax", self.tax),
            ("deposit", self.deposit),
        ):
            if percent is None:
                continue
            if not percent.is_finite() or not 0 <= percent <= 100:
                raise ValueError(f"The {name} must be between 0 and 100 %.")


def _keyed(key: str, text: str) -> None:
    if not key:
        raise ValueError(f"The line '{text}' has no key.")
    if key == CONTINGENCY_KEY:
        raise ValueError(f"The key '{CONTINGENCY_KEY}' is kept for the contingency line.")
