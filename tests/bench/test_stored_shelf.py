"""What was used of each lot is the same looked up lot by lot, at once, and in all there is."""

import pytest

from tests.journal.on_disk import a_bench, write_together
from tests.valid_lives import valid_life
from tracker.bench import stored_shelf
from tracker.bench.record import opened
from tracker.core.reckoning.flows.lot_balance import accounts


@pytest.mark.parametrize("alone", [0, 2, 1000])
def test_what_is_left_of_each_lot_is_what_all_jars_left_of_it(tmp_path, monkeypatch, alone):
    monkeypatch.setattr(stored_shelf, "_LOTS_ALONE", alone)
    (tmp_path / "book").mkdir()
    write_together(tmp_path / "book", valid_life(4, 160).entries)

    with opened(a_bench(tmp_path)) as book:
        told = accounts(book.lots(), book.batches())

        assert len([one for _, one in told if one.used]) > 4
        assert [book.account_of(lot) for lot, _ in told] == [one for _, one in told]
        assert [book.account_of(lot) for lot, _ in told] == [one for _, one in told]
