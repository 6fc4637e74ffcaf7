"""A password asked for at a terminal."""

from __future__ import annotations

import getpass

from app.coaching.reasons import DomainError


def asked_password() -> str:
    """A password typed twice. Raises: DomainError when they differ, or when nobody can type."""
    try:
        password = getpass.getpass("Password: ")
        again = getpass.getpass("The same again: ")
    except EOFError:
        raise DomainError(
            "There is no terminal to ask for the password: send it on one line with --password-stdin."
        ) from None
    if again != password:
        raise DomainError("The two passwords are not the same.")
    return password
