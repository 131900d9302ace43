"""L12, danger first: whatever was read and seen, dangers are said before every other word, and stand on the card."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from selector.answers.danger import sentence
from selector.answers.verify.answer import report
from selector.card.blocks import Reverse
from selector.card.from_job import job_card
from selector.card.typeset import typeset
from selector.job.verify.verify import verified
from tests.helpers.judging import house

HEAD = """table: corvane-k14
model: 080
site: {plate static: 0.8 in. w.c.}
heat: {kind: gas, outlet limit: 170 F, least return: 55 F}
as left: {SW1: 00000000}
"""
SEEN = st.sampled_from(["", "gas smell", "flame moves", "limit jumpered", "still live", "spillage", "no gas smell"])


@settings(max_examples=25, deadline=None)
@given(
    back=st.integers(40, 120),
    rise=st.integers(10, 90),
    static=st.integers(1, 20),
    minutes=st.integers(1, 20),
    seen=SEEN,
)
def test_dangers_come_first_and_stand_on_the_card(back: int, rise: int, static: int, minutes: int, seen: str) -> None:
    text = HEAD + (f"seen: {seen}\n" if seen else "")
    text += f"measurements:\n- {{call: heating second, minutes: {minutes}, method: rise, return air: {back} F,"
    one = house(f"{text} supply air: {back + rise} F, static pressure: {static / 10} in. w.c.}}\n")
    found = verified(one)
    # by hand from the plate: 35 to 65 F, 170 F, 0.8 in. w.c.
    expected = rise > 65 or back + rise > 170 or seen not in ("", "no gas smell")
    assert expected == any(hazard.row.level == "DANGER" for hazard in found.dangers)
    said = [sentence(hazard, one.table) for hazard in found.dangers]
    lines = report(found).lines
    if said:
        assert lines[0] == said[0]
        assert [line for line in lines if line.startswith(("DANGER", "WARNING"))] == said
        levels = [line.partition(":")[0].partition(",")[0] for line in said]
        assert levels == sorted(levels)
    panels = {panel.title: panel for panel in job_card(one.job).panels}
    on_card = [block.text for block in panels["Measured"].blocks if isinstance(block, Reverse)]
    assert on_card[: len(said)] == [typeset(text) for text in said]
    if said:
        first = next(iter(panels.values())).blocks[0]
        assert isinstance(first, Reverse)
        assert first.text.startswith(typeset(said[0]))
    assert (report(found).exit_code == 0) <= (not said)
