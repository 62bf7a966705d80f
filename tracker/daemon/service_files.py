"""What each system is told so that it keeps the daemon running: text of its own kind.

Sources: systemd.service(5) and systemd.syntax(7); launchd.plist(5), from memory; the Task
Scheduler schema (http://schemas.microsoft.com/windows/2004/02/mit/task), from memory.
"""

import plistlib
from collections.abc import Sequence
from xml.etree import ElementTree
from xml.sax.saxutils import escape

LABEL = "stillroom.reminders"


def systemd_unit(command: Sequence[str]) -> str:
    """A user service that is started with the session and again where it fails."""
    words = " ".join(_systemd_word(word) for word in command)
    return f"""[Unit]
Description=Stillroom: reminders about the tincture shelf
After=graphical-session.target

[Service]
Type=exec
ExecStart={words}
Restart=on-failure
RestartSec=30
Nice=10

[Install]
WantedBy=default.target
"""


def _systemd_word(word: str) -> str:
    """One word in quotes: neither a specifier, nor a variable, nor an escape is read in it."""
    plain = word.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{plain.replace("%", "%%").replace("$", "$$")}"'


def launchd_agent(command: Sequence[str], log: str) -> bytes:
    """A launchd agent, loaded at login and started again where it fails."""
    return plistlib.dumps(
        {
            "Label": LABEL,
            "ProgramArguments": list(command),
            "RunAtLoad": True,
            "KeepAlive": {"SuccessfulExit": False},
            "ProcessType": "Background",
            "ThrottleInterval": 30,
            "StandardErrorPath": log,
        }
    )


def windows_task(command: Sequence[str]) -> bytes:
    """A Task Scheduler task: at logon, and as soon as possible where a start was missed."""
    words = " ".join(_windows_word(word) for word in command[1:])
    text = f"""<?xml version="1.0" encoding="UTF-16"?>
<Task version="1.2" xmlns="http://schemas.microsoft.com/windows/2004/02/mit/task">
  <RegistrationInfo>
    <Description>Stillroom: reminders about the tincture shelf</Description>
  </RegistrationInfo>
  <Triggers><LogonTrigger><Enabled>true</Enabled></LogonTrigger></Triggers>
  <Settings>
    <MultipleInstancesPolicy>IgnoreNew</MultipleInstancesPolicy>
    <DisallowStartIfOnBatteries>false</DisallowStartIfOnBatteries>
    <StopIfGoingOnBatteries>false</StopIfGoingOnBatteries>
    <StartWhenAvailable>true</StartWhenAvailable>
    <ExecutionTimeLimit>PT0S</ExecutionTimeLimit>
    <RestartOnFailure><Interval>PT1M</Interval><Count>10</Count></RestartOnFailure>
  </Settings>
  <Actions>
    <Exec>
      <Command>{escape(command[0])}</Command>
      <Arguments>{escape(words)}</Arguments>
    </Exec>
  </Actions>
</Task>
"""
    # Python's parser is the check that it is XML at all.
    ElementTree.fromstring(text.partition("\n")[2])
    return text.encode("utf-16")


def _windows_word(word: str) -> str:
    """One word as Windows programs split them: only blanks and quotes matter."""
    if word and not set(word) & set(' \t"'):
        return word
    kept = word.replace('"', '\\"')
    return f'"{kept}\\"' if kept.endswith("\\") else f'"{kept}"'
