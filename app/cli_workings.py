"""The catalogue of formulae on the command line: the list, one card, one computation, as text or JSON."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Sequence
from datetime import date

from app.coaching.catalogue import as_data, card, cards, decisions, run
from app.coaching.reasons import DomainError
from app.physiology.calculator import Answer, CannotCompute
from app.physiology.catalogue import Card, NoSuchFormula

COMMAND, AS_JSON = "workings", "--json"


def options_last(words: Sequence[str]) -> list[str]:
    """The words of the command with its options behind, so that they may stand anywhere, even before its name."""
    plain = [word for word in words if word != AS_JSON]
    if not plain or plain[0] != COMMAND:
        return list(words)
    asked = [word for word in words if word == AS_JSON]
    return [COMMAND, *sorted(plain[1:], key=lambda word: word.startswith("-")), *asked]


def told(name: str | None, pairs: Sequence[str], *, as_json: bool, today: date) -> str:
    """What `foothill workings` prints, asked on a day.

    Raises: DomainError with a sentence for an unknown formula, a wrong key, or a value that is refused.
    """
    try:
        if name is None:
            return _json([_card_data(one) for one in cards()]) if as_json else _list()
        if not pairs:
            return _json(_card_data(card(name))) if as_json else _card(card(name))
        answer = run(name, today=today, **_typed(pairs))
    except (NoSuchFormula, CannotCompute) as problem:
        raise DomainError(str(problem)) from problem
    return _json(as_data(answer)) if as_json else _answer(answer)


def _typed(pairs: Sequence[str]) -> dict[str, str]:
    typed: dict[str, str] = {}
    for pair in pairs:
        key, sign, text = pair.partition("=")
        if not sign or not key:
            raise CannotCompute(f"“{pair[:60]}” is not written as key=value.")
        if key in typed:
            raise CannotCompute(f"{key} is given twice.")
        typed[key] = text
    return typed


def _json(data: object) -> str:
    return json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False, default=str)


def _card_data(one: Card) -> dict[str, object]:
    return dataclasses.asdict(one)


def _list() -> str:
    widest = max(len(one.name) for one in cards())
    return "\n".join(f"{one.name:<{widest}}  {one.sentence}" for one in cards())


def _card(one: Card) -> str:
    inputs = [f"  {i.name}: {i.what}, {i.unit}, {i.limits}{_end(i.is_required)}" for i in one.inputs]
    return "\n".join(
        [
            one.name,
            one.sentence,
            *inputs,
            f"Gives: {one.returns}",
            f"Refuses: {one.raises}",
            f"Limits: {one.limits}",
            f"Error: {one.error}",
            f"Source: {one.source}",
            f"How far to trust it: {one.provenance}",
            f"Checked in {one.checked}",
        ]
    )


def _end(is_required: bool) -> str:
    return "" if is_required else " (may be left out)"


def _answer(answer: Answer) -> str:
    if answer.name in decisions():
        return "\n".join(f"{name}: {value}" for name, value in as_data(answer).items() if name != "name")
    value = answer.value if isinstance(answer.value, int | float | str) else _json(answer.value)
    first = f"{value} {answer.unit}" if answer.missing is None else f"Nothing comes out: {answer.missing}"
    return "\n".join(
        [
            first,
            *(f"{name}: {value}" for name, value in answer.more.items()),
            f"Error: {answer.error_words}",
            f"Source: {answer.source}",
            *(f"Note: {note}" for note in answer.notes),
        ]
    )
