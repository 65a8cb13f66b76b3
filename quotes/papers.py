"""From the record to the paper the client gets: every figure and date in the studio's way."""

from collections.abc import Iterator
from datetime import date, datetime
from typing import Literal

from babel import Locale
from django.utils.text import capfirst

from jobs.domain.cautions import client_cautions
from jobs.labour.stages import client_words, stage_kinds
from jobs.models import Commission, Panel, Piece
from jobs.paint.cautions import DEFERRING
from jobs.pictures import elevation_of, marks_of
from quotes.domain.estimates import Draft, next_issue, valid_until
from quotes.domain.pricing import PanelPrice, Pricing, price_commission, risky_ground
from quotes.domain.promise import Promise, Week, promise_for
from quotes.pdf.estimate import (
    EstimatePaper,
    PanelPaper,
    PiecePaper,
    SumLine,
    WeekPaper,
    estimate_pdf,
)
from quotes.pdf.missing import MissingLettersError
from studio.formats import (
    local,
    show_date,
    show_minutes,
    show_money,
    show_number,
    speaks_english,
)
from studio.models import Studio
from studio.refusal import Refused
from studio.units import show_length

LETTER_COUNTRIES = frozenset(
    {"BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"}
)
"""Unicode CLDR 48, supplemental data, measurementData: paperSize US-Letter; the world has A4."""


def paper_size(studio: Studio) -> Literal["A4", "Letter"]:
    """Return the paper of the studio's country: Letter in a few, A4 (ISO 216) elsewhere."""
    return "Letter" if Locale.parse(studio.locale).territory in LETTER_COUNTRIES else "A4"


def draft_estimate(commission: Commission, *, now: datetime) -> Draft:
    """Price the commission, plan it and draw its page. Slow; call it outside a transaction.

    Raises Refused where something must be mended first.
    """
    pricing = price_commission(commission)
    if pricing.obstacles:
        raise Refused(" ".join(pricing.obstacles))
    promise = promise_for(commission, now=now)
    issue, until = next_issue(commission), valid_until(commission, now=now)
    paper = write_paper(pricing, promise, issue=issue, issued_at=now, valid_until=until)
    try:
        pdf = estimate_pdf(paper, page_size=paper_size(commission.studio))
    except MissingLettersError as error:
        raise Refused(str(error)) from error
    return Draft(issue, pricing, promise, until, pdf)


def write_paper(
    pricing: Pricing, promise: Promise, *, issue: int, issued_at: datetime, valid_until: date
) -> EstimatePaper:
    """Return the estimate as ready-formatted text and drawings."""
    commission, costing = pricing.commission, pricing.costing
    studio, client = commission.studio, commission.client
    pieces = commission_pieces(pricing)

    def money(minor: int) -> str:
        return show_money(minor, studio)

    tax = show_number(studio.tax_rate or 0, studio)
    return EstimatePaper(
        language=paper_language(studio),
        studio_name=studio.name,
        studio_lines=paper_lines(studio.address, studio.phone, studio.email),
        client_name=client.name,
        client_lines=paper_lines(client.address),
        number=str(commission.number),
        issue=issue,
        title=commission.title,
        brief=commission.brief,
        issued_on=paper_date(local(issued_at, studio).date(), studio),
        valid_until=paper_date(valid_until, studio),
        wanted=paper_date(commission.wanted, studio) if commission.wanted else "",
        pieces=tuple(_piece(piece, pricing, studio) for piece in pieces),
        weeks=tuple(
            WeekPaper(f"Week of {paper_date(week.monday, studio)}", _week_text(week))
            for week in promise.weeks
        ),
        finish_text=_finish_text(promise, commission),
        sums=tuple(_sums(pricing, studio)),
        net=money(costing.net),
        tax_label=f"{studio.tax_name} {tax} %" if studio.tax_rate is not None else "",
        tax=money(costing.tax) if studio.tax_rate is not None else "",
        total=money(costing.total),
        deposit_label=_deposit_label(studio) if costing.deposit else "",
        deposit=money(costing.deposit) if costing.deposit else "",
        terms=paper_lines(studio.terms),
        cautions=_cautions(pieces),
    )


def paper_language(studio: Studio) -> str:
    """Return the language of the paper, whose text is English, as a BCP 47 tag."""
    return studio.locale.replace("_", "-") if speaks_english(studio) else "en"


def paper_date(day: date, studio: Studio) -> str:
    """Return a day as the pages tell it, by ISO 8601 where the paper has no letters for it."""
    from quotes.pdf.fonts import missing_letters  # slow import

    text = show_date(day, studio)
    return day.isoformat() if missing_letters(text) else text


def commission_pieces(pricing: Pricing) -> list[Piece]:
    """Return the pieces with surfaces and panels, as drawn and described on the paper."""
    pieces = Piece.objects.of(pricing.commission.studio).filter(commission=pricing.commission)
    return list(
        pieces.prefetch_related(
            "surfaces__panels__stages__sittings", "surfaces__panels__stages__mix__parts"
        )
    )


def paper_lines(*texts: str) -> tuple[str, ...]:
    """Return the lines of several texts, blank ones left out."""
    return tuple(line.strip() for text in texts for line in text.splitlines() if line.strip())


def _cautions(pieces: list[Piece]) -> tuple[str, ...]:
    """Return what the client is to mind, each caution once, under what it defers to."""
    called = dict.fromkeys(caution for piece in pieces for caution in client_cautions(piece))
    told = tuple(f"{caution.title}: {caution.to_client}" for caution in called)
    return (DEFERRING, *told) if told else ()


def _deposit_label(studio: Studio) -> str:
    return f"Deposit, {show_number(studio.deposit, studio)} % of the total"


def _piece(piece: Piece, pricing: Pricing, studio: Studio) -> PiecePaper:
    marks = marks_of(piece)
    prices = [price for price in pricing.panels if price.panel.pk in marks]
    prices.sort(key=lambda price: (len(marks[price.panel.pk]), marks[price.panel.pk]))
    return PiecePaper(
        name=piece.name,
        description=_piece_words(piece),
        drawing=elevation_of(piece, linked=False),
        panels=tuple(_panels(prices, marks, studio)),
    )


def _piece_words(piece: Piece) -> str:
    """Return 'Softwood, now painted'."""
    return capfirst(", ".join(filter(None, (piece.stuff.client, piece.lying.client))))


def _panels(
    prices: list[PanelPrice], marks: dict[int, str], studio: Studio
) -> Iterator[PanelPaper]:
    """Describe each panel; work told once is not told again but referred to by its letter."""
    told: dict[tuple[str, ...], str] = {}
    for price in prices:
        panel, mark = price.panel, marks[price.panel.pk]
        work = tuple(_work_words(panel))
        first = told.setdefault(work, mark)
        yield PanelPaper(
            mark=mark,
            name=panel.title,
            size=panel_size_words(panel, studio),
            motif=panel.motif,
            work=work if first == mark else (f"the same work as on panel {first}",),
            amount=show_money(price.amount, studio),
        )


def panel_size_words(panel: Panel, studio: Studio) -> str:
    """Return '25 cm × 40 cm oval', '25 cm circle' or '40 cm × 84 cm frame, 5 cm wide'."""
    width = show_length(panel.width, unit=studio.unit, locale=studio.locale)
    if panel.kind == Panel.Kind.CIRCLE:
        return f"{width} circle"
    height = show_length(panel.height, unit=studio.unit, locale=studio.locale)
    words = f"{width} × {height} {panel.get_kind_display()}"
    if panel.kind == Panel.Kind.FRAME:
        words += f", {show_length(panel.band, unit=studio.unit, locale=studio.locale)} wide"
    return words


def _work_words(panel: Panel):
    for stage in panel.stages.all():
        words = client_words(stage.kind, coats=stage.coats, binder=stage.binder)
        if stage.sort.places_ground and panel.ground_decided:
            words += f" ({panel.ground_name})"
        yield words
    if risky_ground(panel):
        yield "the ground colour is still to be decided; further coats for it are included"


def _week_text(week: Week) -> str:
    usual = {kind.name for kind in stage_kinds().values()}
    # Names of her own keep their capitals: a colour, or a noun of her language.
    stages = ", ".join(name.lower() if name in usual else name for name in week.stages)
    time = f"({show_minutes(week.minutes)} at the bench)".replace(" ", "\u00a0")
    return f"{stages} {time}"


def _finish_text(promise: Promise, commission: Commission) -> str:
    studio = commission.studio
    if commission.state == Commission.State.DELIVERED:
        return ""
    if not promise.likely or not promise.last_work:
        return "The date will be agreed with you."
    likely, last = paper_date(promise.likely, studio), paper_date(promise.last_work, studio)
    by = f"likely by {likely}"
    if promise.surely and promise.surely > promise.likely:
        by += f", surely by {paper_date(promise.surely, studio)}"
    text = f"the work can be handed over {by}."
    if promise.likely > promise.last_work:
        text = f"the last brush is laid down about {last}; dried and cured, {text}"
    if not commission.in_hand:
        text = f"if you accept within the next days, {text}"
    if commission.wanted and promise.likely > commission.wanted:
        text += f" That is after the day you asked for, {paper_date(commission.wanted, studio)}."
    return capfirst(text)


def _sums(pricing: Pricing, studio: Studio):
    costing = pricing.costing
    hours = show_minutes(pricing.minutes)
    yield SumLine(f"Work at the bench, {hours}", show_money(pricing.work, studio))
    materials = costing.of_kind("material")
    if materials:
        yield SumLine("Primer, paint and varnish", show_money(materials, studio))
    for _, line in pricing.extras:
        time = f", {show_minutes(line.minutes)}" if line.minutes else ""
        yield SumLine(f"{line.text}{time}", show_money(line.amount, studio))
    for line in pricing.contingency:
        yield SumLine(line.text, show_money(line.amount, studio))
