"""Notification servers for the tests: a real one on a screen nobody sees, and a scripted one.

Every process here is the caller's own: a private bus, a private screen, never the desktop's.
"""

import json
import os
import shutil
import signal
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Thread

import pytest
from jeepney import (
    DBusAddress,
    HeaderFields,
    Message,
    MessageType,
    message_bus,
    new_error,
    new_method_return,
    new_signal,
)
from jeepney.io.blocking import open_dbus_connection
from jeepney.wrappers import unwrap_msg

NAME = "org.freedesktop.Notifications"
SERVICE = DBusAddress("/org/freedesktop/Notifications", bus_name=NAME, interface=NAME)

BUS_PACKAGES = {"dbus-daemon": "dbus"}
SCREEN_PACKAGES = BUS_PACKAGES | {
    "dbus-send": "dbus",
    "dunst": "dunst",
    "dunstctl": "dunst",
    "gdbus": "libglib2.0-bin",
    "notify-send": "libnotify-bin",
    "Xvfb": "xvfb",
}

# Only our own service folder, unlike the stock session bus: a server must not start by itself.
BUS_CONFIG = """<!DOCTYPE busconfig PUBLIC "-//freedesktop//DTD D-Bus Bus Configuration 1.0//EN"
 "http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd">
<busconfig>
  <type>session</type>
  <listen>unix:path={socket}</listen>
  <auth>EXTERNAL</auth>
  <servicedir>{folder}</servicedir>
  <policy context="default">
    <allow send_destination="*" eavesdrop="true"/>
    {receiving}
    <allow own="*"/>
  </policy>
</busconfig>
"""

# dunst 1.9 leaves urgency out of its history, so the text says it.
DUNST_CONFIG = """[global]
markup = full
font = DejaVu Sans 11
width = 460
stack_duplicates = false
format = "<b>%s</b>\\n%b"
[urgency_normal]
timeout = 0
[urgency_critical]
timeout = 0
[said_to_be_critical]
msg_urgency = critical
format = "<i>critical</i>\\n<b>%s</b>\\n%b"
"""


def require(packages: dict[str, str]) -> None:
    """Skip, naming the missing Debian packages; fail where CI says it must run."""
    missing = sorted({deb for program, deb in packages.items() if not shutil.which(program)})
    if not missing:
        return
    words = f"NOT TESTED, real notifications need: apt-get install {' '.join(missing)}"
    if os.environ.get("CI"):
        pytest.fail(words)
    pytest.skip(words)


class Bus:
    """A private session bus that can die and come back at the same address.

    A `mute` bus lets every caller in and answers none of them: its policy forbids receiving.
    `on_demand` is the command by which the bus starts a notification server when it is called.
    """

    def __init__(self, folder: Path, *, mute: bool = False, on_demand: str = "") -> None:
        self.folder = folder
        self.address = f"unix:path={folder / 'bus'}"
        self._config = folder / "bus.conf"
        receiving = "" if mute else '<allow eavesdrop="true"/>'
        self._config.write_text(
            BUS_CONFIG.format(socket=folder / "bus", folder=folder, receiving=receiving)
        )
        if on_demand:
            (folder / f"{NAME}.service").write_text(
                f"[D-BUS Service]\nName={NAME}\nExec={on_demand}\n"
            )
        self.process = self._started()

    def _started(self) -> subprocess.Popen[bytes]:
        readable, writable = os.pipe()
        process = subprocess.Popen(
            ["dbus-daemon", f"--config-file={self._config}", f"--print-address={writable}"],
            pass_fds=[writable],
            stderr=subprocess.DEVNULL,
        )
        _first_line(readable, writable)
        return process

    def die(self) -> None:
        self.process.kill()
        self.process.wait()

    def come_back(self) -> None:
        self.process = self._started()

    @contextmanager
    def frozen(self) -> Iterator[None]:
        with _stopped(self.process):
            yield


class Dunst:
    """A real notification server, and what it says it has shown."""

    def __init__(self, bus: Bus, display: str, folder: Path, rules: str = "") -> None:
        config = folder / "dunstrc"
        config.write_text(DUNST_CONFIG + rules)
        self._env = os.environ | {
            "DBUS_SESSION_BUS_ADDRESS": bus.address,
            "DISPLAY": display,
        }
        self._command = ["dunst", "-config", str(config)]
        self.start()

    def start(self) -> None:
        self.process = subprocess.Popen(
            self._command,
            env=self._env,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        self.run("gdbus", "wait", "--session", "--timeout", "10", NAME)

    def stop(self) -> None:
        _end(self.process)

    def run(self, *command: str) -> str:
        done = subprocess.run(
            command, env=self._env, check=True, capture_output=True, text=True, timeout=20
        )
        return done.stdout

    @property
    def displayed(self) -> int:
        return int(self.run("dunstctl", "count", "displayed"))

    def close_and_list(self) -> list[dict[str, str | int]]:
        """Every notice ever shown, the newest first, after closing what is on the screen."""
        self.run("dunstctl", "close-all")
        history = json.loads(self.run("dunstctl", "history"))
        return [
            {field: value["data"] for field, value in entry.items()} for entry in history["data"][0]
        ]

    @contextmanager
    def frozen(self) -> Iterator[None]:
        with _stopped(self.process):
            yield


class ScriptedServer:
    """Answers Notify the way a test wants, over a real bus; for what dunst never does.

    `answer` gets the id this notice would have, and returns the reply's signature and body,
    an error's name, or None for silence.
    """

    def __init__(
        self,
        bus: Bus,
        capabilities: tuple[str, ...] = ("actions", "body", "body-markup"),
        answer: Callable[[int], tuple[str, tuple[object, ...]] | str | None] = (
            lambda notice_id: ("u", (notice_id,))
        ),
    ) -> None:
        self.taken: list[tuple[object, ...]] = []
        self.caller = ""
        self._capabilities = list(capabilities)
        self._answer = answer
        self._bus = open_dbus_connection(bus.address)
        unwrap_msg(self._bus.send_and_get_reply(message_bus.RequestName(NAME)))
        self._thread = Thread(target=self._serve)
        self._thread.start()

    def says(self, member: str, signature: str, body: tuple[object, ...]) -> None:
        self._bus.send(new_signal(SERVICE, member, signature, body))

    def stop(self) -> None:
        if self._thread.is_alive():
            self._bus.sock.shutdown(2)
        self._thread.join()
        self._bus.close()

    def _serve(self) -> None:
        while True:
            try:
                message = self._bus.receive()
            except OSError:
                return
            if message.header.message_type is MessageType.method_call:
                reply = self._reply(message)
                if reply is not None:
                    self._bus.send(reply)

    def _reply(self, call: Message) -> Message | None:
        if call.header.fields[HeaderFields.member] == "GetCapabilities":
            return new_method_return(call, "as", (self._capabilities,))
        self.taken.append(call.body)
        self.caller = call.header.fields[HeaderFields.sender]
        match self._answer(len(self.taken)):
            case None:
                return None
            case str(error_name):
                return new_error(call, error_name, "s", ("no room on the screen",))
            case signature, body:
                return new_method_return(call, signature, body)


@contextmanager
def short_folder() -> Iterator[Path]:
    """A folder whose sockets fit the 108 bytes of a Unix address; pytest's often do not."""
    with tempfile.TemporaryDirectory(prefix="sr-") as name:
        yield Path(name)


@contextmanager
def private_bus(*, mute: bool = False, on_demand: str = "") -> Iterator[Bus]:
    require(BUS_PACKAGES)
    with short_folder() as folder:
        bus = Bus(folder, mute=mute, on_demand=on_demand)
        try:
            yield bus
        finally:
            _end(bus.process)


@contextmanager
def screen() -> Iterator[str]:
    """The name of a virtual display that no other test has."""
    require(SCREEN_PACKAGES)
    readable, writable = os.pipe()
    process = subprocess.Popen(
        ["Xvfb", "-displayfd", str(writable), "-screen", "0", "800x600x24"],
        pass_fds=[writable],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        yield f":{_first_line(readable, writable)}"
    finally:
        _end(process)


@contextmanager
def dunst(bus: Bus, display: str, rules: str = "") -> Iterator[Dunst]:
    with short_folder() as folder:
        server = Dunst(bus, display, folder, rules)
        try:
            yield server
        finally:
            server.stop()


@contextmanager
def scripted(bus: Bus, **script: object) -> Iterator[ScriptedServer]:
    server = ScriptedServer(bus, **script)
    try:
        yield server
    finally:
        server.stop()


def _first_line(readable: int, writable: int) -> str:
    """What a child process says once it is ready; empty when it died instead."""
    os.close(writable)
    with os.fdopen(readable) as pipe:
        line = pipe.readline().strip()
    assert line, "the server ended before it was ready"
    return line


@contextmanager
def _stopped(process: subprocess.Popen[bytes]) -> Iterator[None]:
    process.send_signal(signal.SIGSTOP)
    try:
        yield
    finally:
        process.send_signal(signal.SIGCONT)


def _end(process: subprocess.Popen[bytes]) -> None:
    process.terminate()
    try:
        process.wait(timeout=5)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
