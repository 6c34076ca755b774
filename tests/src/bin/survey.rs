//! What gainsay recognises and raises in files, for reading one by one:
//! `cargo run -p gainsay-tests --bin survey -- FILE…` prints claims by kind and
//! verdict, and every finding about claims with the words around it.

use std::{collections::BTreeMap, error::Error, time::Instant};

use gainsay::{Settings, Severity, Verdict, check};

fn main() -> Result<(), Box<dyn Error>> {
    let mut kinds: BTreeMap<String, [u32; 3]> = BTreeMap::new();
    let mut nodes = 0;
    let start = Instant::now();
    let all = std::env::var_os("ALL").is_some();
    for path in std::env::args().skip(1) {
        let text = std::fs::read(&path)?;
        let settings = Settings::default();
        let report = check(&text, &settings);
        for claim in &report.claims {
            let counts = kinds.entry(claim.kind.to_string()).or_default();
            let at = match claim.verdict {
                Verdict::Holds => 0,
                Verdict::Fails => 1,
                Verdict::Unsettled => 2,
            };
            if let Some(count) = counts.get_mut(at) {
                *count += 1;
            }
            nodes += claim.nodes;
            if all {
                println!(
                    "{:?} {} `{}` at {:?} {:?} nodes {}",
                    claim.verdict, claim.kind, claim.text, claim.mv, claim.evidence, claim.nodes
                );
            }
        }
        let about_claims: Vec<&str> = gainsay::claim_rules().map(|rule| rule.name).collect();
        for finding in &report.findings {
            if !about_claims.contains(&finding.rule.name) && finding.severity < Severity::Error {
                continue;
            }
            let from = finding.span.start.saturating_sub(160);
            let to = (finding.span.end + 100).min(text.len());
            let before = String::from_utf8_lossy(&text[from..finding.span.start]);
            let words = String::from_utf8_lossy(&text[finding.span.clone()]);
            let after = String::from_utf8_lossy(&text[finding.span.end..to]);
            println!(
                "{path} game {:?} {:?} [{} {}]\n  {}\n  {}\n  …{before}>>>{words}<<<{after}…\n",
                finding.game,
                finding.mv,
                finding.severity.as_str(),
                finding.rule.name,
                finding.message,
                finding.position.as_deref().unwrap_or_default(),
            );
        }
    }
    println!(
        "{:<20}{:>8}{:>8}{:>10}",
        "kind", "holds", "fails", "unsettled"
    );
    for (kind, [holds, fails, unsettled]) in kinds {
        println!("{kind:<20}{holds:>8}{fails:>8}{unsettled:>10}");
    }
    println!("{nodes} nodes, {:.1} s", start.elapsed().as_secs_f64());
    Ok(())
}
