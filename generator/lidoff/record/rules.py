"""The rules of reading record files, each with its reason. All are errors: what they refuse can be read in two ways."""

from lidoff.rule import Rule

OWN = "Lidoff's own decision"
_SCHEMA = "Lidoff's schema; JSON Schema 2020-12, Validation (from memory), section"


def _rule(rule_id: str, title: str, why: str, source: str = OWN) -> Rule:
    return Rule(id=rule_id, title=title, severity="error", scope="file", why=why, source=source)


_FORM_RULES = (
    _rule(
        "record-syntax",
        "The file is YAML",
        "A line that can't be read hides all that belongs to it. The rest of the file is read and checked all the "
        "same.",
        "YAML 1.2.2, chapters 5 to 9 (from memory)",
    ),
    _rule(
        "record-encoding",
        "The file is in UTF-8",
        "Other encodings turn units and names into other letters without a word. A byte-order mark of UTF-8 at the "
        "start "
        "is let pass.",
    ),
    _rule(
        "record-character",
        "The file has no tabs, control signs or hidden signs",
        "Signs that nobody sees change what a line means: a tab has no fixed width; U+0085, U+2028 and U+2029 are "
        "line ends "
        "to some programs only; text-direction controls show a text in another order than it has; and a letter that "
        "is not "
        "in the composed form (NFC) makes two names of one.",
        "YAML 1.2.2, section 5.1 for control signs (from memory); the rest is Lidoff's own decision",
    ),
    _rule(
        "record-size",
        "The file has at most 1,000,000 bytes and 20 levels",
        "No record needs more; logs and pictures are files of their own.",
    ),
    _rule(
        "record-file",
        "Files and folders of records can be read",
        "A record that can't be opened is missing from every table.",
    ),
    _rule(
        "record-documents",
        "A file holds one record",
        "What follows a line --- would be read by some programs and left out by others.",
    ),
    _rule(
        "record-anchor",
        "No anchors, aliases and merge keys",
        "A reader must see every value where it stands, and a change at one place must not change another.",
        "YAML 1.2.2, section 7.1 describes them (from memory); refusing them is Lidoff's own decision",
    ),
    _rule(
        "record-tag",
        "No tags and directives",
        "What a value is follows from the schema alone; a tag could say something else.",
    ),
    _rule(
        "record-key",
        "Keys are plain words",
        "Every key is a word of the schema; a list or mapping as a key has no meaning here.",
    ),
    _rule(
        "record-duplicate-key",
        "A key stands once in its mapping",
        "Programs keep the first value or the last one, each in its own way.",
        "YAML 1.2.2, section 3.2.1.1 (from memory)",
    ),
)

_VALUE_RULES = (
    _rule(
        "record-text",
        "Text that looks like something else stands in quotes",
        "Where the schema wants text, YAML 1.1 reads 12:30 as 750, 0755 as 493 and no as false, and 4.70 loses its "
        "zero. "
        "In quotes it is the same text to every program.",
        "YAML 1.1 types (bool, int, float, timestamp) and YAML 1.2.2, section 10.3.2 (from memory)",
    ),
    _rule(
        "record-number",
        "Numbers are written in decimal, without exponent, unit or quotes",
        "1e-6 is text to some programs and a number to others; the unit is in the key, so that it can't differ from "
        "row "
        "to row.",
        "The grammar of numbers in JSON (RFC 8259, section 6; from memory); refusing the exponent is Lidoff's own "
        "decision",
    ),
    _rule(
        "record-true-false",
        "Only true and false answer a yes-or-no question",
        "yes and on are text in YAML 1.2 and true in YAML 1.1.",
        "YAML 1.1 type bool and YAML 1.2.2, section 10.3.2 (from memory)",
    ),
    _rule(
        "record-empty",
        "A key has a value",
        "What is unknown is left out; an empty list says that it was looked for and not found.",
    ),
    _rule(
        "record-space",
        "Text has no spaces at its ends",
        "A name with a space behind it is another name in every table.",
    ),
    _rule(
        "record-date",
        "A date is a day of the calendar",
        "A day that does not exist is a slip of the keyboard.",
    ),
    _rule(
        "record-structure",
        "A value, a list or a mapping stands where the schema wants one",
        "What stands in the wrong shape can't be read.",
        f"{_SCHEMA} 6.1",
    ),
)

_SCHEMA_RULES = (
    _rule(
        "record-version",
        "The record is of the format that this Lidoff reads",
        "A later format may mean something else by the same keys.",
    ),
    _rule(
        "record-unknown-key",
        "Every key is one of the schema",
        "A key with a slip in it would be left out without a word.",
    ),
    _rule(
        "record-missing-key",
        "What a record can't do without is there",
        "Without it the row says nothing that could be compared.",
        f"{_SCHEMA} 6.5",
    ),
    _rule(
        "record-word",
        "Words come from the vocabulary",
        "Two words for one thing would be two rows of a table.",
        f"{_SCHEMA} 6.1",
    ),
    _rule(
        "record-range",
        "Numbers lie within bounds",
        "The bounds are wide: they catch slips of unit and decimal point, and judge no design.",
        f"{_SCHEMA} 6.2; the bounds are Lidoff's own decision",
    ),
    _rule(
        "record-form",
        "Designators, dates, files and packages have their form",
        "Other fields and pages refer to them by it.",
        f"{_SCHEMA} 6.3; the forms are Lidoff's own decision",
    ),
    _rule(
        "record-length",
        "Text is not longer than its place allows",
        "Longer text breaks tables and cards; a summary or a note has room.",
        f"{_SCHEMA} 6.3; the lengths are Lidoff's own decision",
    ),
    _rule(
        "record-count",
        "Lists and mappings have as many items as they need",
        "A size has three edges, a list of ports at least one port.",
        f"{_SCHEMA} 6.4 and 6.5",
    ),
    _rule(
        "record-repeated",
        "A list names each item once",
        "Twice the same word counts once; the second one was meant to be another.",
        f"{_SCHEMA} 6.4",
    ),
    _rule(
        "record-kind",
        "Keys fit the kind that they stand beside",
        "A fixed output has no range, a photo no emissivity: either the kind or the key is wrong.",
    ),
    _rule(
        "record-conflict",
        "A quantity is given in one unit",
        "Two keys for one quantity can contradict each other.",
    ),
)

_ENTRY_RULES = (
    _rule(
        "entry-path",
        "A record lies in the folders of its product",
        "Folder, address and links follow from brand and model through one function.",
    ),
    _rule(
        "entry-name",
        "Folders and files have names that every system can have",
        "Capital letters and other signs in folders, and names such as aux or con, fail on some systems.",
    ),
    _rule(
        "entry-clash",
        "No two names beside each other differ by case or Unicode form alone",
        "On many systems they are one folder or one file.",
    ),
    _rule(
        "entry-stray",
        "Nothing lies outside the folders of products",
        "A file that no page reads is lost work or a slip.",
    ),
    _rule(
        "entry-link",
        "No symbolic links among the entries",
        "A link leads out of the knowledge base, or twice to one file, and not every system has it.",
    ),
    _rule(
        "entry-protocols",
        "The list of other protocols names each of them once",
        "Records name proprietary protocols as this list spells them; a name that stands for two counts for neither.",
    ),
    _rule(
        "entry-missing",
        "Every folder of a product has its record",
        "A folder without one makes no page.",
    ),
)

FILE_RULES: tuple[Rule, ...] = _FORM_RULES + _VALUE_RULES + _SCHEMA_RULES + _ENTRY_RULES
