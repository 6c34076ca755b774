//! What an author allows in a comment of the host format: `allow false-mate: reason`.

use std::ops::Range;

use super::veil::Veil;

/// The word behind which the name of a rule stands.
const ALLOW: &[u8] = b"allow";

/// What the view shows for it, and what ends that.
const SHOWN: &[u8] = b"[%allow ";

/// Shows an allowance as the command `[%allow false-mate reason]` within the bytes of `room`,
/// which begin and end with the signs of the comment around its `body`. The name of the rule stays
/// where it is, if there is room before it.
///
/// A comment means an allowance if a name with a hyphen stands behind its first word, as the names
/// of all rules have one, and a colon or the end behind that.
pub(super) fn show_allowance(veil: &mut Veil<'_>, body: Range<usize>, room: Range<usize>) {
    let shown = veil.text().get(body.clone()).and_then(read);
    let Some((at, rule, reason)) = shown else {
        return;
    };
    let mut command = SHOWN.to_vec();
    command.extend_from_slice(rule);
    if !reason.is_empty() {
        command.push(b' ');
        command.extend_from_slice(reason);
    }
    let named = body.start + at;
    let start = named.saturating_sub(SHOWN.len()).max(room.start);
    let most = room.end.saturating_sub(start).saturating_sub(1);
    if most < SHOWN.len() + rule.len() {
        return;
    }
    command.truncate(most);
    // What would end the command, or another one.
    let inside = command.iter_mut().skip(SHOWN.len());
    inside
        .filter(|byte| matches!(byte, b'[' | b']' | b'\n' | b'\r'))
        .for_each(|byte| *byte = b' ');
    command.push(b']');
    veil.write(start, &command);
}

/// How far into a body the name of a rule stands, the name and the reason.
fn read(body: &[u8]) -> Option<(usize, &[u8], &[u8])> {
    let words = body.trim_ascii_start();
    let behind = words.strip_prefix(ALLOW)?;
    let named = behind.trim_ascii_start();
    let letters = named
        .iter()
        .take_while(|&&byte| byte.is_ascii_lowercase() || byte == b'-');
    let (rule, rest) = named.split_at(letters.count());
    let is_name = named.len() < behind.len() && memchr::memchr(b'-', rule).is_some_and(|at| at > 0);
    let reason = match rest.strip_prefix(b":") {
        Some(reason) => reason.trim_ascii(),
        None => &[],
    };
    let told = is_name && (rest.starts_with(b":") || rest.trim_ascii().is_empty());
    told.then_some((body.len() - named.len(), rule, reason))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the view shows of a comment with signs of these lengths.
    fn shown(text: &str, before: usize, behind: usize) -> String {
        let mut veil = Veil::new(text.as_bytes());
        show_allowance(&mut veil, before..text.len() - behind, 0..text.len());
        String::from_utf8_lossy(&veil.finish()).into_owned()
    }

    #[test]
    fn an_allowance_is_shown_as_a_command_of_the_same_length() {
        for (text, signs, wanted) in [
            (
                "% allow false-mate: a joke",
                (1, 0),
                "[%allow false-mate a joke]",
            ),
            (
                "%allow false-mate: a joke",
                (1, 0),
                "[%allow false-mate a jok]",
            ),
            ("// allow false-mate", (2, 0), ""),
            ("% allow false-mate:", (1, 0), "[%allow false-mate]"),
            (
                "<!-- allow false-mate: a [small] joke -->",
                (4, 3),
                "   [%allow false-mate a  small  joke]    ",
            ),
            ("% allow widows: no", (1, 0), ""),
            ("% allow false-mate here", (1, 0), ""),
            ("% allowing x-y: z", (1, 0), ""),
        ] {
            let wanted = format!("{wanted:width$}", width = text.len());
            assert_eq!(shown(text, signs.0, signs.1), wanted, "{text}");
        }
    }
}
