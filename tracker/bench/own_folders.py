"""Where data, state and cache of the program belong, for the person who runs it."""

import os
import sys

APP = "stillroom"

# The XDG Base Directory Specification: below the home folder, where no variable says more.
_BELOW_HOME = {
    "cache": ".cache",
    "config": ".config",
    "data": ".local/share",
    "state": ".local/state",
}


def own_folder(kind: str) -> str:
    """The folder of the program's `cache`, `config`, `data` or `state`; it may not be there yet."""
    return _by_variables(kind) or _by_the_library(kind)


def _by_variables(kind: str) -> str | None:
    """The same as by the library, which loads slowly, where two variables of Linux say all."""
    if sys.platform != "linux" or hasattr(sys, "getandroidapilevel"):
        return None
    if "ANDROID_ROOT" in os.environ:
        return None
    said = os.environ.get(f"XDG_{kind.upper()}_HOME", "")
    if said.startswith("/"):
        return f"{said.rstrip('/')}/{APP}"
    home = os.environ.get("HOME", "")
    return f"{home.rstrip('/')}/{_BELOW_HOME[kind]}/{APP}" if home.startswith("/") else None


def _by_the_library(kind: str) -> str:
    import platformdirs

    match kind:
        case "cache":
            return platformdirs.user_cache_dir(APP, appauthor=False)
        case "config":
            return platformdirs.user_config_dir(APP, appauthor=False)
        case "state":
            return platformdirs.user_state_dir(APP, appauthor=False)
        case _:
            return platformdirs.user_data_dir(APP, appauthor=False)
