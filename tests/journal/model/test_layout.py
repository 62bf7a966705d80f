"""The name of the read model's layout has in it all that the stored state is made of."""

import msgspec.inspect as shapes

from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch
from tracker.journal.model.read_model import STORED


def inside(shape: shapes.Type, met: set[type]) -> set[type]:
    """Every class with fields that is reached from a shape."""
    if isinstance(shape, shapes.StructType | shapes.NamedTupleType):
        if shape.cls not in met:
            met.add(shape.cls)
            for field in shape.fields:
                inside(field.type, met)
        return met
    for name in ("item_type", "key_type", "value_type"):
        if (one := getattr(shape, name, None)) is not None:
            inside(one, met)
    for name in ("types", "item_types"):
        for one in getattr(shape, name, None) or ():
            inside(one, met)
    return met


def test_whatever_the_stored_state_holds_is_in_the_name_of_its_layout():
    """Or a model that another version wrote would be read as if it were this one's."""
    met: set[type] = set()
    for stored in (Batch, Lot, Flag):
        inside(shapes.type_info(stored), met)

    assert len(met) > 40
    assert met - set(STORED) == set()
