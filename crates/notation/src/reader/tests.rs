//! Tests of the reader.

use super::*;
use crate::tree::MoveNumber;
use FaultKind::*;

/// All games of a text, each as a line of tokens and its faults.
fn read(text: &[u8]) -> Vec<(String, Vec<(FaultKind, String)>)> {
    let mut games = Vec::new();
    let mut game = Game::default();
    let mut at = 0;
    while let Some(next) = read_game(text, at, &mut game) {
        assert!(next > at && next <= text.len());
        at = next;
        let of = |span: Span| crate::text::decode(span.of(text)).into_owned();
        let mut tokens: Vec<String> = game
            .tags
            .iter()
            .map(|tag| format!("[{}={}]", of(tag.name), tag.value(text)))
            .collect();
        tokens.extend(game.elements.iter().map(|element| match element.kind {
            ElementKind::Number(MoveNumber { value, dots }) => {
                let value = value.map(|value| value.to_string());
                format!("#{}:{dots}", value.unwrap_or_default())
            }
            ElementKind::Move(_) => of(element.span),
            ElementKind::Glyph {
                glyph,
                symbol: true,
            } => format!("${}s", glyph.number()),
            ElementKind::Glyph { glyph, .. } => format!("${}", glyph.number()),
            ElementKind::Comment { body, kind } => format!("{kind:?}<{}>", of(body)),
            ElementKind::Open => "(".into(),
            ElementKind::Close => ")".into(),
            ElementKind::Result(result) => result.as_str().into(),
            ElementKind::Word { movelike: true } => format!("like:{}", of(element.span)),
            ElementKind::Word { .. } => format!("word:{}", of(element.span)),
        }));
        let faults = game
            .faults
            .iter()
            .map(|fault| (fault.kind, of(fault.span)))
            .collect();
        games.push((tokens.join(" "), faults));
    }
    games
}

/// The only game of a text without faults.
fn clean(text: &str) -> String {
    let mut games = read(text.as_bytes());
    assert_eq!(games.len(), 1, "{games:?}");
    let (tokens, faults) = games.remove(0);
    assert_eq!(faults, [], "{text}: {tokens}");
    tokens
}

/// The only game of a text and its faults.
fn faulty(text: &str) -> (String, Vec<(FaultKind, String)>) {
    let mut games = read(text.as_bytes());
    assert_eq!(games.len(), 1, "{games:?}");
    games.remove(0)
}

fn games(text: &str) -> Vec<String> {
    read(text.as_bytes())
        .into_iter()
        .map(|(tokens, _)| tokens)
        .collect()
}

fn is(faults: &[(FaultKind, String)], expected: &[(FaultKind, &str)]) {
    let faults: Vec<_> = faults
        .iter()
        .map(|(kind, text)| (*kind, text.as_str()))
        .collect();
    assert_eq!(faults, expected);
}

#[test]
fn nothing_and_white_space_hold_no_game() {
    for text in ["", " ", "\r\n\t\n", "\u{feff}", "\u{feff}\n "] {
        assert_eq!(read(text.as_bytes()), [], "{text:?}");
    }
}

#[test]
fn numbers_in_every_form() {
    assert_eq!(clean("23. Rf8 23... Rf8"), "#23:1 Rf8 #23:3 Rf8");
    assert_eq!(clean("23.Rf8 23...Rf8"), "#23:1 Rf8 #23:3 Rf8");
    assert_eq!(clean("23. ... Rf8 23 ... Rf8"), "#23:4 Rf8 #23:3 Rf8");
    assert_eq!(clean("23 Rf8 23Rf8"), "#23:0 Rf8 #23:0 Rf8");
    assert_eq!(clean("23\u{2026}Rf8 \u{2026}Rf8"), "#23:3 Rf8 #:3 Rf8");
    assert_eq!(clean("...Rf8 .. Rf8"), "#:3 Rf8 #:2 Rf8");
    assert_eq!(clean("5)Qa4 5)...Nf6"), "#5:0 Qa4 #5:3 Nf6");
    assert_eq!(clean("(5)Qa4)"), "( #5:0 Qa4 )");
    assert_eq!(clean("(4. e4 e5 5)"), "( #4:1 e4 e5 #5:0 )");
    assert_eq!(clean("99999999999. e4"), "#4294967295:1 e4");
}

/// Layout programs and web pages leave such characters between moves.
#[test]
fn odd_spaces_part_moves() {
    for space in [
        "\u{a0}", "\u{2009}", "\u{200b}", "\u{200e}", "\u{2028}", "\u{202f}", "\u{2060}",
        "\u{3000}",
    ] {
        let text =
            format!("1.{space}e4{space}e5 2.Nf3{space} Nc6{space}3.Bb5!{space}a6 O-O{space}");
        let plain = text.replace(space, " ");
        assert_eq!(clean(&text), clean(&plain), "{space:?}");
    }
}

#[test]
fn glyphs_glued_and_alone() {
    assert_eq!(
        clean("e4! e5 ? d4!! d5?? c4!? c5?! f4$14 $255"),
        "e4 $1s e5 $2s d4 $3s d5 $4s c4 $5s c5 $6s f4 $14 $255"
    );
    assert_eq!(
        clean("e4 = e5 += d4 =+ d5 \u{b1} c4 \u{2213} c5 \u{2a72} f4 \u{2a71} f5"),
        "e4 $10s e5 $14s d4 $15s d5 $16s c4 $17s c5 $14s f4 $15s f5"
    );
    assert_eq!(
        clean("e4 +- e5 -+ d4 +/- d5 -/+ c4 +/= c5 =/+ f4 \u{221e} f5 \u{25a1} g4 \u{2295}"),
        "e4 $18s e5 $19s d4 $16s d5 $17s c4 $14s c5 $15s f4 $13s f5 $7s g4 $138s"
    );
    assert_eq!(clean("e4 N e5 D Nf3N"), "e4 $146s e5 $220s Nf3 $146s");
    assert_eq!(
        clean("Nf3+- Nf3++- Nf3\u{b1}"),
        "Nf3 $18s Nf3+ $18s Nf3 $16s"
    );
    assert_eq!(clean("Nf3= e8=Q= Nf3+="), "Nf3 $10s e8=Q $10s Nf3 $14s");
    // The sign ± in Latin-1.
    assert_eq!(read(b"Nf3 \xb1 e5")[0].0, "Nf3 $16s e5");
    let (tokens, faults) = faulty("e4 $256 e5 $ d4");
    assert_eq!(tokens, "e4 e5 d4");
    is(&faults, &[(BadGlyph, "$256"), (BadGlyph, "$")]);
}

#[test]
fn results_in_every_form() {
    for (written, meant) in [
        ("1-0", "1-0"),
        ("0-1", "0-1"),
        ("1/2-1/2", "1/2-1/2"),
        ("1/2", "1/2-1/2"),
        ("\u{bd}-\u{bd}", "1/2-1/2"),
        ("\u{bd}", "1/2-1/2"),
        ("1/2:1/2", "1/2-1/2"),
        ("0.5-0.5", "1/2-1/2"),
        ("1:0", "1-0"),
        ("0:1", "0-1"),
        ("1\u{2013}0", "1-0"),
        ("0\u{2212}1", "0-1"),
        ("*", "*"),
    ] {
        assert_eq!(clean(&format!("e4 {written}")), format!("e4 {meant}"));
    }
    assert_eq!(clean("e4 0-0 0-0-0 1-0"), "e4 0-0 0-0-0 1-0");
    assert_eq!(read(b"e4 \xbd-\xbd")[0].0, "e4 1/2-1/2");
}

#[test]
fn moves_in_every_form_stay_whole() {
    let moves = "e2-e4 Ng1-f3 0-0 exd6 e.p. exd6e.p. e8Q e8=Q e8(Q) e8/Q hxg \u{2658}f3 \
                 Nf3++ Qh7mate Bb5ch. N:f3 Nf3: -- Z0 <> @@@@ O-O-O# o-o";
    let game = clean(moves);
    assert_eq!(game, moves);
    let mut game = Game::default();
    read_game(moves.as_bytes(), 0, &mut game);
    assert_eq!(game.elements.len(), 22);
}

#[test]
fn tags_with_their_faults() {
    assert_eq!(
        clean(r#"[White "A \"B\" C\\"] [Black ""][ Site  "x" ]"#),
        r#"[White=A "B" C\] [Black=] [Site=x]"#
    );
    let (tokens, faults) = faulty("[White \"Foo]\n[Black Bar]\n[Site \"x\"\n[Round]\n*");
    assert_eq!(tokens, "[White=Foo] [Black=Bar] [Site=x] [Round=] *");
    assert_eq!(faults.len(), 4);
    assert!(faults.iter().all(|(kind, _)| *kind == BrokenTag));
    let (tokens, faults) = faulty("[Event \"The \"Best\" Open\"]\n[White \"Foo] [Black \"Bar\"]");
    assert_eq!(tokens, "[Event=The \"Best\" Open] [White=Foo] [Black=Bar]");
    is(
        &faults,
        &[
            (BrokenTag, "[Event \"The \"Best\" Open\"]"),
            (BrokenTag, "[White \"Foo]"),
        ],
    );
    assert_eq!(clean("[Date\n\"x\"\n]"), "[Date=x]");
    assert_eq!(clean("[A \"1\"]\n\n[A \"2\"]\n\n*"), "[A=1] [A=2] *");
}

#[test]
fn comments_of_every_kind() {
    assert_eq!(
        clean("%first\n{ a } e4 ; b ) {\ne5 {c;\n%d}\n%e"),
        "Escape<first> Brace< a > e4 Line< b ) {> e5 Brace<c;\n%d> Escape<e>"
    );
}

#[test]
fn a_percent_sign_elsewhere_is_a_word() {
    let (tokens, faults) = faulty("e4 %e5\n%note\n e5");
    assert_eq!(tokens, "e4 word:%e5 Escape<note> e5");
    is(&faults, &[(LooseWords, "%e5")]);
}

#[test]
fn braces_that_do_not_match() {
    let (tokens, faults) = faulty("e4 { a { b } 2. Nf3 Nc6 } Bb5 }}");
    assert_eq!(tokens, "e4 Brace< a { b > #2:1 Nf3 Nc6 Bb5");
    is(
        &faults,
        &[(NestedComment, "{"), (StrayBrace, "}"), (StrayBrace, "}}")],
    );
    let (tokens, faults) = faulty("e4 { a { b } c } e5");
    assert_eq!(tokens, "e4 Brace< a { b } c > e5");
    is(&faults, &[(NestedComment, "{")]);
}

#[test]
fn an_unclosed_comment_ends_at_the_next_game() {
    let text = "[Event \"a\"]\n\n1. e4 { never closed 1-0\n\n[White \"b\"]\n\n1. d4 {x} 0-1\n";
    let games = read(text.as_bytes());
    assert_eq!(games.len(), 2);
    assert_eq!(
        games[0].0,
        "[Event=a] #1:1 e4 Unclosed< never closed 1-0\n\n>"
    );
    is(&games[0].1, &[(UnclosedComment, "{")]);
    assert_eq!(games[1].0, "[White=b] #1:1 d4 Brace<x> 0-1");
    // An Event tag needs no blank line; a bracket in a line is no game.
    let text = "1. e4 { see [White \"x\"]\n[White \"x\"]\n[Event \"b\"]\n*";
    let games = read(text.as_bytes());
    assert_eq!(games.len(), 2);
    assert_eq!(games[1].0, "[Event=b] *");
    let (tokens, _) = faulty("e4 {to the end");
    assert_eq!(tokens, "e4 Unclosed<to the end>");
}

#[test]
fn side_lines_that_do_not_match() {
    let (tokens, faults) = faulty("e4 (d4) ) e5 (( c5 (a6) (");
    assert_eq!(tokens, "e4 ( d4 ) e5 ( ( c5 ( a6 ) (");
    is(
        &faults,
        &[
            (StrayParenthesis, ")"),
            (UnclosedSideLine, "(("),
            (UnclosedSideLine, "("),
        ],
    );
}

#[test]
fn loose_words_are_one_fault_a_run() {
    let (tokens, faults) = faulty("e4 White is better, of course. e5 (and so on) d4");
    assert_eq!(
        tokens,
        "e4 word:White word:is word:better, word:of word:course. e5 ( word:and word:so \
         word:on ) d4"
    );
    is(
        &faults,
        &[
            (LooseWords, "White is better, of course."),
            (LooseWords, "and so on"),
        ],
    );
    // A year among words is no move number, a number before a move is one.
    let (tokens, _) = faulty("e4 played in 1925 again 23 Nf3");
    assert_eq!(
        tokens,
        "e4 word:played word:in word:1925 word:again #23:0 Nf3"
    );
}

#[test]
fn words_like_moves_are_no_loose_words() {
    let (tokens, faults) = faulty("e4 Sf6 Ng9 Nxx5 Ni3 Nf exd9 NF3 e8(D)");
    assert_eq!(
        tokens,
        "e4 like:Sf6 like:Ng9 like:Nxx5 like:Ni3 like:Nf like:exd9 like:NF3 like:e8(D)"
    );
    is(&faults, &[]);
    let (tokens, faults) = faulty("e4 Kings No On Be Qed x2 I 2nd 15min");
    assert!(!tokens.contains("like:"), "{tokens}");
    assert_eq!(faults.len(), 1);
}

#[test]
fn punctuation_behind_a_move_is_loose() {
    let (tokens, faults) = faulty("1. e4, e5. 2. Nf3");
    assert_eq!(tokens, "#1:1 e4 word:, e5 word:. #2:1 Nf3");
    is(&faults, &[(LooseWords, ","), (LooseWords, ".")]);
}

#[test]
fn games_without_tags_end_at_the_marker() {
    assert_eq!(
        games("1. e4 e5 1-0\n\n1. d4 d5 0-1\n1. c4 *"),
        ["#1:1 e4 e5 1-0", "#1:1 d4 d5 0-1", "#1:1 c4 *"]
    );
    assert_eq!(
        games("1. e4 e5 1-0 {a comment}\n\ne4 *"),
        ["#1:1 e4 e5 1-0 Brace<a comment>", "e4 *"]
    );
    // Moves behind the marker stay in the game.
    assert_eq!(games("1. e4 1-0 e5\n2. Nf3"), ["#1:1 e4 1-0 e5 #2:1 Nf3"]);
    // A paragraph that begins with number 1 is a game even without a marker.
    assert_eq!(
        games("1. e4 e5 2. Nf3\n\n1. d4 d5"),
        ["#1:1 e4 e5 #2:1 Nf3", "#1:1 d4 d5"]
    );
    assert_eq!(games("1. e4\n\n1... e5"), ["#1:1 e4 #1:3 e5"]);
}

#[test]
fn tags_begin_a_game_wherever_movetext_stood() {
    assert_eq!(
        games("[White \"a\"]\n1. e4 (e5\n[White \"b\"]\n*\n [White \"c\"] *"),
        ["[White=a] #1:1 e4 ( e5", "[White=b] *", "[White=c] *"]
    );
    assert_eq!(
        games("[Event \"a\"]\n[Result \"*\"]\n\n[Event \"b\"]\n"),
        ["[Event=a] [Result=*]", "[Event=b]"]
    );
    // Within a line it is a loose word.
    assert_eq!(games("1. e4 [White \"b\"] e5").len(), 1);
}

#[test]
fn byte_order_marks_and_line_ends() {
    assert_eq!(
        clean("\u{feff}[A \"b\"]\r\n\r\n1. e4\r\n*\r\n"),
        "[A=b] #1:1 e4 *"
    );
    assert_eq!(
        clean("[A \"b\"]\r\r1. e4\r;c\re5 *"),
        "[A=b] #1:1 e4 Line<c> e5 *"
    );
    let games = read("1. e4 *\n\n\u{feff}[A \"b\"]\n\n*".as_bytes());
    assert_eq!(games.len(), 2);
    is(&games[0].1, &[(ByteOrderMark, "\u{feff}")]);
    assert_eq!(games[1], ("[A=b] *".into(), vec![]));
}

#[test]
fn binary_is_named_and_reading_goes_on() {
    let games = read(b"1. e4 \0\0\x01\0 e5 \0M\0Z ab\0cd\0 Nf3 *");
    assert_eq!(games[0].0, "#1:1 e4 e5 Nf3 *");
    let kinds: Vec<_> = games[0].1.iter().map(|(kind, _)| *kind).collect();
    assert_eq!(kinds, [Binary, Binary]);
}

#[test]
fn the_span_is_the_game_without_white_space_around_it() {
    let text = b"  \n1. e4 *  \n\n[A \"b\"]\n*\n";
    let mut game = Game::default();
    let next = read_game(text, 0, &mut game).expect("a game");
    assert_eq!(game.span.of(text), b"1. e4 *");
    read_game(text, next, &mut game).expect("a game");
    assert_eq!(game.span.of(text), b"[A \"b\"]\n*");
}
