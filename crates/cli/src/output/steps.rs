//! The moves of a line of evidence, one by one.

use shakmaty::san::SanPlus;

/// The moves of a line, each with its number: `1. Rd8+ Kh7` is `1. Rd8+` and `1... Kh7`. Empty
/// where the text is something else than moves.
pub(super) fn steps(line: &str) -> Vec<String> {
    read(line).unwrap_or_default()
}

fn read(line: &str) -> Option<Vec<String>> {
    let mut steps = Vec::new();
    // The number of the next move, and whether it is Black's.
    let mut next: Option<(u32, bool)> = None;
    for word in line.split_whitespace() {
        if let Some(number) = word.strip_suffix('.') {
            let digits = number.strip_suffix("..");
            next = Some((digits.unwrap_or(number).parse().ok()?, digits.is_some()));
            continue;
        }
        word.parse::<SanPlus>().ok()?;
        let (number, black) = next?;
        let dots = if black { "..." } else { "." };
        steps.push(format!("{number}{dots} {word}"));
        next = Some((number.saturating_add(u32::from(black)), !black));
    }
    Some(steps)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_taken_apart() {
        assert_eq!(
            steps("23... Rf8 24. Qg7+ Kh5 25. O-O-O#"),
            ["23... Rf8", "24. Qg7+", "24... Kh5", "25. O-O-O#"]
        );
        for other in [
            "",
            "12.Qh7+ would be legal after 11...f5",
            "the last move is number 7",
            "Rd8+ Kh7",
            "Evening 3, Lind - Haas",
        ] {
            assert!(steps(other).is_empty(), "{other}");
        }
    }
}
