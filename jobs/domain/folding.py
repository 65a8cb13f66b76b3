"""Findings of one rule folded into one notice that names the stages."""

from collections import Counter
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from jobs.domain.layering import Judged
from jobs.models import Panel, SheetStage, Stage
from jobs.paint.layers import Finding


@dataclass(frozen=True)
class Line:
    """Why a rule speaks, and of which stages in these very words."""

    why: str
    stages: tuple[Stage | SheetStage, ...]

    @property
    def names(self) -> str:
        """Return what its stages are called, each name once."""
        return ", ".join(dict.fromkeys(stage.name for stage in self.stages))

    @property
    def panels(self) -> list[Panel]:
        """Return the panels its stages are of, each once."""
        return list(dict.fromkeys(one.panel for one in self.stages if isinstance(one, Stage)))


@dataclass(frozen=True)
class Notice:
    """All that one rule says: why and of which stages, and what mends it, each sentence once."""

    level: str
    lines: tuple[Line, ...]
    mends: tuple[str, ...]
    source: str

    @property
    def mend(self) -> str:
        """Return what mends it, in one paragraph."""
        return " ".join(self.mends)

    @property
    def of_several(self) -> bool:
        """Return whether it speaks of more stages than one."""
        return sum(len(line.stages) for line in self.lines) > 1


def fold(judged: Iterable[Judged]) -> list[Notice]:
    """Return one notice for each rule, in the order in which the rules first speak."""
    by_rule: dict[str, list[Judged]] = {}
    for stage, finding in judged:
        by_rule.setdefault(finding.rule, []).append((stage, finding))
    return [_notice(found) for found in by_rule.values()]


def alone_among(judged: Collection[Judged]) -> list[Finding]:
    """Return the findings whose rule speaks of one stage only, to stand beside it."""
    spoken = Counter(finding.rule for _, finding in judged)
    return [finding for _, finding in judged if spoken[finding.rule] == 1]


def _notice(found: list[Judged]) -> Notice:
    by_words: dict[str, list[Stage | SheetStage]] = {}
    for stage, finding in found:
        by_words.setdefault(finding.why, []).append(stage)
    findings = [finding for _, finding in found]
    return Notice(
        level=findings[0].level,
        lines=tuple(Line(why, tuple(stages)) for why, stages in by_words.items()),
        mends=tuple(dict.fromkeys(finding.mend for finding in findings)),
        source=findings[0].source,
    )
