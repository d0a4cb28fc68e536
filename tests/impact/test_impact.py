"""``lidoff impact``: what a change means, seen from outside."""

import csv
import io
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.impact.conftest import RECORD, git, lidoff

Edit = Callable[[str, str], None]
Look = Callable[..., dict]


def change(found: dict) -> dict:
    assert len(found["changes"]) == 1
    return found["changes"][0]


def test_nothing_differs_right_after_a_commit(kept: Path, impact: Look) -> None:
    found = impact()
    assert (found["changes"], found["cells"], found["new_findings"], found["records"]) == ([], [], [], 1)
    assert "no record differs" in lidoff(kept, "impact", "--base", "HEAD").stdout


def test_a_changed_value_is_told_with_its_unit_and_what_follows_from_it(edit: Edit, impact: Look) -> None:
    edit("rated_power_w: 65", "rated_power_w: 60")
    one = change(impact())
    assert (one["kind"], one["title"], one["path"]) == ("changed", "Fernhollow FH-65", RECORD)
    assert one["facts"] == [
        {"field": "product.rated_power_w", "words": "product, rated power", "before": "65 W", "after": "60 W"}
    ]
    density = next(figure for figure in one["figures"] if figure["id"] == "power_density_w_per_cm3")
    # the outside calculation: rated power over the edges of the body that the sample states
    assert density["value_before"] / density["value_after"] == pytest.approx(65 / 60, rel=1e-12)


def test_a_part_put_in_first_shifts_no_finding_and_no_other_part(edit: Edit, impact: Look) -> None:
    edit(
        "components:\n",
        "components:\n  - {ref: Q99, roles: [primary-switch], identified_by: unidentified, strength: guess}\n",
    )
    found = impact()
    assert [fact["field"] for fact in change(found)["facts"]] == ["components[Q99]"]
    assert change(found)["facts"][0]["before"] is None
    shifted = [
        finding for finding in (*found["new_findings"], *found["resolved_findings"]) if "Q99" not in finding["found"]
    ]
    assert [one["rule"] for one in shifted if not one["field"].startswith("components[0]")] == []


def test_an_added_record_brings_its_names_and_its_place(kept: Path, copied: Path, impact: Look) -> None:
    text = copied.read_text(encoding="utf-8")
    copied.write_text(text.replace("maker: Marrow Bay", "maker: Sedgewick Foil", 1), encoding="utf-8")
    found = impact()
    one = change(found)
    assert (one["kind"], found["records_before"], found["records"]) == ("added", 1, 2)
    assert "Sedgewick Foil" in {name["name"] for name in one["names"] if name["kind"] == "maker"}
    density = next(place for place in one["standings"] if place["name"] == "Power density")
    assert (density["rank"], density["n"], density["distance"]) == (1, 2, None), "two alike: no distance"


def test_an_added_record_is_held_against_the_designs_that_are_there(kept: Path, copied: Path, impact: Look) -> None:
    (sibling,) = change(impact())["siblings"]
    assert (sibling["path"], sibling["title"], sibling["index"]) == (RECORD, "Fernhollow FH-65", 1.0)
    assert sibling["shared"], "a copy shares everything"
    text = lidoff(kept, "impact", "--base", "HEAD").stdout
    assert f"Fernhollow FH-65 ({RECORD}), likeness 100 of 100: shares " in text


def test_a_record_without_a_like_has_no_siblings(edit: Edit, impact: Look) -> None:
    edit("rated_power_w: 65", "rated_power_w: 60")
    assert change(impact())["siblings"] == []


def test_a_marking_taken_for_another_part_is_a_contradiction(kept: Path, copied: Path, impact: Look) -> None:
    from lidoff.record.load import load_file

    part = next(
        part for part in load_file(kept / RECORD, kept).record.components
        if part.part_number and part.marking and part.marking.state == "legible"
    )  # fmt: skip
    text = copied.read_text(encoding="utf-8")
    assert f"part_number: {part.part_number}" in text
    copied.write_text(text.replace(f"part_number: {part.part_number}", "part_number: ZZ-999"), encoding="utf-8")
    told = [name["contradicts"] for name in change(impact())["names"] if name["contradicts"]]
    assert len(told) >= 1 and "ZZ-999 here" in told[0] and part.part_number in told[0]


def test_a_removed_record_is_named_with_its_product(kept: Path, copied: Path, impact: Look) -> None:
    git(kept, "add", ".")
    git(kept, "commit", "--quiet", "-m", "second")
    git(kept, "rm", "--quiet", "-r", "entries/fernhollow/fh-66")
    found = impact()
    assert (change(found)["kind"], change(found)["title"]) == ("removed", "Fernhollow FH-66")
    assert (found["records_before"], found["records"]) == (2, 1)


def test_findings_that_come_and_go_are_told_by_rule(edit: Edit, kept: Path, impact: Look) -> None:
    edit("mass_g: 112", "mass_g: 612")
    assert "mean-density" in {finding["rule"] for finding in impact()["new_findings"]}
    git(kept, "commit", "--quiet", "--all", "-m", "heavy")
    edit("mass_g: 612", "mass_g: 112")
    assert "mean-density" in {finding["rule"] for finding in impact()["resolved_findings"]}


def test_a_record_that_cant_be_read_says_so_and_stops_nothing(edit: Edit, kept: Path, impact: Look) -> None:
    edit("rated_power_w: 65", 'rated_power_w: "65"')
    found = impact()
    assert change(found)["readable"] is False
    assert [finding["rule"] for finding in found["new_findings"]] == ["record-number"]
    assert "can't be read" in lidoff(kept, "impact", "--base", "HEAD").stdout


def test_moved_cells_are_those_that_the_table_command_shows(kept: Path, copied: Path, impact: Look) -> None:
    now = _table(kept, "technology-by-tier")
    cells = {(cell["row"], cell["column"]): cell for cell in impact()["cells"] if cell["table"] == "technology-by-tier"}
    shutil.rmtree(copied.parent)
    then = _table(kept, "technology-by-tier")
    differing = {place for place in now | then if now.get(place, "") != then.get(place, "")}
    differing = {place for place in differing if {now.get(place, ""), then.get(place, "")} - {"", "0"}}
    assert set(cells) == differing and len(differing) >= 4
    assert all(
        cells[place]["after"] == now[place] and cells[place]["before"] == then.get(place, "") for place in differing
    )


def _table(base: Path, name: str) -> dict[tuple[str, str], str]:
    result = lidoff(base, "table", name, "--format", "csv")
    assert result.exit_code == 0, result.output
    heading, *rows = csv.reader(io.StringIO(result.stdout))
    return {(row[0], column): value for row in rows for column, value in zip(heading[1:], row[1:], strict=True)}


def test_a_branch_is_compared_with_where_it_left_main(kept: Path, edit: Edit, impact: Look) -> None:
    git(kept, "switch", "--quiet", "-c", "mine")
    edit("mass_g: 112", "mass_g: 113")
    git(kept, "commit", "--quiet", "--all", "-m", "mine")
    git(kept, "switch", "--quiet", "main")
    edit("rated_power_w: 65", "rated_power_w: 60")
    git(kept, "commit", "--quiet", "--all", "-m", "theirs")
    git(kept, "switch", "--quiet", "mine")
    assert [fact["field"] for fact in change(impact("main"))["facts"]] == ["measured.mass_g"]


@pytest.mark.parametrize("reference", ["no-such-branch", "--output=stolen", ""])
def test_an_unknown_revision_is_wrong_usage(kept: Path, reference: str) -> None:
    result = lidoff(kept, "impact", f"--base={reference}")
    assert result.exit_code == 2
    assert result.stderr.startswith("found     ") and "expected  " in result.stderr
    assert not (kept / "stolen").exists()


def test_a_base_without_history_is_wrong_usage(knowledge_base: Path) -> None:
    result = lidoff(knowledge_base, "impact", "--base", "HEAD")
    assert result.exit_code == 2 and "git" in result.stderr


def test_text_of_a_record_marks_up_nothing_in_a_comment(kept: Path, edit: Edit) -> None:
    edit("name: Fernhollow Pocket 65", 'name: "<img src=x> @someone [a](http://x.example) | `b` **c**"')
    told = lidoff(kept, "impact", "--base", "HEAD", "--format", "markdown").stdout
    row = next(line for line in told.splitlines() if "img" in line)
    assert "<img" not in row and "@someone" not in row and "](" not in row and "**c" not in row.replace("\\*", "")
    assert row.count("|") - row.count("\\|") == 4, "three cells, whatever the text holds"


def test_check_since_tells_only_of_changed_records(kept: Path, copied: Path, edit: Edit) -> None:
    edit("mass_g: 112", "mass_g: 612")
    git(kept, "add", "entries/fernhollow/fh-65")
    git(kept, "commit", "--quiet", "-m", "heavy")
    result = lidoff(kept, "check", "--since", "HEAD")
    assert result.exit_code == 0 and result.stdout.splitlines()[-1].startswith("1 record")
    assert "fh-65/record.yaml:" not in "".join(
        line for line in result.stdout.splitlines() if line.startswith("entries/")
    )


def test_check_since_without_a_change_finds_nothing(kept: Path) -> None:
    result = lidoff(kept, "check", "--since", "HEAD")
    assert (result.exit_code, result.stdout) == (0, "0 records: nothing found\n")
