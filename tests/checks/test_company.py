"""Every check of the collection says which records it holds against each other."""

from lidoff.checks import COLLECTION_CHECKS
from lidoff.checks.company import COMPANIES


def test_every_check_of_the_collection_is_in_one_company() -> None:
    named = [check.rule.id for company in COMPANIES for check in company.checks]
    assert sorted(named) == sorted(check.rule.id for check in COLLECTION_CHECKS)
    assert len({company.name for company in COMPANIES}) == len(COMPANIES)
