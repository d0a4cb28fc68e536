"""``lidoff rule ID``: what a rule looks for, why, and on whose word."""

import difflib
import sys

import click


@click.command()
@click.argument("rule_id", metavar="[ID]", required=False)
def command(rule_id: str | None) -> None:
    """Say what a check does, why, and its source; without ID, list all rules."""
    from lidoff.checks import all_rules

    rules = {rule.id: rule for rule in all_rules()}
    if rule_id is None:
        width = max(map(len, rules))
        for rule in rules.values():
            click.echo(f"{rule.id:<{width}}  {rule.severity:<7}  {rule.title}")
        return
    if rule_id not in rules:
        near = difflib.get_close_matches(rule_id, rules, n=3)
        hint = f"did you mean {' or '.join(near)}?" if near else "`lidoff rule` without an id lists all"
        click.echo(f"found     no rule {rule_id}\nexpected  the id of a rule\nfix       {hint}", err=True)
        sys.exit(2)
    rule = rules[rule_id]
    click.echo(f"{rule.id} ({rule.severity}; sees one {rule.scope})\n\n{rule.title}\n\n{rule.why}")
    if rule.formula:
        click.echo(f"\nformula  {rule.formula}")
    click.echo(f"source   {rule.source}")
