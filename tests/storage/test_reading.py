"""Values read column by column are the same values, frozen and with all that their class brings."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, astuple, dataclass

import pytest

from app.coaching.session_logs import RoundDone
from app.storage.reading import made

_ROUND = RoundDone(1, 240, True, 250.0, None, 171, None, 8.0)


def test_values_from_columns_equal_those_made_one_by_one() -> None:
    columns = list(zip(astuple(_ROUND), astuple(_ROUND), strict=True))

    found = made(RoundDone, columns)

    assert found == [_ROUND, _ROUND]
    assert {type(one) for one in found} == {RoundDone}
    assert hash(found[0]) == hash(_ROUND)


def test_values_from_columns_are_frozen() -> None:
    [found] = made(RoundDone, [(one,) for one in astuple(_ROUND)])

    with pytest.raises(FrozenInstanceError):
        found.number = 2  # type: ignore[misc]


def test_columns_without_rows_make_no_value() -> None:
    assert made(RoundDone, [()] * len(astuple(_ROUND))) == []


@dataclass(frozen=True, slots=True)
class _Checked:
    minutes: int

    def __post_init__(self) -> None:
        if self.minutes < 0:
            raise ValueError("less than no minutes")


def test_a_value_that_checks_itself_is_checked() -> None:
    with pytest.raises(ValueError, match="less than no minutes"):
        made(_Checked, [(-1,)])
