"""The script with which a shell asks what to offer."""

import os

_NAMES = {"bash": "bash", "zsh": "zsh", "fish": "fish", "powershell": "ps1"}
SHELLS = tuple(_NAMES)


def script_of(shell: str) -> bytes:
    """The script of one of `SHELLS`, to be evaluated by it.

    Raises:
        OSError: it was taken out of the installed program.
    """
    folder = os.path.dirname(__file__)  # noqa: PTH120  # pathlib takes longer than all of this
    with open(f"{folder}/shells/stillroom.{_NAMES[shell]}", "rb") as file:  # noqa: PTH123
        return file.read()
