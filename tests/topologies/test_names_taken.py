"""What a home has can be named: each breaker on a busbar by an interlock, each busbar by a known load and a power control system."""

from pathlib import Path

import pytest
import yaml

from permitgen.project.load import load_project
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.equipment.panelboard import Panelboard
from tests.whole_project import whole_text

ROOT = Path(__file__).resolve().parents[2]
HOMES = {"demo": ROOT / "demo_project" / "project.yaml"} | {
    file.stem: file for file in sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))
}
WITH_BUSBAR = (Panelboard, MicrogridInterconnectDevice)


@pytest.fixture(params=HOMES)
def home(request):
    return HOMES[request.param]


def with_section(home, tmp_path, section, value):
    """Load a home with one more entry of a section."""
    data = yaml.load(whole_text(home), yaml.CBaseLoader)
    data.pop("attachments", None)
    data[section] = value
    file = tmp_path / "project.yaml"
    file.write_text(yaml.dump(data, Dumper=yaml.CDumper, sort_keys=False, allow_unicode=True), "utf-8")
    return load_project(file).system


@pytest.mark.sample(every=4)
def test_every_breaker_on_a_busbar_can_be_interlocked(home, tmp_path):
    system = load_project(home).system
    tags = {tag for tag, item in system.equipment.items() if isinstance(item, WITH_BUSBAR)}
    on_busbars = {link.handle for link in system.graph.links if link.handle.partition(".")[0] in tags}
    names = sorted(on_busbars - {f"{tag}.autotransformer" for tag in tags})
    if len(names) > 1:  # an interlock joins two
        system = with_section(home, tmp_path, "interlocks", [{"not_both_closed": names, "by": "sliding plate"}])
        assert system.interlocks[0].not_both_closed == tuple(names)


@pytest.mark.sample(every=4)
def test_every_busbar_can_have_a_known_load_and_a_limit(home, tmp_path):
    system = load_project(home).system
    tags = [tag for tag, item in system.equipment.items() if isinstance(item, WITH_BUSBAR)]
    assert tags
    known = {tag: {"calculated": "60 A", "by": "permit of 2019"} for tag in tags}
    assert set(with_section(home, tmp_path, "known_loads", known).known_loads) == set(tags)
    sources = [source.tag.partition(".")[0] for source in system.sources.values() if source.kind in ("photovoltaic", "energy storage")]
    if sources:
        held = {"PCS1": {"setting": "40 A", "sources": sources[:1], "limits": tags}}
        assert with_section(home, tmp_path, "power_control", held).power_controls["PCS1"].limits == tuple(tags)
