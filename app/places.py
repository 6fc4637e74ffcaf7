"""Where the bundled folders (templates, static, migrations, demo_data) stand."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def bundled(name: str) -> Path:
    """Find a bundled folder, in an installed wheel or in a checkout.

    Raises: FileNotFoundError when neither has it.
    """
    for folder in (_PACKAGE / "_bundled" / name, _PACKAGE.parent / name):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"Foothill's folder {name!r} is missing from this installation.")
