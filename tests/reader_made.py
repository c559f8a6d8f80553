"""A reader's page of a decision, a scenario or a bench record, without its sliders: they take seconds."""

from soilx.bench.record import Record
from soilx.handouts.reader_bench_facts import bench_facts_of
from soilx.handouts.reader_bench_page import bench_reader_page
from soilx.handouts.reader_facts import facts_of
from soilx.handouts.reader_page import facts_page
from soilx.handouts.readers import METRIC, paper_of, reader_of, units_of


def reader_page(source, *, made_on, reader, units=METRIC, paper=None):
    """Its markup, from the words that the command takes."""
    who = reader_of(reader)
    shown, size = units_of(who, units), paper_of(paper)
    if isinstance(source, Record):
        return bench_reader_page(bench_facts_of(source), who, shown, paper=size, made_on=made_on)
    return facts_page(facts_of(source), who, shown, paper=size, made_on=made_on)
