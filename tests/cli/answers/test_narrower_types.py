"""What is said to be narrower than its type is in a schema, and no answer is left to hold anything."""

from tests.cli.answers.held import schema_types, schemas


def properties_of_records() -> set[tuple[str, str]]:
    """Each field of each record in a schema, by the record's name there and its own."""
    return {
        (record, name)
        for schema in schemas().values()
        for record, told in schema.get("$defs", {}).items()
        for name in told.get("properties", {})
    }


def test_what_is_said_to_be_narrower_is_in_a_schema() -> None:
    """Or it would go on saying it of a record that is not there any more."""
    narrower = {*schema_types.NARROWER, *schema_types.FINITE, *schema_types.ANY_VALUE}
    assert narrower - properties_of_records() == set()
    names = {name for _, name in properties_of_records()}
    assert set(schema_types.PATTERNS) - names == set()


def test_no_answer_may_hold_anything_but_where_that_is_said() -> None:
    loose = {
        (record, name)
        for schema in schemas().values()
        for record, told in schema.get("$defs", {}).items()
        for name, value in told.get("properties", {}).items()
        if value == {} or value.get("additionalProperties", 0) == {}
    }
    assert loose == schema_types.ANY_VALUE
