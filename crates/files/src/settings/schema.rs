//! The JSON Schema of what is not written as it is held.

use gainsay::Language;
use schemars::{Schema, SchemaGenerator, json_schema};
use serde_json::{Map, Value, json};

use super::editor::Hints;

/// A language by its name, or none.
pub(super) fn language(_: &mut SchemaGenerator) -> Schema {
    let names: Vec<&str> = std::iter::once("")
        .chain(Language::ALL.map(Language::name))
        .collect();
    json_schema!({ "enum": names })
}

/// A command as in a shell, or in words.
pub(super) fn engine(_: &mut SchemaGenerator) -> Schema {
    json_schema!({
        "anyOf": [
            { "type": "string" },
            { "type": "array", "items": { "type": "string" } },
        ]
    })
}

/// A level for every rule, with what the rule finds.
pub(super) fn rules(_: &mut SchemaGenerator) -> Schema {
    let levels = ["off", "hint", "information", "warning", "error"];
    let all = gainsay::rules().into_iter().map(|rule| {
        let summary: Vec<&str> = rule.summary().split_whitespace().collect();
        let of = json!({
            "enum": levels,
            "default": rule.severity.as_str(),
            "description": summary.join(" "),
        });
        (rule.name.to_owned(), of)
    });
    let all: Map<String, Value> = all.collect();
    json_schema!({ "type": "object", "properties": all, "additionalProperties": false })
}

/// The usual hints at once, or each by its name.
pub(super) fn hints(generator: &mut SchemaGenerator) -> Schema {
    let each = generator.subschema_for::<Hints>();
    json_schema!({ "anyOf": [{ "type": "boolean" }, each] })
}
