"""Passwords: how they are hashed, checked and judged. Slow on purpose; never inside a transaction."""

from __future__ import annotations

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

SHORTEST = 8
ADVISED = 15
LONGEST = 256

#: Frequently used passwords, from memory: a small list that stops the plainest choices, not a list of breached ones.
COMMON = frozenset(
    """
    00000000 11111111 12121212 12341234 12344321 123123123 12345678 123456789 1234567890 1q2w3e4r 1qaz2wsx
    87654321 88888888 987654321 abc12345 abcd1234 abcdefgh access14 administrator asdfasdf asdfghjk asdfghjkl
    baseball changeme computer dragon12 football hallo123 hello123 iloveyou iloveyou1
    internet letmein1 midnight monkey12 p@ssw0rd passw0rd password
    password1 password12 password123 passwort passwort1 princess qazwsxedc qwer1234 qwertyui qwertyuiop qwerty123
    q1w2e3r4 q1w2e3r4t5 scooter1 secret12 sunshine superman test1234 testtest trustno1
    welcome1 whatever willkommen zxcvbnm1 1111111111 123454321 computer1 foothill fitness1 coaching trainer1
    running1 marathon cycling1 endurance training training1
    """.split()  # noqa: SIM905  # reads better than eighty words in quotes
)


class Passwords:
    """argon2id at the strength OWASP advises (t=2, 19 MiB, p=1), or a quick form for tests on invented people."""

    def __init__(self, *, quick: bool = False) -> None:
        if quick:
            self._hasher = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)
        else:
            self._hasher = PasswordHasher(time_cost=2, memory_cost=19456, parallelism=1)
        self._nobody = self._hasher.hash("nobody's password")

    def hash(self, password: str) -> str:
        """What is kept of a password."""
        return self._hasher.hash(password)

    def matches(self, password: str, kept: str | None) -> bool:
        """Whether a password is the right one. Takes as long for someone who is not here as for someone who is."""
        if len(password) > LONGEST:
            return False
        try:
            return self._hasher.verify(kept or self._nobody, password) and kept is not None
        except (VerificationError, InvalidHashError):
            return False

    def is_outdated(self, kept: str) -> bool:
        """Whether a hash was made with other parameters than today's."""
        return self._hasher.check_needs_rehash(kept)


def weakness(password: str, *, names: tuple[str, ...] = ()) -> str | None:
    """Why a password is not taken, in one sentence; None when it is good enough. Any characters are allowed."""
    if len(password) < SHORTEST:
        return f"Please use at least {SHORTEST} characters; {ADVISED} or more are better, several words for example."
    if len(password) > LONGEST:
        return f"Please keep it under {LONGEST} characters."
    plain = "".join(password.casefold().split())
    if plain in COMMON or len(set(plain)) <= 2:
        return "This is among the passwords that are tried first. Several words of your own are better."
    if any(plain == "".join(name.casefold().split()) for name in names):
        return "A name that is on every page is tried first. Please use something else."
    return None
