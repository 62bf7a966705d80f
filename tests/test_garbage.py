"""Garbage is looked for again afterwards, however the work ends, and only where it was before."""

import gc

import pytest

from tracker.garbage import give_back_memory, no_garbage_collection


@no_garbage_collection()
def fails() -> None:
    raise KeyError(gc.isenabled())


@pytest.mark.parametrize("was_on", [True, False])
def test_it_is_as_it_was_after_work_that_fails(was_on):
    before = gc.isenabled()
    (gc.enable if was_on else gc.disable)()
    try:
        with pytest.raises(KeyError, match="False"):
            fails()

        assert gc.isenabled() == was_on
    finally:
        (gc.enable if before else gc.disable)()


def test_memory_is_given_back_on_any_system(monkeypatch):
    give_back_memory()
    monkeypatch.setattr("tracker.garbage.sys.platform", "win32")
    give_back_memory()
