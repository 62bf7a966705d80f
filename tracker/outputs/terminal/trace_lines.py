"""Where things came from and where they went, as text and as fields: `trace`, `recall`."""

from collections.abc import Mapping, Sequence

from tracker.core.reckoning.flows.flow_graph import Graph, Line, Node, node_of
from tracker.core.reckoning.flows.recall import Here, Left, Reach
from tracker.core.shelf.blend import Blend
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, things
from tracker.core.values.day_words import Present
from tracker.outputs.answer_fields import Answer, day, rounded
from tracker.outputs.terminal.table import Column, table
from tracker.outputs.words.amount_words import grams, ml, plain
from tracker.outputs.words.flow_names import herb_name_of

NOT_IN_BOOK = "a lot not in the book"
EMPTY = ("empty", "faint")

# What is said of each node beside its name, and how: `warn` where somebody should look.
Remarks = Mapping[Node, tuple[str, str]]


def remarks(batches: Sequence[Batch], lots: Sequence[Lot]) -> dict[Node, tuple[str, str]]:
    """What stands on hold, was recalled, or is used up."""
    found: dict[Node, tuple[str, str]] = {}
    for lot in lots:
        if lot.recalled is not None:
            found[node_of(lot)] = ("RECALLED", "bad")
        elif lot.on_hold:
            found[node_of(lot)] = ("ON HOLD", "bad")
    for batch in batches:
        for thing in things(batch):
            extract = thing.extract
            if thing.hold is not None:
                is_recalled = thing.hold.kind == "recall"
                found[node_of(thing)] = ("RECALLED", "bad") if is_recalled else ("ON HOLD", "bad")
            elif extract is not None:
                there = extract.volume_ml if thing.bottle is None else thing.bottle.volume_ml
                if there < DROP_ML and thing.bottle is not None:
                    found[node_of(thing)] = EMPTY
    return found


def what_is(node: Node, batches: Mapping[str, Batch], lots: Mapping[str, Lot]) -> str:
    """What a thing is, in a few words."""
    if node.kind == "lot":
        lot = lots.get(node.id)
        return NOT_IN_BOOK if lot is None else f"lot, {lot.what}"
    if node.kind == "number":
        return "a number that very many lots bear"
    if node.kind in ("reference", "given"):
        return "reference"
    if node.kind == "missing":
        return "not found at a count"
    batch = batches[node.id]
    kind = "blend" if isinstance(batch, Blend) and node.kind == "extract" else node.kind
    return f"{kind}, {herb_name_of(node, batch)}"


def amount(edge_ml: float | None, edge_g: float | None) -> str:
    """`370 ml`, `100 g` or, where nobody measured it, `some`."""
    if edge_ml is not None:
        return ml(edge_ml)
    return "some" if edge_g is None else grams(edge_g)


def of_lot(much: float | None, unit: str) -> str:
    """How much of a lot something stands for; a dash where only its days say that it may."""
    return plain(much, unit) if much else "–"


def outline_answers(
    graph: Graph, lines: Sequence[Line], said: Remarks, late: Mapping[str, int]
) -> list[Answer]:
    """An outline as fields: one object a flow, in the order of the tree, with its depth."""
    return [
        {
            "depth": line.depth,
            "code": graph.names[line.node],
            "kind": "reference" if line.node.kind == "given" else line.node.kind,
            "from": graph.names[line.edge.source],
            "into": graph.names[line.edge.into],
            "how": line.edge.how,
            "on": day(line.edge.on),
            "ml": rounded(line.edge.ml),
            "g": rounded(line.edge.g),
            "event": line.edge.event,
            "days_past_date": late.get(line.edge.event or ""),
            "more_above": line.again,
            "remark": said.get(line.node, (None, ""))[0],
        }
        for line in lines
    ]


def here_answers(here: Sequence[Here]) -> list[Answer]:
    """What is still on the shelf, as fields."""
    return [
        {
            "code": one.code,
            "kind": one.kind,
            "ml": rounded(one.ml),
            "g": rounded(one.g),
            "of_lot": rounded(one.of_lot or None),
            "was_on_hold": one.on_hold,
        }
        for one in here
    ]


def left_answers(left: Sequence[Left]) -> list[Answer]:
    """What left the shelf, as fields."""
    return [
        {
            "code": one.code,
            "how": one.how,
            "on": day(one.on),
            "ml": rounded(one.ml),
            "g": rounded(one.g),
            "of_lot": rounded(one.of_lot or None),
            "reference": one.reference,
            "days_past_date": one.days_late or None,
            "event": one.event,
        }
        for one in left
    ]


def reach_rows(reach: Reach) -> list[Answer]:
    """Everything that holds or held any of a lot, a row each, what is on the shelf first."""
    found: list[Answer] = []
    for place, rows in (("here", here_answers(reach.here)), ("left", left_answers(reach.left))):
        for row in rows:
            how = row["kind"] if place == "here" else row["how"]
            found.append(
                {"where": place, "code": row["code"], "how": how, "on": row.get("on")}
                | {"ml": row["ml"], "g": row["g"], "of_lot": row["of_lot"], "unit": reach.unit}
                | {"on_hold": row.get("was_on_hold"), "reference": row.get("reference")}
            )
    return found


def balance_answer(reach: Reach) -> Answer | None:
    """Where all of a lot is, as fields."""
    one = reach.balance
    if one is None:
        return None
    return {
        "unit": one.unit,
        "came_in": rounded(one.came_in),
        "left": rounded(one.left),
        "inside": rounded(one.inside),
        "given": rounded(one.given),
        "discarded": rounded(one.discarded),
        "missing": rounded(one.missing),
        "stayed": rounded(one.stayed),
        "unknown": one.unknown,
    }


def balance_lines(reach: Reach) -> list[str]:
    """Where all of a lot is, a line each; what is nothing is left out."""
    one = reach.balance
    if one is None:
        return []
    stayed = one.stayed or 0.0
    lines = [
        f"{plain(abs(much), one.unit):>12}  {where}"
        for much, where in (
            (one.left, "not used" if one.left > 0 else "more was used than there was"),
            (one.inside, "in what is on the shelf"),
            (one.given, "given out"),
            (one.discarded, "thrown out"),
            (one.missing, "missing" if one.missing > 0 else "found beyond the book"),
            (stayed, "in marc, filters and lees" if stayed > 0 else "taken beyond the book"),
        )
        if abs(much) >= DROP_ML
    ]
    if one.unknown:
        lines.append(f"{'–':>12}  not known: {one.unknown} amounts were not weighed or measured")
    return [f"Of the {plain(one.came_in, one.unit)} that came in:", *lines]


_LEFT = (
    Column("WHEN"),
    Column("CODE", least=12),
    Column("MUCH", right=True),
    Column("OF THE LOT", right=True),
    Column("HOW"),
    Column("REFERENCE", least=9),
)


def left_table(
    left: Sequence[Left], unit: str, present: Present, *, total: int, colour: bool
) -> list[str]:
    """What left the shelf: when, how much, how much of the lot, under which reference."""
    rows = [
        [
            present.said(one.on),
            one.code,
            "all" if one.ml is None and one.g is None else amount(one.ml, one.g),
            of_lot(one.of_lot, unit),
            one.how + (f", {one.days_late} d past" if one.days_late else ""),
            one.reference or "–",
        ]
        for one in left
    ]
    return table(_LEFT, rows, total=total, colour=colour)
