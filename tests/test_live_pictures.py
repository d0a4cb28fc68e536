"""An edited picture in the live preview: its page names the new variants, and each of them can be made at once."""

import os
import re
from pathlib import Path

from PIL import Image

from lidoff.live import LiveCollection
from lidoff.pipeline import prepare
from lidoff.publish.picture_cache import PictureCache
from lidoff.publish.pictures import PictureMaker
from lidoff.settings import read_settings

PAGE = "/products/fernhollow/fh-65/"
PHOTO = Path("entries", "fernhollow", "fh-65", "photos", "board-top.jpg")


def replace_picture(base: Path, colour: str, size: tuple[int, int]) -> None:
    Image.new("RGB", size, colour).save(base / "new.jpg")
    os.replace(base / "new.jpg", base / PHOTO)


def variants(body: str) -> set[str]:
    return set(re.findall(r"pictures/[^ \",]+", body))


def test_a_picture_that_is_replaced_shows_at_once(knowledge_base: Path) -> None:
    replace_picture(knowledge_base, "green", (1200, 900))
    live = LiveCollection(prepare(read_settings(knowledge_base / "mkdocs.yml"), with_drafts=True))
    first = variants(live.prepared.page(PAGE).body)
    assert len(first) == 5  # three widths, the JPEG, the thumb of T1
    replace_picture(knowledge_base, "red", (2400, 1800))
    assert live.refresh() == {PAGE}
    now = variants(live.page(PAGE).body)
    assert len(now) == 5 and not now & first
    maker = PictureMaker(PictureCache(knowledge_base / "cache"))
    made = [maker.one(live.picture(path)) for path in sorted(now)]
    assert all(made)
    assert live.picture(first.pop()) is None


def test_a_bad_picture_is_said_on_the_page_of_a_draft_and_breaks_nothing(knowledge_base: Path) -> None:
    record = knowledge_base / "entries" / "fernhollow" / "fh-65" / "record.yaml"
    record.write_text(
        record.read_text(encoding="utf-8").replace("status: published", "status: draft"), encoding="utf-8"
    )
    live = LiveCollection(prepare(read_settings(knowledge_base / "mkdocs.yml"), with_drafts=True))
    replace_picture(knowledge_base, "green", (1200, 900))
    live.refresh()
    assert "can't be shown" not in live.page(PAGE).body
    for content in (b"", b"no picture", b"\xff\xd8\xff\xe0 broken off"):
        (knowledge_base / PHOTO).write_bytes(content)
        assert live.refresh() == {PAGE}
        assert f"The picture {PHOTO.parent.name}/{PHOTO.name} can't be shown." in live.page(PAGE).body
        assert variants(live.page(PAGE).body) == set()
        assert any(one.severity == "error" and "photos[0]" in one.field for one in live.findings(PAGE))
