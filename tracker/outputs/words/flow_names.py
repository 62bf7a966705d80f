"""What flowed where, by name; apart from the names of plants, so that only what traces loads it."""

from tracker.core.facts.fields import About
from tracker.core.reckoning.flows.flow_graph import Node
from tracker.core.shelf.part import thing_in
from tracker.core.shelf.thing import Batch
from tracker.outputs.view.made import herbs_of
from tracker.outputs.words.plant_names import herb_name, herbs_named


def herb_name_of(node: Node, batch: Batch) -> str:
    """Every herb of one thing of a jar or blend: something else may have gone into it since."""
    thing = thing_in({node.id: batch}, About(jar=node.id, extract=node.extract, bottle=node.bottle))
    return herb_name(batch) if thing is None else herbs_named(herbs_of(batch, thing.made))
