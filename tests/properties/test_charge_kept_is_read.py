"""The charge that batteries keep for outages is read as every percentage of the file; of other words nobody computes."""

from pathlib import Path

import pytest

from permitgen.project.load import build_written
from permitgen.reading.reader import read_text

SMALL = Path(__file__).resolve().parents[1] / "cli" / "small_house.yaml"


@pytest.mark.parametrize(("said", "percent"), [("30 %", 30), ("30 percent", 30), ("12.5 %", 12.5), ("a third", None), ("130 %", None)])
def test_a_percentage_is_read_and_other_words_are_not(said, percent):
    text = f"{SMALL.read_text('utf-8')}settings: {{charge_kept_for_outages: {said}}}\n"
    kept = build_written(read_text(text, SMALL.as_posix()), SMALL.parent).system.charge_kept_percent
    assert (kept.number if kept is not None else None) == percent
