"""From the record to the bench sheet: what the painter needs beside the panel, without prices."""

from collections.abc import Iterable, Iterator
from datetime import datetime

from jobs.domain.cautions import piece_cautions, stage_cautions
from jobs.domain.gates import current_gate, gate_kind
from jobs.domain.places import measure_in
from jobs.domain.reckoning import reckon
from jobs.domain.workshop import Workshop, workshop_of
from jobs.labour.stages import coat_words
from jobs.layout.construction import construction, steps
from jobs.models import Commission, Mix, Panel, Piece, Stage
from jobs.paint.binders import binder
from jobs.paint.cautions import DEFERRING, Caution, cautions
from jobs.paint.gates import GATES, NO_WAIT
from jobs.paint.pigments import pigments
from jobs.paint.touch import span
from jobs.paint.worked_in import worked_with
from jobs.pictures import marks_of, section_of
from quotes.papers import (
    panel_size_words,
    paper_date,
    paper_language,
    paper_lines,
    paper_size,
)
from quotes.pdf.bench_sheet import (
    BenchPanel,
    BenchPiece,
    BenchSheet,
    CautionPaper,
    StagePaper,
    bench_sheet_pdf,
)
from studio.formats import local, show_minutes, show_number
from studio.models import Studio

ALIKE = 0.1
"""Of the usual film: what differs by less, no hand lays on purpose (common practice, no source)."""


def bench_sheet(commission: Commission, *, now: datetime) -> bytes:
    """Return the bench sheet of a commission as a PDF.

    Raises MissingLettersError where a name is in a script that the paper cannot print.
    """
    sheet = write_bench_sheet(commission, now=now)
    return bench_sheet_pdf(sheet, page_size=paper_size(commission.studio))


def write_bench_sheet(commission: Commission, *, now: datetime) -> BenchSheet:
    """Return the bench sheet as ready-formatted text and drawings."""
    studio, pieces = commission.studio, sheet_pieces(commission)
    workshop = workshop_of(studio)
    wanted = paper_date(commission.wanted, studio) if commission.wanted else ""
    return BenchSheet(
        language=paper_language(studio),
        studio_name=studio.name,
        studio_lines=paper_lines(studio.address, studio.phone, studio.email),
        client_name=commission.client.name,
        number=str(commission.number),
        title=commission.title,
        printed_on=paper_date(local(now, studio).date(), studio),
        wanted=wanted,
        room=_room(studio),
        pieces=tuple(_piece(piece, workshop, studio, now) for piece in pieces),
        deferring=DEFERRING,
        cautions=printed_cautions(called for piece in pieces for called in piece_cautions(piece)),
    )


def sheet_pieces(commission: Commission) -> list[Piece]:
    """Return the pieces of a commission with all that is printed of their panels."""
    pieces = Piece.objects.of(commission.studio).filter(commission=commission)
    return list(
        pieces.select_related("commission__studio", "commission__client").prefetch_related(
            "surfaces__panels__stages__sittings__person",
            "surfaces__panels__stages__touch_tests",
            "surfaces__panels__stages__mix__parts",
        )
    )


def panels_of(piece: Piece) -> list[tuple[str, Panel]]:
    """Return each panel with its letter, in the order of the letters."""
    marks = marks_of(piece)
    panels = [panel for surface in piece.surfaces.all() for panel in surface.panels.all()]
    told = [(marks[panel.pk], panel) for panel in panels]
    return sorted(told, key=lambda pair: (len(pair[0]), pair[0]))


def printed_cautions(called: Iterable[Caution]) -> tuple[CautionPaper, ...]:
    """Return cautions as the painter reads them, each once, in the order of their table."""
    found = set(called)
    return tuple(CautionPaper(one.title, one.text) for one in cautions().values() if one in found)


def tube(pigment: str) -> str:
    """Return 'yellow ochre (PY43)' for a part of a recipe."""
    known = pigments().get(pigment)
    return f"{known.name} ({known.ci})" if known else pigment


def _room(studio: Studio) -> str:
    warmth = show_number(studio.room_temperature, studio)
    damp = show_number(studio.room_humidity, studio)
    return (
        f"likely: as often as not; surely: 95 times in 100; for a room of {warmth} °C and "
        f"{damp} %, by the paint tables and your touch tests. A finger knows better."
    )


def _piece(piece: Piece, workshop: Workshop, studio: Studio, now: datetime) -> BenchPiece:
    panels = panels_of(piece)
    return BenchPiece(
        name=piece.name,
        description=f"{piece.stuff.name}, now {piece.lying.name}",
        panels=tuple(_panel(mark, panel, workshop, studio, now) for mark, panel in panels),
    )


def _panel(
    mark: str, panel: Panel, workshop: Workshop, studio: Studio, now: datetime
) -> BenchPanel:
    stages = list(panel.stages.all())
    minutes = [reckon(stage).minutes for stage in stages]
    ground = f"ground: {panel.ground_name}" if panel.ground_decided else "ground undecided"
    gate = current_gate(panel, workshop)
    drying = bool(gate and not gate.open_at(now))
    facts = (panel_size_words(panel, studio), panel.motif, ground)
    return BenchPanel(
        mark=mark,
        name=panel.title,
        facts=" · ".join(part for part in facts if part),
        section=section_of(panel, drying=drying, large=True) if stages else None,
        stages=tuple(
            _stage(stage, time, workshop, studio)
            for stage, time in zip(stages, minutes, strict=True)
        ),
        minutes=show_minutes(sum(minutes)),
        **_laid_out(panel, stages, studio),
    )


def _laid_out(panel: Panel, stages: list[Stage], studio: Studio) -> dict[str, object]:
    if not any(stage.kind == "grid" for stage in stages):
        return {}
    measure = measure_in(studio)

    def rounded(tenths: float) -> str:
        return measure(round(tenths))

    return {
        "lay_out": tuple(step.words(rounded) for step in steps(panel.width, panel.height)),
        "construction": construction(panel.shape),
    }


def _stage(stage: Stage, minutes: int, workshop: Workshop, studio: Studio) -> StagePaper:
    return StagePaper(
        name=stage.name,
        work=", ".join(_work(stage, workshop, studio)),
        recipe=_recipe(stage.mix) if stage.mix else "",
        coats=stage.coats,
        done=min(stage.coats_done, stage.coats),
        waits=tuple(_waits(stage, workshop)),
        minutes=show_minutes(minutes),
        mind=", ".join(caution.title.lower() for caution in stage_cautions(stage)),
    )


def _work(stage: Stage, workshop: Workshop, studio: Studio) -> Iterator[str]:
    paint = binder(stage.binder)
    if paint.family == "none":
        return
    yield _material(stage)
    if paint.leaves_film:
        yield coat_words(stage.coats)
        usual = workshop.films.get(stage.binder) or paint.film_um
        yield _film(stage.film_um or usual, usual, studio)


def _film(microns: float, usual: float, studio: Studio) -> str:
    """Return "as usual (102 µm wet)", or "thin" or "thick" where it is laid otherwise."""
    wet = f"({show_number(round(microns), studio)}\u00a0µm\u00a0wet)"
    if abs(microns - usual) <= ALIKE * usual:
        return f"as usual {wet}"
    return f"{'thin' if microns < usual else 'thick'} {wet}"


def _material(stage: Stage) -> str:
    """Return "oil colour with linseed oil"; of a drawing only what it is drawn with."""
    paint = binder(stage.binder)
    if not stage.medium:
        return paint.name
    medium, _ = worked_with()[stage.medium]
    return medium if paint.family == "dry" else f"{paint.name} with {medium}"


def _recipe(mix: Mix) -> str:
    told = ", ".join(f"{part.parts} {tube(part.pigment)}" for part in mix.parts.all())
    return f"{mix.name}: {told}" if told else mix.name


def _waits(stage: Stage, workshop: Workshop) -> Iterator[str]:
    """Tell the wait between the coats, and the one after the last."""
    first, last = gate_kind(stage, 1), gate_kind(stage, stage.coats)
    told = [("each coat: " if stage.coats > 1 else "", last)]
    if first != last:
        told = [("between coats: ", first), ("after the last: ", last)]
    for when, gate in told:
        wait = workshop.wait(stage, gate)
        if gate == NO_WAIT.key or not wait.median:
            continue
        likely, surely = span(wait.likely), span(wait.surely)
        beyond = f". A guess: {wait.why}" if wait.why else ""
        yield f"{when}{GATES[gate].label}, likely {likely}, surely {surely}{beyond}"
