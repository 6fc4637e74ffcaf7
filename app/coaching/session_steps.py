"""Whole sessions as steps in client words: warm-up, rounds, recovery, cool-down, and the easy kinds."""

from __future__ import annotations

from dataclasses import replace

from app.coaching.effort import Band
from app.coaching.people import Mode
from app.coaching.protocols import IntervalProtocol
from app.coaching.reasons import DomainError
from app.coaching.steps import SECONDS_A_MINUTE, Node, Part, Repeat, Step, from_json, to_json

OLDER_FROM = 60
WARM_UP_QUIET_S = 600
BRISK_TIMES = 3
BRISK_S = 30
BRISK_REST_S = 70
COOL_DOWN_S = 600
EASY_EDGE_S = 300
EASY_WITH_EDGES_MIN = 20
EFFORT_START = 4
EFFORT_END_FIRST = 6
EFFORT_END = 7
EFFORT_NEVER_ABOVE = 8

VERBS = {
    Mode.WALK: "walk",
    Mode.RUN: "run",
    Mode.RIDE: "ride",
    Mode.INDOOR_RIDE: "pedal",
    Mode.ROW: "row",
    Mode.SWIM: "swim",
    Mode.TREADMILL: "walk",
    Mode.CROSS_TRAIN: "move",
    Mode.STRENGTH: "move",
    Mode.OTHER: "move",
}
NOUNS = {
    Mode.WALK: "walk",
    Mode.RUN: "run",
    Mode.RIDE: "ride",
    Mode.INDOOR_RIDE: "indoor ride",
    Mode.ROW: "row",
    Mode.SWIM: "swim",
    Mode.TREADMILL: "treadmill walk",
    Mode.CROSS_TRAIN: "machine session",
    Mode.STRENGTH: "strength session",
    Mode.OTHER: "session",
}

STRENGTH = "Strength"
STRENGTH_AND_BALANCE = "Strength and balance"
#: Balance exercises take so much of a session (house choice).
BALANCE_MIN = 10
_STRENGTH_WORDS = "Two or three rounds of your exercises, calm breath, two repetitions left in hand."
_BALANCE_WORDS = (
    "Balance: heel to toe along a line, then on one leg, each side in turn. Stand beside something firm to hold, and "
    "hold it whenever you sway."
)

WARM_UP_RULE = (
    "After 10 minutes ask yourself how it feels. As usual: go on. Two things worse than usual, or heavier than it "
    "should be: 30 minutes easy and home. In doubt: half the rounds."
)
STOP_WORDS = "Stop at once for chest, breath, dizziness or anything that is not just effort, and tell us."


def target_words(*, first_of_phase: bool) -> str:
    """The target of a round in effort words; never above 8 (common practice, no published source)."""
    end = EFFORT_END_FIRST if first_of_phase else EFFORT_END
    return (
        f"Start at effort {EFFORT_START}, end at {end}, never above {EFFORT_NEVER_ABOVE}. The first 30 seconds are "
        "almost silly-easy; by minute 3 only a few words."
    )


#: The target of a round too short for the common words (common practice, no published source).
SHORT_ROUND_WORDS = (
    "Brisk and light, never a sprint, never above effort 8. The first should feel too easy; towards the end you "
    "would rather not talk."
)
#: Said of every round in water.
ALONE_WORDS = "Never alone in the water."


def easy_version(minutes: int, mode: Mode) -> str:
    """The session to do instead when the warm-up says so."""
    return f"Easy version: {VERBS[mode]} {minutes} minutes at a chatting effort, no rounds. It counts as kept."


def steps_for(
    protocol: IntervalProtocol, *, mode: Mode, rounds: int, age: int | None, first_of_phase: bool
) -> tuple[Node, ...]:
    """The session of a library entry: 15 min warm-up, the rounds, 10 min cool-down.

    Raises: DomainError when the entry cannot be done that way or not in so many rounds.
    Source: common practice, no published source.
    """
    if mode not in protocol.modes:
        raise DomainError(f"{protocol.name} is not done as {NOUNS[mode]}")
    if not 1 <= rounds <= protocol.rounds_most:
        raise DomainError(f"{protocol.name} has 1 to {protocol.rounds_most} rounds, not {rounds}")
    say = _round_words(protocol, mode, first_of_phase=first_of_phase)
    work = Step(Part.WORK, protocol.work_s, Band.HARD, say)
    last = Step(Part.WORK, protocol.work_s, Band.HARD, f"{say} The last: at its end you could have gone 30 s more.")
    before_last = _rounds_before_last(protocol, rounds, work, mode)
    return (*_warm_up(mode, age=age, first_of_phase=first_of_phase), *before_last, last, _cool_down(mode))


def _round_words(protocol: IntervalProtocol, mode: Mode, *, first_of_phase: bool) -> str:
    """What is said of a round: the entry's words, else the common ones; the practice's own words come after them."""
    common = target_words(first_of_phase=first_of_phase) if protocol.has_long_rounds else SHORT_ROUND_WORDS
    said = " ".join(filter(None, (protocol.round_words or common, protocol.also_words)))
    return said if mode is not Mode.SWIM or ALONE_WORDS in said else f"{said} {ALONE_WORDS}"


def _rounds_before_last(protocol: IntervalProtocol, rounds: int, work: Step, mode: Mode) -> tuple[Node, ...]:
    """Every round but the last with its recovery; whole sets first where some recoveries are longer."""
    rest = Step(Part.RECOVERY, protocol.recovery_s, Band.EASY, _recovery_words(mode))
    if not protocol.has_sets:
        return _repeated(rounds - 1, (work, rest))
    long_rest = replace(rest, duration_s=protocol.set_recovery_s)
    sets, in_last = divmod(rounds - 1, protocol.set_of)
    whole = (*_repeated(protocol.set_of - 1, (work, rest)), work, long_rest)
    return (*_repeated(sets, whole), *_repeated(in_last, (work, rest)))


def _repeated(times: int, steps: tuple[Node, ...]) -> tuple[Node, ...]:
    return (Repeat(times, steps),) if times > 0 else ()


def _warm_up(mode: Mode, *, age: int | None, first_of_phase: bool) -> tuple[Node, ...]:
    company = " Have someone with you today." if first_of_phase and (age is None or age >= OLDER_FROM) else ""
    talk = "able to chat at every wall" if mode is Mode.SWIM else "chatting all the way"
    quiet = f"{VERBS[mode].capitalize()} easily, {talk}. {WARM_UP_RULE}{company}"
    brisk = Step(Part.WARM_UP, BRISK_S, Band.MIDDLE, "Brisk, smooth, no strain.")
    between = Step(Part.WARM_UP, BRISK_REST_S, Band.EASY, "Easy again.")
    return (Step(Part.WARM_UP, WARM_UP_QUIET_S, Band.EASY, quiet), Repeat(BRISK_TIMES, (brisk, between)))


def _recovery_words(mode: Mode) -> str:
    if mode is Mode.RIDE:
        return "Roll back down, at most 30 km/h, then pedal easily. Do not stand still."
    if mode is Mode.RUN:
        return "Jog, or walk if that settles your breath sooner. Do not stand still."
    return f"Keep moving easily ({VERBS[mode]}) until talk comes back. Do not stand still."


def _uphill_recovery_words(mode: Mode) -> str:
    """Where the recovery of rounds on a hill is taken, by those ways of moving that go up one."""
    if mode is Mode.RIDE:
        return (
            "Turn where the round ended and roll back to where it began, at most 30 km/h; pedal easily there until "
            "the next. Do not stand still."
        )
    if mode not in (Mode.RUN, Mode.WALK):
        return _recovery_words(mode)
    down = "walk or jog" if mode is Mode.RUN else "walk"
    return (
        f"Turn where the round ended and {down} down calmly. When the recovery is over, begin the next round where "
        "you are; at the foot, if you are there before, and keep moving there."
    )


def recovery_said(steps_json: str, mode: Mode, *, is_uphill: bool) -> str:
    """The same steps, their recoveries told for a hill or for elsewhere; words somebody wrote themselves stay."""
    usual, uphill = _recovery_words(mode), _uphill_recovery_words(mode)
    say = uphill if is_uphill else usual

    def told(node: Node) -> Node:
        if isinstance(node, Repeat):
            return replace(node, steps=tuple(told(one) for one in node.steps))
        is_usual = node.part is Part.RECOVERY and node.say in (usual, uphill)
        return replace(node, say=say) if is_usual else node

    return to_json(tuple(told(one) for one in from_json(steps_json)))


def _cool_down(mode: Mode) -> Step:
    after = "Stay upright, walk a few steps, then " if mode is not Mode.SWIM else "Hold the rail a moment, then "
    return Step(
        Part.COOL_DOWN, COOL_DOWN_S, Band.EASY, f"{after}{VERBS[mode]} easily until breath is calm. {STOP_WORDS}"
    )


def easy_steps(minutes: int, mode: Mode) -> tuple[Node, ...]:
    """An easy session of so many minutes.

    Raises: DomainError for less than a minute.
    """
    if mode is Mode.SWIM:
        return _steady(minutes, mode, "At every wall you could talk in whole sentences. If you could not, slow down.")
    return _steady(minutes, mode, "Talk in whole sentences the whole way. If you cannot, slow down.")


def long_steps(minutes: int, mode: Mode) -> tuple[Node, ...]:
    """The week's longest outing, easy throughout."""
    talk = "able to chat at every wall" if mode is Mode.SWIM else "chatting to the end"
    return _steady(minutes, mode, f"Your longest this week, and no harder for it: {talk}. Take water.")


def standard_loop_steps(minutes: int, mode: Mode) -> tuple[Node, ...]:
    """The same route at the same talk, to compare distance and heart rate with last time."""
    say = "Same route, same hour, same talk as last time: you could chat in comfort. Note distance and heart rate."
    return _steady(minutes, mode, say)


def strength_steps(minutes: int) -> tuple[Node, ...]:
    """Strength; its minutes stand apart from the endurance week."""
    return (Step(Part.MAIN, _seconds(minutes), Band.EASY, _STRENGTH_WORDS),)


def strength_and_balance_steps(minutes: int) -> tuple[Node, ...]:
    """Strength, and balance exercises after it; a third of a short session, else ten minutes."""
    balance = min(BALANCE_MIN, minutes // 3)
    strength = Step(Part.MAIN, _seconds(minutes - balance), Band.EASY, _STRENGTH_WORDS)
    if balance == 0:
        return (strength,)
    return (strength, Step(Part.MAIN, _seconds(balance), Band.EASY, _BALANCE_WORDS))


def measured_steps(minutes: int, mode: Mode, say: str) -> tuple[Node, ...]:
    """A test of so many minutes between a warm-up and a cool-down."""
    main = Step(Part.MAIN, _seconds(minutes), Band.HARD, say)
    return (*_warm_up(mode, age=None, first_of_phase=False), main, _cool_down(mode))


def _steady(minutes: int, mode: Mode, say: str) -> tuple[Node, ...]:
    whole = _seconds(minutes)
    if minutes < EASY_WITH_EDGES_MIN:
        return (Step(Part.MAIN, whole, Band.EASY, say),)
    return (
        Step(Part.WARM_UP, EASY_EDGE_S, Band.EASY, f"Begin slower than you think you need to {VERBS[mode]}."),
        Step(Part.MAIN, whole - 2 * EASY_EDGE_S, Band.EASY, say),
        Step(Part.COOL_DOWN, EASY_EDGE_S, Band.EASY, "Ease off; arrive fresh."),
    )


def _seconds(minutes: int) -> int:
    if minutes < 1:
        raise DomainError("a session lasts at least a minute")
    return minutes * SECONDS_A_MINUTE
