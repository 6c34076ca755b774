use std::{num::NonZero, path::Path};

use gainsay::{Language, Level, Severity};
use serde_json::{Value, json};

use super::*;

/// Every setting with a value that differs from the default.
const ALL: &str = r#"
nodes = 5000
game-nodes = 6000
memory = 128
language = "german"
fail-on = "warning"
claims = false
cache = false
syzygy = "tables"
known = "known.jsonl"
exclude = ["drafts/"]
include = ["*.pgn"]
engine = "some-engine 'a b'"
pictures = true
closed-files = "off"
manuscripts = "markdown"
rule-pages = "https://example.org/rules"

[rules]
illegal-move = "warning"

[hints]
verdicts = false
"#;

fn told(wrong: &[Wrong]) -> Vec<String> {
    wrong.iter().map(ToString::to_string).collect()
}

fn of_file(text: &str) -> (Layer, Vec<String>) {
    let (layer, wrong) = Layer::of_file(text);
    (layer, told(&wrong))
}

fn of_editor(value: &Value) -> (Layer, Vec<String>) {
    let (layer, wrong) = Layer::of_editor(value);
    (layer, told(&wrong))
}

#[test]
fn a_file_and_an_editor_set_the_same() {
    let (layer, wrong) = of_file(ALL);
    assert_eq!(wrong, Vec::<String>::new());
    assert_eq!(layer.nodes, NonZero::new(5000));
    assert_eq!(layer.language, Some(Some(Language::German)));
    assert_eq!(layer.fail_on, Some(Severity::Warning));
    let words = ["some-engine", "a b"].map(str::to_owned).to_vec();
    assert_eq!(layer.engine, Some(words));
    assert_eq!(layer.rules["illegal-move"], Level::Warning);
    assert_eq!(layer.hints.verdicts, Some(Verdicts::None));
    assert_eq!(layer.hints.numbers, None);
    assert_eq!(layer.closed_files, Some(ClosedFiles::Off));
    let told: Value = toml::from_str(ALL).unwrap();
    assert_eq!(of_editor(&told), (layer.clone(), Vec::new()));
    let camel = ALL
        .replace("game-nodes", "gameNodes")
        .replace("closed-files", "closedFiles")
        .replace("fail-on", "failOn")
        .replace("rule-pages", "rulePages");
    let told: Value = toml::from_str(&camel).unwrap();
    assert_eq!(of_editor(&told), (layer, Vec::new()));
}

#[test]
fn every_setting_is_known_to_the_reader() {
    // Serde lists the fields of the type, each between backticks.
    let listed = serde_json::from_value::<Layer>(json!({"?": 1})).unwrap_err();
    let listed = listed.to_string();
    let mut fields: Vec<&str> = listed.split('`').skip(1).step_by(2).collect();
    fields.retain(|field| *field != "?");
    let all: Value = toml::from_str(ALL).unwrap();
    assert_eq!(fields.len(), all.as_object().unwrap().len(), "{fields:?}");
    for field in fields {
        assert!(all.get(field).is_some(), "{field} is not tried");
        let (layer, wrong) = of_editor(&json!({ field: all[field].clone() }));
        assert_eq!(wrong, Vec::<String>::new());
        assert_ne!(layer, Layer::default(), "{field} sets nothing");
        let (layer, wrong) = of_editor(&json!({ field: {"a": {"b": [1]}} }));
        assert_eq!((layer, wrong.len()), (Layer::default(), 1), "{wrong:?}");
    }
}

#[test]
fn what_is_wrong_is_told_with_its_place_and_the_rest_is_taken() {
    let file = "nodes = 0\nclaims = false\nnoeds = 5\n  fail-on = \"nonsense\"\n\
                memory = 10\nengine = \"'open\"\ngameNodes = 5\nrules.no-such = \"off\"\n\
                rules.illegal-moves = \"off\"\nrules.illegal-move = 3\nhints = { verdict = true }\n\
                language = \"Klingon\"\nmanuscripts = nan\n";
    let (layer, wrong) = of_file(file);
    let expected = Layer {
        claims: Some(false),
        ..Layer::default()
    };
    assert_eq!(layer, expected);
    let languages = Language::ALL.map(Language::name).join(", ");
    assert_eq!(
        wrong,
        [
            "1:9: the setting \"nodes\" must be a number of at least 1",
            "3:1: there is no setting \"noeds\": did you mean \"nodes\"?",
            "4:13: the setting \"fail-on\" must be hint, information, warning or error",
            "5:10: the setting \"memory\" must be a number of megabytes, 64 at least",
            "6:10: the setting \"engine\" must be a command as in a shell, or a list of words",
            "7:1: there is no setting \"gameNodes\": did you mean \"game-nodes\"?",
            "8:7: there is no rule \"no-such\": \"gainsay rules\" lists them",
            "9:7: there is no rule \"illegal-moves\": did you mean \"illegal-move\"?",
            "10:22: the setting \"rules.illegal-move\" must be off, hint, information, warning or \
             error",
            "11:11: there is no setting \"hints.verdict\": did you mean \"verdicts\"?",
            &format!("12:12: the setting \"language\" must be one of {languages}"),
            "13:15: the setting \"manuscripts\" must be none, markdown or all",
        ]
    );
    // An editor's place is where its user knows it.
    let told = json!({"closedFile": "off", "failOn": "nonsense", "claims": false});
    let (layer, wrong) = of_editor(&told);
    assert_eq!(layer, expected);
    assert_eq!(
        wrong,
        [
            "there is no setting \"closedFile\": did you mean \"closedFiles\"?",
            "the setting \"failOn\" must be hint, information, warning or error",
        ]
    );
    assert_eq!(of_editor(&json!([1])).1.len(), 1);
    assert_eq!(of_editor(&json!(1)).1.len(), 1);
    assert!(of_file("[rules\n").1[0].starts_with("1:7: this is no TOML: "));
}

#[test]
fn empty_values_take_back_and_are_no_faults() {
    let empty =
        "language = \"\"\nengine = []\nsyzygy = \"\"\nrule-pages = \"\"\n[rules]\n[hints]\n";
    let (layer, wrong) = of_file(empty);
    assert_eq!(wrong, Vec::<String>::new());
    let over = layer.over(of_file(ALL).0);
    assert_eq!(over.language, Some(None));
    assert_eq!(over.engine, Some(Vec::new()));
    assert_eq!(over.syzygy_in(Path::new("/book")), None);
    assert_eq!(over.rules.len(), 1);
    // Lua knows no empty table, and editors send what is not set as `null`.
    let unset = json!({"rules": [], "hints": [], "nodes": null, "engine": ""});
    assert_eq!(of_editor(&unset).1, Vec::<String>::new());
    assert_eq!(of_editor(&json!([])), (Layer::default(), Vec::new()));
    assert_eq!(of_editor(&Value::Null), (Layer::default(), Vec::new()));
}

#[test]
fn layers_merge_by_key_and_by_rule() {
    let file = of_file(ALL).0;
    let editor = json!({"nodes": 7, "rules": {"false-mate": "off"}, "hints": {"numbers": false}});
    let both = of_editor(&editor).0.over(file);
    assert_eq!(both.nodes, NonZero::new(7));
    assert_eq!(both.game_nodes, NonZero::new(6000));
    assert_eq!(both.rules["illegal-move"], Level::Warning);
    assert_eq!(both.rules["false-mate"], Level::Off);
    assert_eq!(both.hints.verdicts, Some(Verdicts::None));
    assert_eq!(both.hints.numbers, Some(false));
    assert_eq!(
        of_editor(&json!({"hints": true})).0.hints.numbers,
        Some(true)
    );
    let nothing = Layer::default();
    assert_eq!(both.clone().over(nothing.clone()), both);
    assert_eq!(nothing.over(both.clone()), both);
}

#[test]
fn a_file_that_was_found_asks_for_no_more_than_is_sane() {
    let absurd = "nodes = 9223372036854775807\nmemory = 1000000\nengine = \"some-engine\"\n";
    let (mut layer, wrong) = of_file(absurd);
    assert_eq!(wrong, Vec::<String>::new());
    let distrusted: Vec<String> = layer.distrust().iter().map(ToString::to_string).collect();
    assert_eq!(
        distrusted,
        [
            "nodes = 9223372036854775807 of the gainsay.toml that was found is taken as 100000000",
            "memory = 1000000 of the gainsay.toml that was found is taken as 4096",
            "the engine is not started, because gainsay.toml was found and not named",
        ]
    );
    assert_eq!(layer.settings().nodes, 100_000_000);
    assert_eq!(layer.engine, None);
    assert_eq!(layer.distrust(), []);
}
