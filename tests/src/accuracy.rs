//! How well claims are read and judged, on a corpus of comments whose truth is known.
//!
//! A true entry is recalled if a claim of its kind holds, a false one if a claim of its kind
//! fails. Every finding about claims on a true entry or a trap is a false alarm. The format
//! of a corpus file stands in `tests/python/claims.py`, which checks its truths.

use std::{
    collections::BTreeMap,
    fmt::Write as _,
    io,
    path::{Path, PathBuf},
};

use gainsay::{Settings, Severity, Verdict, check};

use crate::lost::{Losses, says_more, stage};

/// The corpus of the project.
#[must_use]
pub fn corpus() -> PathBuf {
    crate::fixtures().join("claims")
}

/// What was counted.
#[derive(Clone, Copy, Debug, Default)]
pub struct Score {
    /// True entries.
    pub truths: u32,
    /// True entries of which a claim holds.
    pub recalled_truths: u32,
    /// False entries.
    pub falsehoods: u32,
    /// False entries of which a claim fails.
    pub recalled_falsehoods: u32,
    /// Entries with a finding.
    pub alarms: u32,
    /// True entries and traps with a finding.
    pub false_alarms: u32,
}

impl Score {
    /// The part of the entries that was recalled.
    #[must_use]
    pub fn recall(&self) -> f64 {
        ratio(
            self.recalled_truths + self.recalled_falsehoods,
            self.truths + self.falsehoods,
        )
    }

    /// The part of the findings that is right.
    #[must_use]
    pub fn precision(&self) -> f64 {
        ratio(self.alarms - self.false_alarms, self.alarms)
    }

    fn add(&mut self, other: &Self) {
        self.truths += other.truths;
        self.recalled_truths += other.recalled_truths;
        self.falsehoods += other.falsehoods;
        self.recalled_falsehoods += other.recalled_falsehoods;
        self.alarms += other.alarms;
        self.false_alarms += other.false_alarms;
    }
}

fn ratio(part: u32, whole: u32) -> f64 {
    if whole == 0 {
        1.0
    } else {
        f64::from(part) / f64::from(whole)
    }
}

/// The result of a run.
#[derive(Clone, Debug, Default)]
pub struct Accuracy {
    /// The scores of every kind.
    pub kinds: BTreeMap<String, Score>,
    /// The traps: entries of which nothing may be called false.
    pub traps: Score,
    /// False entries and traps of which some claim holds, beyond a noun phrase or a cited move.
    pub ticks: u32,
    /// Every miss, every false alarm and every tick of those, in words.
    pub misses: String,
    /// Where the misses were lost.
    pub losses: Losses,
}

impl Accuracy {
    /// All kinds and traps together; the recall is of the claims alone.
    #[must_use]
    pub fn sum(&self) -> Score {
        let mut sum = Score::default();
        for score in self.kinds.values() {
            sum.add(score);
        }
        sum.alarms += self.traps.alarms;
        sum.false_alarms += self.traps.false_alarms;
        sum
    }

    /// A table of the scores.
    #[must_use]
    pub fn table(&self) -> String {
        let mut out = format!(
            "{:<16}{:>7}{:>9}{:>7}{:>9}{:>8}{:>10}\n",
            "kind", "true", "recalled", "false", "recalled", "recall", "precision"
        );
        let all = self.sum();
        let rows = self
            .kinds
            .iter()
            .map(|(kind, score)| (kind.as_str(), score));
        for (kind, score) in rows.chain([("all", &all)]) {
            let _ = writeln!(
                out,
                "{kind:<16}{:>7}{:>9}{:>7}{:>9}{:>8.3}{:>10.3}",
                score.truths,
                score.recalled_truths,
                score.falsehoods,
                score.recalled_falsehoods,
                score.recall(),
                score.precision()
            );
        }
        let _ = writeln!(
            out,
            "{} traps, {} false alarms on them",
            self.traps.truths, self.traps.false_alarms
        );
        out
    }
}

#[derive(Default)]
struct Scene {
    /// The games that stand before it in the book.
    others: String,
    /// How many they are.
    count: usize,
    /// Whether games have no numbers.
    untitled: bool,
    fen: String,
    moves: String,
    then: String,
}

impl Scene {
    /// The tags of the next game of the book.
    fn tags(&self, white: &str, black: &str) -> String {
        let event = match self.count {
            _ if self.untitled => "An evening".to_owned(),
            before => format!("Game {}", before + 1),
        };
        format!("[Event \"{event}\"]\n[White \"{white}\"]\n[Black \"{black}\"]\n")
    }

    /// Adds a game: players, result and moves.
    fn add(&mut self, game: &str) {
        let mut parts = game.splitn(4, ' ').skip(1);
        let mut part = || parts.next().unwrap_or_default();
        let (white, black) = part().split_once(',').unwrap_or_default();
        let tags = self.tags(white, black);
        let (result, moves) = (part(), part());
        let _ = write!(
            self.others,
            "{tags}[Result \"{result}\"]\n\n{moves} {result}\n\n"
        );
        self.count += 1;
    }
}

/// Checks every entry of the corpus files in `folder`.
///
/// # Errors
///
/// When the folder or a file in it cannot be read.
pub fn run(folder: &Path) -> io::Result<Accuracy> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)?
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| path.extension().is_some_and(|extension| extension == "txt"))
        .collect();
    files.sort();
    let mut accuracy = Accuracy::default();
    for path in &files {
        let text = std::fs::read_to_string(path)?;
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let mut scene = Scene::default();
        for (line, number) in text.lines().zip(1..) {
            let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
            match word {
                "==" => scene = Scene::default(),
                "fen" => rest.clone_into(&mut scene.fen),
                "moves" => rest.clone_into(&mut scene.moves),
                "then" => rest.clone_into(&mut scene.then),
                "game" => scene.add(rest),
                "untitled" => scene.untitled = true,
                "true" | "false" | "trap" => {
                    if let Some((head, comment)) = rest.split_once('|') {
                        let kind = head.split_whitespace().next().unwrap_or("-");
                        accuracy.judge(
                            &scene,
                            word,
                            kind,
                            comment.trim(),
                            &format!("{name}:{number}"),
                        );
                    }
                }
                _ => {}
            }
        }
    }
    Ok(accuracy)
}

impl Accuracy {
    /// Checks one entry and counts it.
    fn judge(&mut self, scene: &Scene, word: &str, kind: &str, comment: &str, place: &str) {
        let score = if word == "trap" {
            &mut self.traps
        } else {
            self.kinds.entry(kind.to_owned()).or_default()
        };
        let mut text = scene.others.clone();
        let tags = scene.tags("Carrera, Ana", "Olsen, Bo");
        // Alone it has no number.
        text.push_str(match scene.count {
            0 => tags.split_once('\n').map_or("", |(_, tags)| tags),
            _ => &tags,
        });
        if !scene.fen.is_empty() {
            text.push_str(&format!("[SetUp \"1\"]\n[FEN \"{}\"]\n", scene.fen));
        }
        text.push_str(&format!(
            "\n{} {{{comment}}} {} *\n",
            scene.moves, scene.then
        ));
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
        if missed {
            self.losses.add(kind, stage(&report, kind));
        }
        let holds = |claim: &&gainsay::SettledClaim| claim.verdict == Verdict::Holds;
        let mut held = report.claims.iter().filter(holds);
        let ticked = word != "true" && held.any(says_more);
        self.ticks += u32::from(ticked);
        if false_alarm || missed || ticked {
            let what = match (false_alarm, ticked) {
                (true, _) => "FALSE ALARM",
                (_, true) => "ticked",
                _ => "missed",
            };
            let _ = writeln!(self.misses, "{place}: {what}: {word} {kind}: {comment}");
            for claim in &report.claims {
                let _ = writeln!(
                    self.misses,
                    "    {} {} `{}`",
                    claim.verdict.as_str(),
                    claim.kind,
                    claim.text
                );
            }
            for finding in alarms {
                let _ = writeln!(
                    self.misses,
                    "    {}: {}",
                    finding.rule.name, finding.message
                );
            }
        }
    }
}
