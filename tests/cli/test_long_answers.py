"""An answer of very many things is the same text whatever part of it is put into words at once."""

import json

import pytest

from tracker.cli import printing


@pytest.mark.parametrize("many", [0, 1, 2, 3, 4, 5, 7])
def test_a_list_in_parts_is_the_list(many, monkeypatch, capsys):
    answer = [{"code": f"A-{one}", "flags": ["a\u202eb", {"x": None}]} for one in range(many)]
    printing.echo_json(answer)
    whole = capsys.readouterr().out
    monkeypatch.setattr(printing, "_AT_ONCE", 2)
    printing.echo_json(answer)

    assert capsys.readouterr().out == whole
    assert json.loads(whole) == answer
