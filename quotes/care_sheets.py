"""From the record to the care sheet that goes to the client with the piece."""

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta

from jobs.domain.cautions import client_cautions
from jobs.domain.curing import Curing, curing, films_of
from jobs.domain.gates import Opening
from jobs.domain.workshop import Workshop, workshop_of
from jobs.models import Commission, Panel, Piece, Stage
from jobs.paint.binders import binder
from jobs.paint.cautions import DEFERRING, cautions
from jobs.paint.pigments import pigments
from quotes.bench_sheets import panels_of, sheet_pieces, tube
from quotes.engine.care import care_for, care_of_harmful
from quotes.papers import paper_date, paper_language, paper_lines, paper_size
from quotes.pdf.bench_sheet import CautionPaper
from quotes.pdf.care_sheet import CarePiece, CareSheet, care_sheet_pdf
from schedule.models import PlannedSitting
from studio.formats import local
from studio.models import Studio
from studio.refusal import Refused

ROLES = {
    "sealer": "Sealed with",
    "ground": "Primed with",
    "paint": "Painted with",
    "glaze": "Glazed with",
    "varnish": "Varnished with",
}
NEAR = timedelta(days=270)
"""Nine months or so: beyond them no day is told, for paint does not keep to one."""


def care_sheet(commission: Commission, *, now: datetime) -> bytes:
    """Return the care sheet of a commission as a PDF.

    Raises Refused before the acceptance, MissingLettersError where a name is in a script that
    the paper cannot print.
    """
    if reason := why_no_care_sheet(commission):
        raise Refused(reason)
    sheet = write_care_sheet(commission, now=now)
    return care_sheet_pdf(sheet, page_size=paper_size(commission.studio))


def why_no_care_sheet(commission: Commission) -> str:
    """Return why there is no care sheet yet, or ""."""
    if commission.in_hand or commission.state == Commission.State.DELIVERED:
        return ""
    return "The care sheet can be printed from the acceptance on: until then nothing is agreed."


def write_care_sheet(commission: Commission, *, now: datetime) -> CareSheet:
    """Return the care sheet as ready-formatted text: what is painted, or as it is planned."""
    studio, client = commission.studio, commission.client
    pieces, workshop = sheet_pieces(commission), workshop_of(commission.studio)
    planned = _planned_ends(commission)
    stages = [stage for piece in pieces for stage in _films(piece)]
    left = [stage for stage in stages if not stage.done]
    return CareSheet(
        language=paper_language(studio),
        studio_name=studio.name,
        studio_lines=paper_lines(studio.address, studio.phone, studio.email),
        client_name=client.name,
        client_lines=paper_lines(client.address),
        number=str(commission.number),
        title=commission.title,
        dated=paper_date(local(now, studio).date(), studio),
        made_by=_made_by(pieces, studio),
        lead=_lead(stages, left),
        pieces=tuple(_piece(piece, workshop, studio, planned, now) for piece in pieces),
        care=_care(pieces),
        deferring=DEFERRING,
        cautions=_told_client(pieces),
    )


def _told_client(pieces: list[Piece]) -> tuple[CautionPaper, ...]:
    """Tell the owner what to know, each caution once, in the order of their table."""
    called = {caution for piece in pieces for caution in client_cautions(piece)}
    return tuple(
        CautionPaper(one.title, one.to_client) for one in cautions().values() if one in called
    )


def _planned_ends(commission: Commission) -> dict[int, datetime]:
    """Return when the last coat of each stage is planned to be finished, by the stage's key."""
    rows = PlannedSitting.objects.of(commission.studio).filter(
        dropped_at=None, stage__panel__surface__piece__commission=commission
    )
    ends: dict[int, datetime] = {}
    for row in rows.select_related("stage"):
        if row.coat == row.stage.coats:
            ends[row.stage_id] = max(row.end, ends.get(row.stage_id, row.end))
    return ends


def _films(piece: Piece) -> list[Stage]:
    return [stage for _, panel in panels_of(piece) for stage in films_of(panel)]


def _lead(stages: list[Stage], left: list[Stage]) -> str:
    if not stages:
        return "Nothing is planned for it yet."
    if len(left) == len(stages) and not any(stage.coats_done for stage in stages):
        return "Nothing is painted yet: this is what is planned."
    return "Not all of it is painted yet: the rest stands here as it is planned." if left else ""


def _made_by(pieces: list[Piece], studio: Studio) -> str:
    sittings = [
        sitting
        for piece in pieces
        for _, panel in panels_of(piece)
        for stage in panel.stages.all()
        for sitting in stage.sittings.all()
    ]
    names = list(dict.fromkeys(sitting.person.name for sitting in sittings))
    if not names:
        return studio.name
    days = [local(sitting.start, studio).date() for sitting in sittings]
    first, last = paper_date(min(days), studio), paper_date(max(days), studio)
    told = f"between {first} and {last}" if first != last else f"on {first}"
    return f"{_and(names)}, {studio.name}, {told}"


def _piece(
    piece: Piece,
    workshop: Workshop,
    studio: Studio,
    planned: dict[int, datetime],
    now: datetime,
) -> CarePiece:
    films = _films(piece)
    panels = [panel for _, panel in panels_of(piece) if films_of(panel)]
    found = [curing(panel, workshop, planned=planned) for panel in panels]
    return CarePiece(
        name=piece.name,
        description=piece.stuff.name,
        materials=tuple(_materials(films)),
        cured=tuple(_cured(found, studio, now)) if found else (),
        colours=tuple(_colours(films)),
    )


def _materials(films: list[Stage]) -> Iterator[tuple[str, str]]:
    """Tell by what it does each thing that it is painted with, once, in the order laid."""
    used = {binder(stage.binder).key: binder(stage.binder) for stage in films}
    for role, label in ROLES.items():
        names = [paint.name for paint in used.values() if paint.role == role]
        if names:
            yield label, "; ".join(names)


def _cured(found: list[Curing | None], studio: Studio, now: datetime) -> Iterator[str]:
    """Tell until when the whole piece is to be handled gently: as its last panel is."""
    known = [one for one in found if one]
    if len(known) < len(found):
        yield "The day of the last coat is not known yet: ask before you put it to use."
        return
    slowest = max(known, key=lambda one: (one.last.surely, one.last.likely))
    yield _last_coat(slowest.last, studio, now, planned=any(one.planned for one in known))
    beneath = [
        one.beneath for one in known if one.beneath and one.beneath.likely > slowest.last.surely
    ]
    if beneath:
        deepest = max(beneath, key=lambda gate: gate.likely)
        until = _day(deepest.likely, studio)
        long = f"until about {until}" if deepest.likely - now <= NEAR else "for a year or more"
        yield (
            f"The {binder(deepest.stage.binder).name} beneath goes on hardening {long}; meanwhile "
            "a knock marks it more easily."
        )


def _last_coat(last: Opening, studio: Studio, now: datetime, *, planned: bool) -> str:
    """Tell when the last coat is laid and cured: its days only as far as they can be told."""
    laid, likely, surely = (_day(each, studio) for each in (last.since, last.likely, last.surely))
    coat = f"The last coat, {binder(last.stage.binder).name},"
    if not planned and last.surely <= now:
        return f"{coat} was laid on {laid} and has surely been cured since {surely}."
    told = f"{coat} is planned for {laid}." if planned else f"{coat} was laid on {laid}."
    if last.surely - now > NEAR:
        return f"{told} It goes on curing for a year or more: handle it gently meanwhile."
    if planned:
        return (
            f"{told} It will likely be cured by {likely}, surely by {surely}. Handle it gently "
            "until then."
        )
    return (
        f"{told} It is likely cured by {likely}, surely by {surely}. Handle it gently until "
        f"{surely}."
    )


def _day(moment: datetime, studio: Studio) -> str:
    return paper_date(local(moment, studio).date(), studio)


def _colours(films: list[Stage]) -> Iterator[str]:
    """Name the colours that can harm, under the caution that each calls for."""
    used = list(dict.fromkeys(_pigments(films)))
    told = False
    for key, caution in cautions().items():
        names = [tube(ci) for ci in used if ci in pigments() and pigments()[ci].hazard == key]
        if names:
            told = True
            yield f"{caution.title}: {_and(names)}."
    if told:
        yield from (row.text for row in care_of_harmful())


def _pigments(films: Iterable[Stage]) -> Iterator[str]:
    return (part.pigment for stage in films if stage.mix for part in stage.mix.parts.all())


def _care(pieces: list[Piece]) -> tuple[str, ...]:
    panels: list[Panel] = [panel for piece in pieces for _, panel in panels_of(piece)]
    films = [films_of(panel) for panel in panels]
    laid = [stage for stages in films for stage in stages]
    called = care_for(
        tops={stages[-1].binder for stages in films if stages},
        binders={stage.binder for stage in laid},
        pigments=set(_pigments(laid)),
    )
    return tuple(row.text for row in called) if laid else ()


def _and(names: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))
