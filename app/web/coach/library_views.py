"""The library ready to print: entries in groups, one entry's card, and the steps of a session as a table."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from app.coaching.protocol_library import Library
from app.coaching.protocol_values import IntervalProtocol
from app.coaching.protocols import NO_SOURCE
from app.coaching.reasons import Why
from app.coaching.session_renderings import TableRow, clock_words, table_rows
from app.coaching.session_steps import NOUNS, steps_for
from app.coaching.steps import PART_WORDS, Node, total_minutes
from app.coaching.typed_session import LONGEST_ROUND_S
from app.coaching.words import counted, duration_words, minutes_words

SHORT_BELOW_S, LONG_ABOVE_S = 120, 300
_GROUPS = (
    ("Short rounds, under 2 min", range(SHORT_BELOW_S)),
    ("Rounds of 2 to 5 min", range(SHORT_BELOW_S, LONG_ABOVE_S + 1)),
    ("Long rounds, over 5 min", range(LONG_ABOVE_S + 1, LONGEST_ROUND_S + 1)),
)
EVIDENCE_RULE = (
    "What was published holds for the session and the people it was published about, and for nothing else."
)


@dataclass(frozen=True, slots=True)
class EntryLine:
    """One entry in a list."""

    key: str
    name: str
    #: "4 min hard, 4 min easy, 2 to 4 rounds".
    rounds: str
    purpose: str
    suits: str
    known: str
    why: Why


@dataclass(frozen=True, slots=True)
class Group:
    """Some entries under one heading."""

    title: str
    key: str
    lines: tuple[EntryLine, ...]


@dataclass(frozen=True, slots=True)
class StepRow:
    """One row of the coach's table of steps."""

    level: int
    #: "3 times" for the head of a set; "" for a step.
    set_words: str
    starts: str
    lasts: str
    what: str
    band: str
    say: str
    #: How often it is done in all; "" for once.
    in_all: str


def groups(entries: Iterable[IntervalProtocol]) -> tuple[Group, ...]:
    """The entries by the length of their rounds, short before long; empty groups are left out."""
    in_order = sorted(entries, key=lambda one: (one.work_s, one.rounds * one.work_s))
    made = (
        Group(title, f"group-{number}", tuple(entry_line(one) for one in in_order if one.work_s in lengths))
        for number, (title, lengths) in enumerate(_GROUPS, start=1)
    )
    return tuple(group for group in made if group.lines)


def entry_line(one: IntervalProtocol) -> EntryLine:
    """One entry in a line."""
    return EntryLine(one.key, one.name, rounds_words(one), one.purpose, one.suits, one.evidence, evidence_why(one))


def rounds_words(one: IntervalProtocol) -> str:
    """The rounds of an entry: "4 min hard, 4 min easy, 2 to 4 rounds"."""
    count = (
        counted(one.rounds_most, "round")
        if one.rounds_least == one.rounds_most
        else f"{one.rounds_least} to {one.rounds_most} rounds"
    )
    sets = f", {duration_words(one.set_recovery_s)} easy after every {one.set_of}" if one.has_sets else ""
    return f"{duration_words(one.work_s)} hard, {duration_words(one.recovery_s)} easy, {count}{sets}"


def evidence_why(one: IntervalProtocol) -> Why:
    """What is known about an entry and how far it goes."""
    return Why((), f"{one.evidence} {EVIDENCE_RULE}", one.provenance, one.source)


def facts(one: IntervalProtocol) -> tuple[tuple[str, str], ...]:
    """An entry's card in lines of name and text."""
    steps = example_steps(one)
    usual = f"{counted(one.rounds, 'round')}, {minutes_words(total_minutes(steps))} with warm-up and cool-down"
    found = (
        ("Whom it suits", one.suits),
        ("Work", duration_words(one.work_s)),
        ("Recovery", duration_words(one.recovery_s)),
        ("Rest between sets", f"{duration_words(one.set_recovery_s)}, after every {one.set_of} rounds"),
        ("Rounds", f"{one.rounds_least} to {one.rounds_most}"),
        ("As a rule", usual),
        ("Done by", ", ".join(NOUNS[mode] for mode in one.modes)),
        ("Over when", one.finish_rule),
        ("Known about it", f"{one.evidence} {source_beside(one)}"),
    )
    return tuple((name, text) for name, text in found if name != "Rest between sets" or one.has_sets)


def source_beside(one: IntervalProtocol) -> str:
    """The source as it stands behind the evidence: "Wen et al. 2019 (published, read)."."""
    said = f"{one.source} ({one.provenance.value})" if one.source else NO_SOURCE.capitalize()
    return f"{said}."


def neighbours(one: IntervalProtocol, library: Library) -> tuple[tuple[str, str, str], ...]:
    """The next step up and down, those that are offered: direction, key, name."""
    asked = (("A step up", one.step_up), ("A step down", one.step_down))
    return tuple(
        (way, key, library.offered[key].name) for way, key in asked if key is not None and key in library.offered
    )


def example_steps(one: IntervalProtocol) -> tuple[Node, ...]:
    """The session an entry makes with its usual rounds, by its first way of moving."""
    return steps_for(one, mode=one.modes[0], rounds=one.rounds, age=None, first_of_phase=False)


def step_rows(nodes: Sequence[Node]) -> tuple[StepRow, ...]:
    """A session's steps as the coach's table."""
    return tuple(_row(row) for row in table_rows(nodes))


def _row(row: TableRow) -> StepRow:
    # In a single set the count stands in its head already.
    often = f"{row.in_all} times in all" if row.level > 1 else ""
    if row.step is None:
        words = "once" if row.times == 1 else f"{row.times} times"
        return StepRow(row.level, words, clock_words(row.starts_s), duration_words(row.whole_s), "", "", "", "")
    return StepRow(
        row.level,
        "",
        clock_words(row.starts_s),
        duration_words(row.step.duration_s),
        PART_WORDS[row.step.part],
        row.step.band.value,
        row.step.say,
        often,
    )
