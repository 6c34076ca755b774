//! `gainsay schema`: JSON Schemas, made from the types that are printed.

use schemars::generate::SchemaSettings;

use crate::{
    args::SchemaOf,
    exit::TROUBLE,
    output::{FindingLine, ReportJson},
    print,
};

/// Prints a schema.
pub(crate) fn run(of: SchemaOf) -> u8 {
    // What is read back may lack what has a default; what is printed does not.
    let generator = SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator();
    let schema = match of {
        SchemaOf::Settings => gainsay_files::schema(),
        SchemaOf::Report => generator
            .into_root_schema_for::<ReportJson<'_>>()
            .to_value(),
        SchemaOf::Finding => generator
            .into_root_schema_for::<FindingLine<'_>>()
            .to_value(),
    };
    match serde_json::to_string_pretty(&schema) {
        Ok(text) => print::all(format!("{text}\n").as_bytes()),
        Err(error) => print::done(Err(error.into()), "the schema", TROUBLE),
    }
}
