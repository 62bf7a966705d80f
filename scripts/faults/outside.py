"""What strace injects: faults of calls that SQLite makes itself, and interrupted calls.

Python takes an interrupted call up again by itself (PEP 475), so these have to come from below.
Linux interrupts no `close` of a file on a local disk.
"""

_OF_SQLITE = {
    "pwrite64": ("EIO", "ENOSPC", "EDQUOT"),
    "pread64": ("EIO",),
    "fdatasync": ("EIO", "ENOSPC"),
}
_INTERRUPTED = ("write", "fsync", "openat", "flock", "ftruncate")


def faults_outside() -> list[str]:
    """Each as strace takes it, its step still to be said."""
    errors = [f"{call}:error={kind}" for call, kinds in _OF_SQLITE.items() for kind in kinds]
    kills = [f"{call}:signal=SIGKILL" for call in _OF_SQLITE]
    interrupted = [f"{call}:error=EINTR" for call in _INTERRUPTED]
    return [*errors, *kills, *interrupted]
