"""Whether the shelf holds what a second account says: every vessel, to the last part."""

from collections.abc import Iterator

from tests.meeting.exact_account import Account, Key
from tracker.core.reckoning import costs
from tracker.core.reckoning.amounts import simple_strength_pct_vol
from tracker.core.shelf.contents import Contents, portion
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.part import ShelfPart

NEAR = 1e-6


def _contents(part: ShelfPart) -> Iterator[tuple[Key, Contents]]:
    """What every vessel holds."""
    for batch in part.batches.values():
        if isinstance(batch, Jar) and batch.is_macerating:
            yield (batch.id,), batch.contents
        for extract in batch.extracts:
            key = (batch.id, extract.id)
            yield key, portion(extract.made, extract.volume_ml)
            for one in extract.bottles:
                yield (*key, str(one.number)), portion(one.made or extract.made, one.volume_ml)


def volumes(part: ShelfPart) -> Iterator[tuple[Key, float]]:
    for batch in part.batches.values():
        if isinstance(batch, Jar) and batch.is_macerating:
            yield (batch.id,), batch.contents.volume_ml
        for extract in batch.extracts:
            yield (batch.id, extract.id), extract.volume_ml
            for one in extract.bottles:
                yield (batch.id, extract.id, str(one.number)), one.volume_ml


def same_in_account(account: Account, part: ShelfPart, *, is_whole: bool = False) -> None:
    """Every vessel holds what the account says: volume, herb, ethanol, cost, and until when."""
    seen = dict(_contents(part))
    mine = {(one,) for one, vat in account.vats.items() if vat.ended is None} | {*account.stocks}
    assert seen.keys() == {key for key in mine if key[0] in part.batches}
    seen_ml = dict(volumes(part))
    for key, made in seen.items():
        vat = account.vats[key[0]] if len(key) == 1 else None
        stock = None if vat else account.stocks[key]
        ml = vat.ml if vat else stock.ml
        mix = vat.mix if vat else stock.each.times(stock.ml)
        assert abs(seen_ml[key] - ml) < NEAR, f"volume of {key}"
        parts = {(one.event, 0): one.g or 0.0 for one in made.herbs}
        for one in made.pours:  # what was simmered of a pour stands beside what was not
            origin = (one.event, one.place)
            parts[origin] = parts.get(origin, 0.0) + one.volume_ml
        _near(parts, mix.parts, f"herb and pours of {key}")
        _near({(one.event, one.place): one.share for one in made.costs}, mix.costs, f"cost {key}")
        spirit = sum(one.volume_ml * (one.ethanol_pct_vol or 0.0) for one in made.pours)
        exact = sum(much * (account.ethanol.get(one, 0) or 0) for one, much in mix.parts.items())
        assert abs(spirit - exact) < NEAR * 100, f"ethanol of {key}"
        unknown = [
            one for one in mix.parts if one in account.ethanol and account.ethanol[one] is None
        ]
        if unknown:
            assert simple_strength_pct_vol(made) is None, f"strength of {key}"
        cost, paid = costs.cost_of(made, part.lots), account.cost(mix)
        if is_whole and cost is not None:
            assert abs(cost - (paid or 0)) < NEAR, f"cost of {key}"
        if stock is not None:
            extract = part.batches[key[0]].extract(key[1])
            bottle = extract.bottle(int(key[2])) if key[2:] else None
            good = (bottle and bottle.best_by) or extract.good_through
            assert good == stock.good, f"good through of {key}"


def _near(seen: dict, exact: dict, what: str) -> None:
    for origin in seen.keys() | exact.keys():
        assert abs(seen.get(origin, 0) - float(exact.get(origin, 0))) < NEAR, (what, origin)
