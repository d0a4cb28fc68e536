"""``lidoff rule``: all rules, one of them, and a name that is none."""

import pytest
from click.testing import CliRunner, Result

from lidoff.checks import all_rules
from lidoff.commands.rule import command


def said(*arguments: str) -> Result:
    return CliRunner().invoke(command, arguments)


def test_without_an_id_every_rule_is_listed_with_its_severity() -> None:
    lines = said().stdout.splitlines()
    assert [line.split()[:2] for line in lines] == [[rule.id, rule.severity] for rule in all_rules()]


def test_a_rule_is_told_with_its_reason_and_its_source() -> None:
    for rule in all_rules():
        text = said(rule.id).stdout
        assert rule.why in text and rule.source in text and (rule.formula is None or f"formula  {rule.formula}" in text)


@pytest.mark.parametrize(
    ("name", "hint"), [("heet", "did you mean heat?"), ("zzzzzz", "`lidoff rule` without an id lists all")]
)
def test_a_name_that_is_no_rule_is_refused_with_a_way_out(name: str, hint: str) -> None:
    done = said(name)
    assert done.exit_code == 2 and f"no rule {name}" in done.stderr and hint in done.stderr
