"""Fixtures that several folders of tests share."""

from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("same-everywhere", deadline=None, derandomize=True)  # no clock, the same examples in every run
settings.load_profile("same-everywhere")

SAMPLE = Path(__file__).parent / "record" / "sample.yaml"


@pytest.fixture(scope="session")
def sample_text() -> str:
    """The text of one complete valid record, invented, that uses most sections."""
    return SAMPLE.read_text(encoding="utf-8")


@pytest.fixture
def knowledge_base(tmp_path: Path, sample_text: str) -> Path:
    """A small knowledge base on the disk: mkdocs.yml and the sample record in its folder."""
    config = "site_name: Test base\nsite_url: https://example.org/\nplugins:\n  - lidoff\n"
    (tmp_path / "mkdocs.yml").write_text(config, encoding="utf-8")
    folder = tmp_path / "entries" / "fernhollow" / "fh-65"
    (folder / "photos").mkdir(parents=True)
    (folder / "logs").mkdir()
    (folder / "photos" / "board-top.jpg").write_bytes(b"")
    (folder / "logs" / "phone.csv").write_text("t,v,i\n0,20.0,3.0\n60,20.0,2.9\n", encoding="utf-8")
    (folder / "record.yaml").write_text(sample_text, encoding="utf-8")
    return tmp_path


def pytest_addoption(parser: pytest.Parser) -> None:
    """``--refresh-expected`` writes expected messages anew; read the difference before you keep it."""
    parser.addoption("--refresh-expected", action="store_true", help="write the expected messages of bad records anew")
