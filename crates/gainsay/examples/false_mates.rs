//! Prints every false mate of a file of games with its line and column.

use std::{env, error::Error, fs};

use gainsay::{LineIndex, Settings, check};

fn main() -> Result<(), Box<dyn Error>> {
    let path = env::args().nth(1).ok_or("name a file of games")?;
    let text = fs::read(&path)?;
    let lines = LineIndex::new(&text);
    for finding in check(&text, &Settings::default()).findings {
        if finding.rule.name == "false-mate" {
            let place = lines.place(&text, finding.span.start);
            println!("{path}:{place}: {}", finding.message);
        }
    }
    Ok(())
}
