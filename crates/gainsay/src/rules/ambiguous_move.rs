use super::noticed::marked;
use crate::{
    marks::Marks,
    quote::quoted_move,
    replay::View,
    report::Finding,
    resolve::{Resolution, resolve},
    rule::{Severity, rule},
    show::{in_language, list, number, piece, san},
    sink::Sink,
};

rule! {
    /// A move can be played by more than one piece.
    ///
    /// SAN names the file, the rank or both of the piece that moves where two could (PGN
    /// standard, 8.2.3.4). Reading goes on with the piece that makes most of the
    /// following moves possible.
    ///
    /// ```pgn before
    /// 1. d4 d5 2. Nf3 Nf6 3. Nd2 *
    /// ```
    ///
    /// ```pgn after
    /// 1. d4 d5 2. Nf3 Nf6 3. Nbd2 *
    /// ```
    RULE = "ambiguous-move", Severity::Error
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for ply in marked(view, Marks::AMBIGUOUS) {
        let Some(position) = view.replay.before(ply) else {
            continue;
        };
        let span = view.span(ply.element);
        let words = quoted_move(view.text, span);
        let Some(Resolution::Ambiguous(candidates)) =
            view.written(ply).map(|written| resolve(position, &written))
        else {
            continue;
        };
        let pieces: Vec<String> = candidates
            .iter()
            .filter_map(|m| Some(format!("the {} on {}", piece(m.role()), m.from()?)))
            .collect();
        let mut moves: Vec<_> = candidates.iter().copied().collect();
        // The move that reading went on with is the likeliest, so it is offered first.
        moves.sort_by_key(|&m| Some(m) != ply.played);
        let one_piece = pieces
            .windows(2)
            .any(|pair| matches!(pair, [a, b] if a == b));
        let message = if one_piece {
            // In old notation the same piece may go to several squares.
            let sans = candidates.iter().map(|&m| san(position, m));
            let sans: Vec<String> = sans
                .map(|san| in_language(&san, view.replay.language))
                .collect();
            format!("{}{words} can be {}.", number(position), list(&sans, "or"))
        } else {
            let pieces = list(&pieces, "and by");
            format!("{}{words} can be played by {pieces}.", number(position))
        };
        let mut finding = Finding::new(&RULE, span, message).before(view, ply);
        for m in moves {
            let text = in_language(&san(position, m), view.replay.language);
            finding = finding.perhaps(format!("Write {text}"), span, text);
        }
        sink.push(finding);
    }
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    #[test]
    fn what_follows_shows_what_was_meant() {
        let report = check(
            b"1. d4 d5 2. Nf3 Nf6 3. Nd2 e6 4. Ndf3 *",
            &Settings::default(),
        );
        let finding = &report.findings[0];
        assert_eq!(
            finding.message,
            "3.Nd2 can be played by the knight on b1 and by the knight on f3."
        );
        assert_eq!(finding.remedies.len(), 2);
    }
}
