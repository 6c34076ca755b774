use crate::{
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
};

rule! {
    /// A date is not written as the PGN standard asks, or names a day that does not exist.
    ///
    /// A date is written `YYYY.MM.DD`, with question marks for what is not known (8.1.1.3).
    ///
    /// ```pgn before
    /// [Date "2024.13.01"]
    ///
    /// 1. e4 *
    /// ```
    ///
    /// ```pgn after
    /// [Date "2024.12.01"]
    ///
    /// 1. e4 *
    /// ```
    RULE = "bad-date", Severity::Warning
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for tag in &view.game.tags {
        if !matches!(tag.name.of(view.text), b"Date" | b"EventDate" | b"UTCDate") {
            continue;
        }
        let value = tag.value.of(view.text);
        let Some(trouble) = trouble(value) else {
            continue;
        };
        let mut finding = Finding::new(
            &RULE,
            tag.value,
            format!(
                "\"{}\" {trouble}: a date is written YYYY.MM.DD, with \"??\" for what is not known.",
                view.words(tag.value)
            ),
        )
        .in_game(view);
        if let Some(better) = respelled(value) {
            finding = finding.perhaps(format!("Write {better}"), tag.value, better);
        }
        sink.push(finding);
    }
}

fn trouble(value: &[u8]) -> Option<&'static str> {
    let mut parts = value.split(|&byte| byte == b'.');
    let (Some(year), Some(month), Some(day), None) =
        (parts.next(), parts.next(), parts.next(), parts.next())
    else {
        return Some("is not a date");
    };
    let number = |part: &[u8], digits: usize| -> Option<Option<u32>> {
        if part.len() != digits {
            return None;
        }
        if part.contains(&b'?') {
            return part
                .iter()
                .all(|byte| byte.is_ascii_digit() || *byte == b'?')
                .then_some(None);
        }
        std::str::from_utf8(part).ok()?.parse().ok().map(Some)
    };
    let (Some(year), Some(month), Some(day)) = (number(year, 4), number(month, 2), number(day, 2))
    else {
        return Some("is not a date");
    };
    if month.is_some_and(|month| !(1..=12).contains(&month)) {
        return Some("has no such month");
    }
    if let Some(day) = day {
        let most = month.map_or(31, |month| days(year, month));
        if day == 0 || day > most {
            return Some("has no such day");
        }
    }
    None
}

/// The days of a month in the Gregorian calendar; 29 in a February of unknown year.
const fn days(year: Option<u32>, month: u32) -> u32 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 => match year {
            Some(year) if year % 4 != 0 || (year % 100 == 0 && year % 400 != 0) => 28,
            _ => 29,
        },
        _ => 31,
    }
}

/// The same date with the right dividers, where only those or leading zeros are off.
fn respelled(value: &[u8]) -> Option<String> {
    let text = std::str::from_utf8(value).ok()?;
    let parts: Vec<&str> = text.split(['-', '/', '.']).map(str::trim).collect();
    let [year, month, day] = parts[..] else {
        return None;
    };
    let better = format!("{year}.{month:0>2}.{day:0>2}");
    (better.as_bytes() != value && trouble(better.as_bytes()).is_none()).then_some(better)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_of_the_calendar() {
        // Examples of the PGN standard, 8.1.1.3.
        assert_eq!(trouble(b"1992.08.31"), None);
        assert_eq!(trouble(b"1993.??.??"), None);
        assert_eq!(trouble(b"2001.01.01"), None);
        assert_eq!(trouble(b"????.??.??"), None);
        assert_eq!(trouble(b"1900.02.29"), Some("has no such day"));
        assert_eq!(trouble(b"2000.02.29"), None);
        assert_eq!(trouble(b"2024.00.10"), Some("has no such month"));
        assert_eq!(trouble(b"yesterday"), Some("is not a date"));
        assert_eq!(respelled(b"2024-3-1").as_deref(), Some("2024.03.01"));
        assert_eq!(respelled(b"1/3/2024"), None);
    }
}
