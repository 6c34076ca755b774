use super::*;

/// The text with all that is safe mended; a second time must change nothing.
fn mended(text: &str) -> String {
    mended_with(text, &Settings::default())
}

fn mended_with(text: &str, settings: &Settings) -> String {
    let once = |text: &str| {
        let mended = mend(text.as_bytes(), SectionKind::Games, settings);
        assert_eq!(mended.refused, [], "{text}");
        String::from_utf8(apply(text.as_bytes(), &mended.edits)).expect("UTF-8")
    };
    let first = once(text);
    assert_eq!(once(&first), first, "a second time");
    first
}

#[test]
fn signs_numbers_and_spellings_are_mended_at_once() {
    assert_eq!(
        mended("1. e4 e5 2. Qh5 Ke7 4. Qe5 *\n"),
        "1. e4 e5 2. Qh5 Ke7 3. Qxe5# 1-0\n"
    );
    assert_eq!(
        mended("1. e2-e4 e7-e5 2. Qd1-h5 Ke8-e7 4. Qh5-e5 *\n"),
        "1. e4 e5 2. Qh5 Ke7 3. Qxe5# 1-0\n"
    );
}

#[test]
fn a_sound_text_stays_as_it_is() {
    let text = "1. e4 e5 2. Nf3 Nc6 *\n";
    assert_eq!(mended(text), text);
}

#[test]
fn a_false_sign_is_left_to_the_author_whatever_else_is_mended() {
    assert_eq!(
        mended("1. e2-e4+ d5 2. exd5 Qd5# 3. Nb1xc3 *\n"),
        "1. e4+ d5 2. exd5 Qxd5# 3. Nxc3 *\n"
    );
}

#[test]
fn a_game_in_other_letters_is_rewritten_as_a_whole_or_not_at_all() {
    let german = "1. e4 e5 2. Sf3 Sc6 3. Lb5 a6 4. La4 Sf6 5. 0-0 Le7 *\n";
    let english = "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 Nf6 5. O-O Be7 *\n";
    assert_eq!(mended(german), english);
    // Though a move is wrong, in the main line or beside it.
    assert_eq!(
        mended("1. e4 e5 2. Sf3 Sc6 (2... Se6 3. Lc4) 3. Lb6 a6 4. La4 Dd8 *\n"),
        "1. e4 e5 2. Nf3 Nc6 (2... Ne6 3. Bc4) 3. Bb6 a6 4. Ba4 Qd8 *\n"
    );
    let french = "1. e4 e5 2. Cf3 Cc6 3. Fb5 a6 4. Fa4 Cf6 5. O-O Fe7 *\n";
    assert_eq!(mended(french), english);
    let dutch = "1. d4 Pf6 2. c4 e6 3. Pc3 Lb4 4. Dc2 O-O *\n";
    assert_eq!(
        mended(dutch),
        "1. d4 Nf6 2. c4 e6 3. Nc3 Bb4 4. Qc2 O-O *\n"
    );
    for whole in [
        // Every knight could be a pawn.
        "1. d4 Pf6 2. Pc3 d5 3. Pf3 e6 *\n",
        "1. d4 Pf6 *\n",
        // A slip of the pen that no language reads.
        "1. e4 e5 2. Sf3 Sc6 3. Lb5 Sf9 4. La4 *\n",
        // Letters of two languages.
        "1. e4 e5 2. Sf3 Nc6 3. Lb5 a6 4. La4 Sf6 *\n",
        "1. e4 e5 2. Sf3 Nc6 3. Bb5 a6 4. Ba4 Nf6 *\n",
        // A bishop in English letters, where German has a pawn.
        "1. e4 e5 2. Sf3 Sc6 3. Bc4 Lc5 4. Bc3 *\n",
        // The comment cites moves in the letters of the game.
        "1. e4 e5 2. Sf3 Sc6 {besser als 2...Sf6} 3. Lb5 a6 *\n",
    ] {
        assert_eq!(mended(whole), whole);
    }
}

#[test]
fn letters_that_the_settings_name_stay() {
    let german = Settings {
        language: Some(gainsay_notation::Language::German),
        ..Settings::default()
    };
    assert_eq!(
        mended_with(
            "1. e4 e5 2. Sf3 Sc6 3. Lb5 a6 4. La4 Sf6 5. 0-0 Le7 *\n",
            &german
        ),
        "1. e4 e5 2. Sf3 Sc6 3. Lb5 a6 4. La4 Sf6 5. O-O Le7 *\n"
    );
    assert_eq!(
        mended_with("1. e4 e5 2. Dh5 Ke7 4. De5 *\n", &german),
        "1. e4 e5 2. Dh5 Ke7 3. Dxe5# 1-0\n"
    );
}

#[test]
fn a_guess_is_not_made_for_good() {
    // Which knight, and what the pawn becomes, only the author knows.
    let knights = "1. d4 d5 2. Nf3 Nf6 3. Nd2 *\n";
    assert_eq!(mended(knights), knights);
    let pawn =
        "[Event \"?\"]\n[SetUp \"1\"]\n[FEN \"6k1/P4ppp/8/8/8/8/8/K7 w - - 0 1\"]\n\n1. a7-a8 *\n";
    assert_eq!(mended(pawn), pawn);
}

#[test]
fn results_stand_apart() {
    assert_eq!(mended("1. f3 e5 2. g4 Qh4*\n"), "1. f3 e5 2. g4 Qh4# 0-1\n");
    assert!(
        mended("[Event \"?\"]\n\n1. f3 e5 2. g4 Qh4\n")
            .ends_with("[Result \"0-1\"]\n\n1. f3 e5 2. g4 Qh4# 0-1\n")
    );
    assert!(
        mended("[Event \"?\"]\n\n1. f3 e5 2. g4 Qh4# *\n")
            .ends_with("[Result \"0-1\"]\n\n1. f3 e5 2. g4 Qh4# 0-1\n")
    );
    let roster = "[Event \"?\"]\r\n[Site \"?\"]\r\n[Date \"????.??.??\"]\r\n[Round \"?\"]\r\n\
                  [White \"?\"]\r\n[Black \"?\"]\r\n[Result \"*\"]\r\n\r\n";
    assert_eq!(
        mended(&format!("{roster}1. e4 e5 ;good\r\n")),
        format!("{roster}1. e4 e5 ;good\r\n*\r\n")
    );
    assert_eq!(
        mended(&format!("{roster}1. e4 e5 ;good")),
        format!("{roster}1. e4 e5 ;good\r\n*")
    );
}

#[test]
fn tags_keep_what_they_say() {
    let text = "[Event \"A\"]\n[Site \"?\"]\n[Date \"2024-3-1\"]\n[Round \"?\"]\n[White \"B\"]\n\
                [Black \"C\"]\n[Result \"1/2\"]\n[White \"B\"]\n\n1. e4 1/2-1/2\n";
    assert_eq!(mended(text), text);
}

#[test]
fn marks_are_removed_without_what_is_between_them() {
    assert_eq!(
        mended("1. e4 e5 {a}\u{feff}\n\u{feff}2. Nf3 \u{feff}Nc6 *\n"),
        "1. e4 e5 {a}\n2. Nf3 Nc6 *\n"
    );
}

#[test]
fn what_stands_behind_the_result_is_left_to_the_author() {
    let text = "1. e4 e5 1-0\n\n5. 0-0 *\n";
    assert_eq!(mended(text), text);
}

#[test]
fn a_sign_joins_no_glyph() {
    // With its sign of check, `=` would be another glyph.
    assert_eq!(
        mended("1. e4 e5 2. f4 Qh4= *\n"),
        "1. e4 e5 2. f4 Qh4+ = *\n"
    );
    assert_eq!(
        mended("1. e4 e5 2. f4 Qh4!? *\n"),
        "1. e4 e5 2. f4 Qh4+!? *\n"
    );
}

#[test]
fn edits_touch_where_they_share_bytes_or_an_insertion_has_no_clear_place() {
    assert!(touch(&(3..5), &(4..6)));
    assert!(touch(&(3..5), &(5..5)));
    assert!(touch(&(4..4), &(4..4)));
    assert!(!touch(&(3..5), &(5..6)));
    assert!(!touch(&(3..4), &(5..6)));
}

fn edit(start: usize, end: usize, text: &str) -> Edit {
    Edit {
        span: start..end,
        text: text.to_owned(),
    }
}

#[test]
fn edits_beyond_the_text_are_passed_over() {
    assert_eq!(apply(b"abc", &[edit(1, 2, "x"), edit(7, 9, "x")]), b"axc");
}

#[test]
fn rounds_of_edits_become_one() {
    let text = b"one two three four";
    let rounds = [
        vec![edit(0, 3, "1"), edit(8, 8, "<"), edit(13, 13, ">")],
        vec![edit(0, 1, ""), edit(4, 6, "2 "), edit(14, 14, "!")],
        vec![edit(2, 13, "x"), edit(14, 14, "?")],
    ];
    let mut draft = Draft::of(text);
    let mut now = text.to_vec();
    for edits in &rounds {
        draft.edit(edits);
        now = apply(&now, edits);
        assert_eq!(apply(text, &draft.edits()), now);
    }
    let edits = draft.edits();
    assert!(
        edits
            .windows(2)
            .all(|pair| pair[0].span.end <= pair[1].span.start)
    );
}
