"""manage.py estimate NUMBER: the price of a commission, for people and programs."""

from pathlib import Path

from django.core.management.base import CommandError
from django.utils import timezone

from jobs.models import Commission
from quotes.domain.estimates import valid_until
from quotes.domain.pricing import price_commission
from quotes.models import Estimate
from studio.formats import show_money, to_major
from studio.management.say import StudioCommand, chosen_studio


class Command(StudioCommand):
    help = "Print or save the latest issue of an estimate; before the first issue, as it stands."

    def add_arguments(self, parser) -> None:
        super().add_arguments(parser)
        parser.add_argument("number", type=int, help="the commission's number")
        parser.add_argument("--pdf", metavar="FILE", help="write the page that was sent to FILE")

    def handle(self, *args, number: int, **options) -> None:
        studio = chosen_studio(options["studio"])
        commission = Commission.objects.of(studio).filter(number=number).first()
        if commission is None:
            raise CommandError(f"There is no commission {number}.")
        issued = commission.estimates.first()
        if options["pdf"]:
            self._write_pdf(issued, number, Path(options["pdf"]))
            return
        data = issued_data(issued) if issued else standing_data(commission)
        if options["json"]:
            self.say_json(data)
            return
        for line in data["lines"]:
            self.stdout.write(f"{line['amount']:>12}  {line['text']}")
        total = issued.total if issued else price_commission(commission).costing.total
        self.stdout.write(f"total {show_money(total, studio)}")

    def _write_pdf(self, issued: Estimate | None, number: int, file: Path) -> None:
        if issued is None:
            raise CommandError(f"The estimate of commission {number} is not issued yet.")
        try:
            file.write_bytes(bytes(issued.pdf))
        except OSError as error:
            raise CommandError(f"{file} cannot be written: {error.strerror}.") from error
        self.stdout.write(f"Issue {issued.issue} is written to {file}.")


def issued_data(estimate: Estimate) -> dict:
    """Return an issue under stable keys, amounts as decimal strings."""
    return _data(
        estimate.commission,
        estimate.lines.all(),
        estimate,
        issue=estimate.issue,
        currency=estimate.currency,
        until=estimate.valid_until.isoformat(),
    )


def standing_data(commission: Commission) -> dict:
    """Return the price as it stands under the same keys; `issue` is null."""
    costing = price_commission(commission).costing
    until = valid_until(commission, now=timezone.now()).isoformat()
    currency = commission.studio.currency
    return _data(commission, costing.lines, costing, issue=None, currency=currency, until=until)


def _data(commission: Commission, lines, sums, *, issue, currency: str, until: str) -> dict:
    def amount(minor: int) -> str:
        return str(to_major(minor, currency))

    return {
        "commission": commission.number,
        "issue": issue,
        "currency": currency,
        "lines": [
            {"text": line.text, "minutes": line.minutes, "amount": amount(line.amount)}
            for line in lines
        ],
        "net": amount(sums.net),
        "tax": amount(sums.tax),
        "total": amount(sums.total),
        "deposit": amount(sums.deposit),
        "valid_until": until,
    }
