//! The JSON Schema of the settings file as editors for TOML read it.

use schemars::generate::SchemaSettings;
use serde_json::Value;

use super::layer::Layer;

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
