"""The knowledge base of public documents: it passes, its site names its sources, and what the documents print is met."""

import json
import math
import re
import shutil
import subprocess
import sys
import zlib
from pathlib import Path

import pytest
import yaml

BASE = Path(__file__).with_name("published")
RECORDS = {"/".join(file.parts[-3:-1]): file for file in sorted(BASE.glob("entries/*/*/record.yaml"))}
DER_937 = "power-integrations/der-937"
CAPTURE = "usbpdpy/readme-capture"
# inch, exactly: source: NIST Special Publication 811 (2008), appendix B.8, from memory
CM3_PER_IN3 = 2.54**3


def lidoff(*arguments: str) -> subprocess.CompletedProcess:
    return subprocess.run(
        [sys.executable, "-m", "lidoff", *arguments], cwd=BASE, capture_output=True, text=True, check=False
    )


def answer(*arguments: str) -> list[dict]:
    done = lidoff(*arguments, "--format", "json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of a copy, built by the command into a folder of the user's choice."""
    folder = tmp_path_factory.mktemp("published")
    for part in ("entries", "prose"):
        shutil.copytree(BASE / part, folder / "base" / part)
    shutil.copy(BASE / "mkdocs.yml", folder / "base")
    done = lidoff("site", "--strict", "--config", str(folder / "base" / "mkdocs.yml"), "--out", str(folder / "site"))
    assert done.returncode == 0, done.stderr
    return folder / "site"


def page(site: Path, slug: str) -> str:
    """The text of a product's page, without its marks."""
    html = (site / "products" / slug / "index.html").read_text(encoding="utf-8").replace("&nbsp;", "\u00a0")
    return re.sub(r"<[^>]+>", "", html.partition("<main")[2].partition("</main>")[0])


def test_check_finds_no_error_and_hardly_a_warning() -> None:
    done = lidoff("check", "--format", "json")
    report = json.loads(done.stdout)
    assert (done.returncode, report["records"]) == (0, len(RECORDS)) and len(RECORDS) >= 4
    warnings = [finding for finding in report["findings"] if finding["severity"] == "warning"]
    assert warnings == [], "false alarms on sound public designs"


@pytest.mark.parametrize("slug", RECORDS)
def test_record_names_its_document_and_is_not_called_invented(slug: str, site: Path) -> None:
    record = yaml.safe_load(RECORDS[slug].read_text(encoding="utf-8"))
    assert "demo" not in record
    text = page(site, slug)
    assert record["source"] in text.replace("&#34;", '"')
    assert "nvented" not in text


@pytest.mark.parametrize("slug", RECORDS)
def test_what_no_document_states_is_said_to_be_unknown(slug: str, site: Path) -> None:
    record = yaml.safe_load(RECORDS[slug].read_text(encoding="utf-8"))
    assert "mass_g" not in record.get("measured", {})
    figures = {figure["id"]: figure for figure in answer("figures", str(RECORDS[slug]))}
    assert figures["specific_power_w_per_g"]["value"] is None and figures["specific_power_w_per_g"]["absent"]
    assert not re.search(r"\b(nan|None|null|undefined)\b", page(site, slug))


def test_density_of_der_937_is_the_printed_one(site: Path) -> None:
    # source: Power Integrations, DER-937, revision 1.0, 18 October 2021, summary page: 100 W, 3.30 x 2.17 x 0.93 in without
    # case, 15.0 W/in3
    (figure,) = [
        one for one in answer("figures", str(RECORDS[DER_937])) if one["id"] == "assembly_power_density_w_per_cm3"
    ]
    assert figure["value"] * CM3_PER_IN3 == pytest.approx(15.0, abs=0.05)
    assert "15.0\u00a0W/in³" in page(site, DER_937)
    cased = [one for one in answer("figures", str(RECORDS[DER_937])) if one["id"] == "power_density_w_per_cm3"]
    assert [one["value"] for one in cased] == [None], "no case was measured"


def test_offers_of_der_937_are_the_printed_ones(site: Path) -> None:
    # source: the same page: 5, 9, 12, 15 and 20 V at 5 A, and PPS 3.3 to 21 V at 5 A
    record = yaml.safe_load(RECORDS[DER_937].read_text(encoding="utf-8"))
    offers = record["ports"][0]["label"]
    assert [(offer["voltage_v"], offer["current_a"]) for offer in offers[:5]] == [
        (5, 5),
        (9, 5),
        (12, 5),
        (15, 5),
        (20, 5),
    ]
    assert (offers[5]["voltage_min_v"], offers[5]["voltage_max_v"], offers[5]["current_a"]) == (3.3, 21, 5)


def test_readme_capture_decodes_to_the_printed_offers() -> None:
    # source: usbpdpy (PyPI), README, example capture: 5, 9, 12, 15 V at 3 A, 20 V at 3.25 A, PPS 3.3 to 11 V at 3 A, header 0x61A1
    (capture,) = yaml.safe_load(RECORDS[CAPTURE].read_text(encoding="utf-8"))["ports"][0]["advertised"]
    header, *offers = answer("decode", capture["bytes"])
    assert (header["word"], header["message"], header["objects"]) == ("0x61A1", "Source_Capabilities", 6)
    fixed = [(offer["kind"], offer["voltage_v"], offer["current_a"]) for offer in offers[:5]]
    assert fixed == [("fixed", 5, 3), ("fixed", 9, 3), ("fixed", 12, 3), ("fixed", 15, 3), ("fixed", 20, 3.25)]
    pps = offers[5]
    assert (pps["kind"], pps["voltage_min_v"], pps["voltage_max_v"], pps["current_a"]) == ("pps", 3.3, 11, 3)
    assert answer("decode", *capture["words"]) == [
        {key: value for key, value in one.items() if key != "position"} for one in offers
    ]


def test_checksum_of_the_readme_capture_is_the_common_one() -> None:
    # reference: zlib's CRC-32, which is the checksum of USB PD messages (so used by the libraries usbpdparser and sigrok)
    (capture,) = yaml.safe_load(RECORDS[CAPTURE].read_text(encoding="utf-8"))["ports"][0]["advertised"]
    message = bytes.fromhex(capture["bytes"])
    expected = zlib.crc32(message)
    assert answer("decode", capture["bytes"])[0]["checksum_expected"] == f"0x{expected:08X}"
    sound = answer("decode", (message + expected.to_bytes(4, "little")).hex())[0]
    assert sound["checksum_ok"] is True
    damaged = bytes([message[0], message[1], message[2] ^ 1, *message[3:]])
    assert answer("decode", (damaged + expected.to_bytes(4, "little")).hex())[0]["checksum_ok"] is False


def test_readme_capture_is_shown_as_decoded(site: Path) -> None:
    # the strongest fixed offer of the capture: 20 V at 3.25 A
    (figure,) = [one for one in answer("figures", str(RECORDS[CAPTURE])) if one["id"] == "pd_power_w"]
    assert math.isclose(figure["value"], 20 * 3.25)
    text = page(site, CAPTURE)
    assert "65.0\u00a0W" in text and "11\u00a0V" in text
