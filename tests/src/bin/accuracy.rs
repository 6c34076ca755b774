//! How well claims are read and judged, on the corpus in `fixtures/claims`:
//! `cargo run -p gainsay-tests --bin accuracy`.
//!
//! With a folder as argument, on the corpus files there.
//!
//! Prints recall and precision for each kind, and every miss. Exits with 1 where the
//! precision of all findings is below 0.99 or the recall of all claims below 0.9.
//!
//! A true entry is recalled if a claim of its kind holds, a false one if a claim of its kind
//! fails. Every finding about claims on a true entry or a trap is a false alarm.

use std::{
    collections::BTreeMap,
    error::Error,
    path::{Path, PathBuf},
    process::ExitCode,
};

use gainsay::{Settings, Severity, Verdict, check};

#[derive(Default)]
struct Score {
    truths: u32,
    recalled_truths: u32,
    falsehoods: u32,
    recalled_falsehoods: u32,
    alarms: u32,
    false_alarms: u32,
}

struct Scene {
    fen: String,
    moves: String,
}

fn main() -> Result<ExitCode, Box<dyn Error>> {
    let folder = std::env::args()
        .skip(1)
        .find(|argument| !argument.starts_with("--"))
        .map_or_else(
            || Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures/claims"),
            PathBuf::from,
        );
    let mut files: Vec<_> = std::fs::read_dir(&folder)?
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| path.extension().is_some_and(|extension| extension == "txt"))
        .collect();
    files.sort();
    let verbose = std::env::args().any(|argument| argument == "--all");
    let mut scores: BTreeMap<String, Score> = BTreeMap::new();
    let mut traps = Score::default();
    for path in &files {
        let text = std::fs::read_to_string(path)?;
        let mut scene = Scene {
            fen: String::new(),
            moves: String::new(),
        };
        for (line, number) in text.lines().zip(1..) {
            let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
            match word {
                "==" => {
                    scene = Scene {
                        fen: String::new(),
                        moves: String::new(),
                    }
                }
                "fen" => rest.clone_into(&mut scene.fen),
                "moves" => rest.clone_into(&mut scene.moves),
                "true" | "false" | "trap" => {
                    let Some((head, comment)) = rest.split_once('|') else {
                        continue;
                    };
                    let kind = head.split_whitespace().next().unwrap_or("-");
                    let place = format!("{}:{number}", path.display());
                    let score = if word == "trap" {
                        &mut traps
                    } else {
                        scores.entry(kind.to_owned()).or_default()
                    };
                    judge(&scene, word, kind, comment.trim(), score, &place, verbose);
                }
                _ => {}
            }
        }
    }
    println!(
        "{:<16}{:>7}{:>9}{:>7}{:>9}{:>8}{:>10}",
        "kind", "true", "recalled", "false", "recalled", "recall", "precision"
    );
    let mut sum = Score::default();
    for (kind, score) in &scores {
        show(kind, score);
        sum.truths += score.truths;
        sum.recalled_truths += score.recalled_truths;
        sum.falsehoods += score.falsehoods;
        sum.recalled_falsehoods += score.recalled_falsehoods;
        sum.alarms += score.alarms;
        sum.false_alarms += score.false_alarms;
    }
    sum.alarms += traps.alarms;
    sum.false_alarms += traps.false_alarms;
    show("all", &sum);
    println!(
        "{} traps, {} false alarms on them",
        traps.truths, traps.false_alarms
    );
    let recall = recall(&sum);
    let precision = precision(&sum);
    println!("recall {recall:.3}, precision {precision:.3}");
    Ok(if recall < 0.9 || precision < 0.99 {
        ExitCode::FAILURE
    } else {
        ExitCode::SUCCESS
    })
}

fn ratio(part: u32, whole: u32) -> f64 {
    if whole == 0 {
        1.0
    } else {
        f64::from(part) / f64::from(whole)
    }
}

fn recall(score: &Score) -> f64 {
    ratio(
        score.recalled_truths + score.recalled_falsehoods,
        score.truths + score.falsehoods,
    )
}

fn precision(score: &Score) -> f64 {
    ratio(score.alarms - score.false_alarms, score.alarms)
}

fn show(kind: &str, score: &Score) {
    println!(
        "{kind:<16}{:>7}{:>9}{:>7}{:>9}{:>8.3}{:>10.3}",
        score.truths,
        score.recalled_truths,
        score.falsehoods,
        score.recalled_falsehoods,
        recall(score),
        precision(score)
    );
}

/// Checks one entry and counts it.
fn judge(
    scene: &Scene,
    word: &str,
    kind: &str,
    comment: &str,
    score: &mut Score,
    place: &str,
    verbose: bool,
) {
    let mut text = String::from("[White \"Carrera, Ana\"]\n[Black \"Olsen, Bo\"]\n");
    if !scene.fen.is_empty() {
        text.push_str(&format!("[SetUp \"1\"]\n[FEN \"{}\"]\n", scene.fen));
    }
    text.push_str(&format!("\n{} {{{comment}}} *\n", scene.moves));
    let report = check(text.as_bytes(), &Settings::default());
    let comment_start = text.find('{').unwrap_or(0);
    // Findings of the notation rules on the moves themselves are not about claims.
    let alarms: Vec<_> = report
        .findings
        .iter()
        .filter(|finding| {
            finding.span.start > comment_start && finding.severity >= Severity::Warning
        })
        .collect();
    let of_kind = |verdict: Verdict| {
        report
            .claims
            .iter()
            .any(|claim| claim.kind == kind && claim.verdict == verdict)
    };
    score.alarms += u32::from(!alarms.is_empty());
    match word {
        "true" => {
            score.truths += 1;
            score.recalled_truths += u32::from(of_kind(Verdict::Holds));
        }
        "false" => {
            score.falsehoods += 1;
            score.recalled_falsehoods += u32::from(of_kind(Verdict::Fails));
        }
        _ => score.truths += 1,
    }
    let false_alarm = word != "false" && !alarms.is_empty();
    score.false_alarms += u32::from(false_alarm);
    let missed = match word {
        "true" => !of_kind(Verdict::Holds),
        "false" => !of_kind(Verdict::Fails),
        _ => false,
    };
    if false_alarm || missed || verbose {
        let what = if false_alarm {
            "FALSE ALARM"
        } else if missed {
            "missed"
        } else {
            "ok"
        };
        println!("{place}: {what}: {word} {kind}: {comment}");
        for claim in &report.claims {
            println!(
                "    {} {} `{}`",
                claim.verdict.as_str(),
                claim.kind,
                claim.text
            );
        }
        for finding in alarms {
            println!("    {}: {}", finding.rule.name, finding.message);
        }
    }
}
