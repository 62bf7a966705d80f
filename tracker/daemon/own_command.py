"""How the command is called that a service starts."""

import sys
from pathlib import Path


def stillroom_command() -> list[str]:
    """The command that starts this same installation of stillroom."""
    beside = Path(sys.executable).with_name(Path(sys.argv[0]).name)
    for script in (Path(sys.argv[0]), beside):
        if script.stem == "stillroom" and script.is_file():
            return [str(script.absolute())]
    return [sys.executable, "-c", "from tracker.cli.main import main; main()"]
