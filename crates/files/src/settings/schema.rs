//! The JSON Schema of what is not written as it is held.

use gainsay::Language;
use schemars::{Schema, SchemaGenerator, generate::SchemaSettings, json_schema};
use serde_json::{Map, Value, json};

use super::layer::{Hints, Layer};

/// The JSON Schema of a settings file, in the draft that editors for TOML read.
#[must_use]
pub fn schema() -> Value {
    let schema = SchemaSettings::draft07()
        .into_generator()
        .into_root_schema_for::<Layer>();
    let mut schema = schema.to_value();
    schema["title"] = "gainsay.toml".into();
    schema["description"] = "The settings of gainsay.".into();
    without_null(&mut schema);
    schema
}

/// Takes out that a setting may be null, of which TOML knows nothing, and joins the lines of
/// descriptions.
fn without_null(schema: &mut Value) {
    match schema {
        Value::Object(object) => {
            if object.get("default") == Some(&Value::Null) {
                object.remove("default");
            }
            if let Some(Value::Array(types)) = object.get_mut("type") {
                types.retain(|it| it != "null");
                if let [one] = types.as_slice() {
                    object["type"] = one.clone();
                }
            }
            if let Some(Value::Array(any)) = object.get_mut("anyOf") {
                any.retain(|it| it["type"] != "null");
                if let [Value::Object(one)] = any.as_slice() {
                    let one = one.clone();
                    object.remove("anyOf");
                    object.extend(one);
                }
            }
            if let Some(Value::String(words)) = object.get_mut("description") {
                *words = words.replace('\n', " ");
            }
            object.values_mut().for_each(without_null);
        }
        Value::Array(all) => all.iter_mut().for_each(without_null),
        _ => {}
    }
}

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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_has_every_setting_and_every_rule() {
        let schema = schema();
        let properties = &schema["properties"];
        for setting in super::super::names::ALL {
            assert!(properties[setting.key].is_object(), "{}", setting.key);
            assert!(
                properties[setting.key]["description"].is_string(),
                "{}",
                setting.key
            );
        }
        let rules = &properties["rules"]["properties"];
        for rule in gainsay::rules() {
            assert_eq!(rules[rule.name]["default"], rule.severity.as_str());
        }
        assert!(!schema.to_string().contains("null"), "TOML has no null");
    }
}
