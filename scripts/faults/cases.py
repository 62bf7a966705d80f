"""What can go wrong at one call, and how one case is written so that it can be repeated."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from faults.tools import TOOLS

# What a call of each kind may answer; where nothing stands the call only gets killed at.
# EDQUOT and ENOSPC of `fsync`, `close` and `rename` are those of network disks and quotas.
_FULL = ("EIO", "ENOSPC", "EDQUOT")
ERRORS: dict[str, tuple[str, ...]] = {
    "open": _FULL,
    "read": ("EIO",),
    "write": _FULL,
    "fsync": _FULL,
    "ftruncate": ("EIO",),
    "close": _FULL,
    "replace": _FULL,
    "rename": _FULL,
    "link": _FULL,
    "unlink": ("EIO",),
    "remove": ("EIO",),
    "mkdir": _FULL,
    "rmdir": ("EIO",),
    "fstat": ("EIO",),
    "stat": ("EIO",),
    "lstat": ("EIO",),
    "scandir": ("EIO",),
    "listdir": ("EIO",),
    "flock": ("EIO", "ENOLCK"),
    "chmod": ("EIO",),
    "fchmod": ("EIO",),
    "lseek": (),
    "readlink": (),
}
# A call that changes the disk; from `…-on` on, every one of them fails.
_OF_FILES = ("open", "write", "fsync", "ftruncate", "chmod", "fchmod")
_OF_NAMES = ("replace", "rename", "link", "unlink", "remove", "mkdir", "rmdir")
CHANGES = frozenset((*_OF_FILES, *_OF_NAMES))
GROWS = frozenset(("open", "write", "mkdir"))
KILLS = ("kill-before", "kill-after")
# Half is written: then the kill, then no more room, then the rest, then a lie that it was all.
HALVES = ("kill-half", "half-then-ENOSPC", "short", "lie")


@dataclass(frozen=True, order=True)
class Call:
    """The n-th call of its name that a run makes below its home, and on what."""

    name: str
    number: int
    on: str = ""
    changes: bool = True  # an `open` that only reads changes nothing


@dataclass(frozen=True, order=True)
class Fault:
    """One thing that goes wrong, and at which call."""

    name: str
    number: int
    kind: str

    def __str__(self) -> str:
        return f"{self.name}#{self.number}:{self.kind}"


@dataclass(frozen=True, order=True)
class Case:
    """A path of the program and the faults in it; or a power cut after a change of the disk."""

    path: str
    faults: tuple[Fault, ...] = ()
    cut: tuple[int, int] | None = None  # after how many changes, and which state of the disk
    outside: str = ""  # what strace injects: fdatasync:error=EIO:when=2
    on: str = ""
    is_real: bool = False  # on an ext4 disk, whose power goes with the kill

    def __str__(self) -> str:
        if self.is_real:
            return f"{self.path}/disk@{'+'.join(map(str, self.faults))}"
        if self.cut is not None:
            return f"{self.path}/cut@{self.cut[0]}.{self.cut[1]}"
        if self.outside:
            return f"{self.path}/strace@{self.outside}"
        return f"{self.path}/{'+'.join(map(str, self.faults))}"

    @property
    def kind(self) -> str:
        """The kind of fault, for the counts."""
        if self.is_real or self.cut is not None:
            return "power cut"
        if self.outside:
            return self.outside.split(":")[1].partition("=")[2]
        return self.faults[0].kind if len(self.faults) == 1 else "two faults"

    @property
    def tool(self) -> str:
        """What a synchronising tool does meanwhile; nothing where there is none."""
        return next((one.kind for one in self.faults if one.kind in TOOLS), "")

    @property
    def call(self) -> str:
        """The call it happens at, for the counts."""
        if self.is_real:
            return "any call (ext4)"
        if self.cut is not None:
            return "any change"
        if self.outside:
            return f"{self.outside.partition(':')[0]} (system)"
        return self.faults[0].name if len(self.faults) == 1 else "two calls"


def case_of(text: str) -> Case:
    """The case that was written so.

    Raises:
        ValueError: no case is written so.
    """
    path, _, rest = text.partition("/")
    if rest.startswith("cut@"):
        point, _, state = rest[4:].partition(".")
        return Case(path, cut=(int(point), int(state)))
    if rest.startswith("strace@"):
        return Case(path, outside=rest[7:])
    faults = []
    is_real = rest.startswith("disk@")
    for one in filter(None, rest.removeprefix("disk@").split("+")):
        call, _, kind = one.partition(":")
        name, _, number = call.partition("#")
        faults.append(Fault(name, int(number), kind))
    return Case(path, tuple(faults), is_real=is_real)


def faults_of(call: Call) -> Iterator[Fault]:
    """Everything that can go wrong at one call."""
    changes = call.changes and call.name in CHANGES
    # A kill after a look is the kill before the next call.
    kinds: Sequence[str] = (*(KILLS if changes else KILLS[:1]), *ERRORS[call.name])
    if call.name == "write":
        kinds = (*kinds, *HALVES)
    if changes:
        kinds = (*kinds, "EIO-on")
    if changes and call.name in GROWS:
        kinds = (*kinds, "ENOSPC-on")
    if call.name == "open" and not call.changes:
        kinds = (*KILLS[:1], "EIO")
    for kind in kinds:
        yield Fault(call.name, call.number, kind)


def tools_at(call: Call) -> Iterator[Fault]:
    """Everything a synchronising tool may do just before one call."""
    for kind in TOOLS:
        yield Fault(call.name, call.number, kind)
