"""Several lines pasted at a question: what nobody has read yet is not answered by them."""

import os

from tests.command import Command, Talk
from tracker.cli.typed_line import SEVERAL


def test_of_a_paste_the_first_line_alone_is_taken(command: Command):
    paste = "valerian root\nroot\nd\n100\n500 ml 45%\n\n\n\n\n\n\n\ny\ny"
    talk = command.talk("charge", paste, "", "d", "\x03")

    assert talk.screen.count(SEVERAL) == 1
    assert "Which part [root]: \r\nFresh or dried: d\r\nHow much herb" in talk.screen
    assert not command.book.exists()


def test_a_second_line_without_its_end_is_dropped_as_well(command: Command):
    command.ok("charge Melissa --part leaf --dried 100g --pour '500 ml 45%' --when 2026-01-02")
    with Talk(command, "press", 80, 24, {}) as talk:
        seen = len(talk.screen)
        os.write(talk._leader, b"1\n4")  # the 4 would stand before what is typed next
        talk.waits(seen)
        for answer in ("400 ml", "hand", "kept", ""):
            talk.type(answer)

    assert talk.screen.count(SEVERAL) == 1
    assert command.lines()[-1]["data"]["volume_ml"] == 400


def test_a_paste_at_the_confirmation_answers_it_alone(command: Command):
    command.ok("charge Melissa --part leaf --dried 100g --pour '500 ml 45%' --when 2026-01-02")
    talk = command.talk("press", "1", "400 ml", "hand", "kept", "n\ny")

    assert talk.code == 1
    assert len(command.lines()) == 1


def test_what_was_typed_ahead_is_kept(command: Command):
    command.ok("charge Melissa --part leaf --dried 100g --pour '500 ml 45%' --when 2026-01-02")
    screen = command.at_terminal("press", typed="1\n400 ml\nhand\nkept\n\n")

    assert screen.code == 0, screen.out
    assert SEVERAL not in screen.out
    assert command.lines()[-1]["data"]["volume_ml"] == 400
