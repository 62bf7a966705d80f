"""What `show` prints, whatever read the command line."""

from datetime import date

from tracker.bench.bench import Bench
from tracker.cli.damaged_book import tell_damages
from tracker.cli.given.code_asked import thing_asked
from tracker.cli.given.day_asked import day_asked
from tracker.cli.screen import has_colour, say_lines
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing


def show(
    bench: Bench,
    code: str,
    on: str | None = None,
    *,
    sources: bool = False,
    as_json: bool = False,
) -> None:
    """Everything reckoned about one thing, with how."""
    with bench.asking():
        day = day_asked(bench, on)
        thing = thing_asked(bench, code, day, as_json=as_json)
        if isinstance(thing, Lot):
            _show_lot(bench, thing, sources=sources, as_json=as_json)
        else:
            _show(bench, thing, day or bench.today(), sources=sources, as_json=as_json)
        tell_damages(bench.damages())


def _show(bench: Bench, thing: Thing, today: date, *, sources: bool, as_json: bool) -> None:
    from tracker.core.reckoning.costs import lots_paid_for
    from tracker.outputs.terminal import cost_lines
    from tracker.outputs.view.thing_view import view_of

    alike = []
    if thing.jar is not None and thing.jar.is_macerating:
        alike = bench.pressed_alike(thing.jar.herb, today)
    practice = bench.practice
    view = view_of(thing, practice, today, alike=alike, flags=bench.not_held())
    lots = bench.lots_by_id(lots_paid_for(thing))
    if as_json:
        from tracker.cli.printing import echo_json
        from tracker.outputs.answer_fields import thing_fields

        echo_json(thing_fields(view) | cost_lines.cost_answer(thing, lots, practice.currency))
    else:
        from tracker.outputs.terminal.show import show as shown_thing

        rows = cost_lines.cost_rows(thing, lots, practice.currency)
        lines = shown_thing(
            view,
            colour=has_colour(),
            names=practice.names,
            costs=rows,
            sources=sources,
            present=bench.present,
        )
        say_lines(lines)


def _show_lot(bench: Bench, lot: Lot, *, sources: bool, as_json: bool) -> None:
    """Everything known of one lot."""
    from tracker.core.reckoning.flows.flow_graph import forwards, graph_of, node_of
    from tracker.outputs.terminal import lot_table
    from tracker.outputs.terminal.trace_lines import amount
    from tracker.outputs.view.lot_view import lot_views

    batches, lots = bench.batches(), bench.lots()
    view = next(one for one in lot_views(lots, batches) if one.code == lot.code)
    if as_json:
        from tracker.cli.printing import echo_json

        echo_json(lot_table.lot_fields(view))
        return
    graph = graph_of(batches, lots)
    uses = [
        f"{graph.names[line.node]}  {amount(line.edge.ml, line.edge.g)}, "
        f"{bench.present.said(line.edge.on)}"
        for line in forwards(graph, node_of(lot))
        if line.depth == 0
    ]
    say_lines(
        lot_table.show_lot(view, uses, colour=has_colour(), sources=sources, present=bench.present)
    )
