//! What can be done about a finding or a claim: through a client, the edits made.

mod client;

use client::{Client, applied, range_of, titled};
use serde_json::{Value, json};
use shakmaty::{
    CastlingMode, Chess, Position,
    fen::Fen,
    san::{San, SanPlus},
};

const URI: &str = "file:///book/column.pgn";

/// A client with related places and versioned edits, and a document that is settled.
async fn open(language: &str, text: &str, options: Value) -> Client {
    let capabilities = json!({
        "workspace": {"workspaceEdit": {"documentChanges": true}},
        "textDocument": {"publishDiagnostics": {"relatedInformation": true}}
    });
    let mut client = Client::start_with(capabilities, options).await;
    client.open_as(URI, language, 1, text).await;
    client.published(URI, 1).await;
    client.all_settled(URI).await;
    client.settle(std::time::Duration::from_millis(200)).await;
    client
}

/// The text after the edits of the action whose title holds `words`.
fn after(text: &str, actions: &[Value], words: &str) -> String {
    let action = titled(actions, words);
    applied(text, &action["edit"]["documentChanges"][0]["edits"])
}

fn found<'c>(client: &'c Client, code: &str) -> &'c Value {
    let found = &client.published[URI].1;
    found
        .iter()
        .find(|found| found["code"] == code)
        .unwrap_or_else(|| panic!("{code} in {found:#?}"))
}

/// Two rooks cut the king off: 1. Rb7 Kg8 2. Ra8#, and nothing mates at once (invented).
const EXERCISE: &str =
    "[SetUp \"1\"]\n[FEN \"7k/8/R7/1R6/8/8/8/K7 w - - 0 1\"]\n\n{White mates in two.} 1. Kb2 *\n";

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_refuting_line_becomes_a_side_line() {
    // The king slips out through the hole at h7, whatever White plays.
    let text = "[SetUp \"1\"]\n[FEN \"6k1/5pp1/7p/8/8/8/8/R3K3 w - - 0 1\"]\n\n{White mates in two.} 1. Ra7 *\n";
    let mut client = open("pgn", text, Value::Null).await;
    let finding = found(&client, "false-mate").clone();
    let line = finding["data"]["evidence"][0].as_str().expect("a line");
    let offered = client.actions(URI, &finding["range"]).await;
    let action = titled(&offered, "as a side-line");
    assert_eq!(action["kind"], "quickfix");
    assert_eq!(action["diagnostics"][0]["code"], "false-mate");
    let mended = after(text, &offered, "as a side-line");
    assert!(mended.contains(&format!("1. Ra7 ({line})")), "{mended}");
    // What is inserted can be played.
    let report = gainsay::check(mended.as_bytes(), &gainsay::Settings::default());
    let rules: Vec<&str> = report
        .findings
        .iter()
        .map(|found| found.rule.name)
        .collect();
    assert!(!rules.contains(&"illegal-move"), "{mended}");
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_side_line_begins_where_it_leaves_the_game() {
    let lesson = |moves: &str| {
        format!(
            "[SetUp \"1\"]\n[FEN \"6k1/6p1/8/8/8/8/8/R3K3 w - - 0 1\"]\n\n\
             {{White mates in two.}} {moves} *\n"
        )
    };
    let client = open("pgn", &lesson("1. Kd2"), Value::Null).await;
    let finding = found(&client, "false-mate").clone();
    let line = finding["data"]["evidence"][0].as_str().expect("a line");
    let words: Vec<&str> = line.split(' ').collect();
    let [_, first, reply, ..] = words.as_slice() else {
        panic!("a move and its reply in {line}");
    };
    client.stop().await;
    // The game begins in the same way, and goes on with another reply.
    let fen: Fen = "6k1/6p1/8/8/8/8/8/R3K3 w - - 0 1".parse().expect("FEN");
    let start: Chess = fen.into_position(CastlingMode::Standard).expect("legal");
    let played: SanPlus = first.parse().expect("a move");
    let after_it = start
        .clone()
        .play(played.san.to_move(&start).expect("legal"))
        .expect("legal");
    let other = after_it
        .legal_moves()
        .into_iter()
        .map(|m| San::from_move(&after_it, m).to_string())
        .find(|other| other != reply)
        .expect("two replies");
    let text = lesson(&format!("1. {first} {other}"));
    let mut client = open("pgn", &text, Value::Null).await;
    let finding = found(&client, "false-mate").clone();
    let offered = client.actions(URI, &finding["range"]).await;
    let mended = after(&text, &offered, "as a side-line");
    let expected = format!("1. {first} {other} (1... {reply}");
    assert!(mended.contains(&expected), "{expected} in {mended}");
    client.stop().await;
    // The game ends before the line does.
    let text = lesson(&format!("1. {first}"));
    let mut client = open("pgn", &text, Value::Null).await;
    let finding = found(&client, "false-mate").clone();
    let offered = client.actions(URI, &finding["range"]).await;
    let mended = after(&text, &offered, "as the continuation");
    let expected = format!("1. {first} 1... {reply}");
    assert!(mended.contains(&expected), "{expected} in {mended}");
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_proof_of_a_claim_is_inserted() {
    let mut client = open("pgn", EXERCISE, Value::Null).await;
    let claim = range_of(EXERCISE, "mates in two");
    let offered = client.actions(URI, &claim).await;
    let proved = after(EXERCISE, &offered, "the proof of");
    // The side-line begins where the game does, and ends with mate.
    assert!(proved.contains("1. Kb2 (1. R"), "{proved}");
    assert!(proved.contains("#)"), "{proved}");
    let report = gainsay::check(proved.as_bytes(), &gainsay::Settings::default());
    assert_eq!(report.count(gainsay::Severity::Error), 0, "{report:?}");
    client.stop().await;

    // Where the game ends, the proof goes on with it.
    let text = EXERCISE.replace(" 1. Kb2", "");
    let mut client = open("pgn", &text, Value::Null).await;
    let offered = client.actions(URI, &range_of(&text, "mates in two")).await;
    let proved = after(&text, &offered, "as the continuation");
    assert!(
        proved.contains("two.} 1. R") && proved.contains("# *"),
        "{proved}"
    );
    client.stop().await;

    // A mate by White is no continuation of a game that Black has won.
    let text = text.replace('*', "0-1");
    let mut client = open("pgn", &text, Value::Null).await;
    let offered = client.actions(URI, &range_of(&text, "mates in two")).await;
    let titles: Vec<&str> = offered
        .iter()
        .map(|action| action["title"].as_str().expect("a title"))
        .collect();
    assert!(
        !titles
            .iter()
            .any(|title| title.contains("as the continuation")),
        "{titles:?}"
    );
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_proof_is_inserted_with_every_defence() {
    // The same with a knight, which has moves of its own.
    for (moves, before, behind) in [
        (" 1. Kb2", "1. Kb2 (1. Ra7 ", "2. Rb8#) *"),
        ("", "two.} 1. Ra7 ", "2. Rb8# *"),
    ] {
        let text = format!(
            "[SetUp \"1\"]\n[FEN \"7k/8/1R6/R7/8/8/8/K5n1 w - - 0 1\"]\n\n\
             {{White mates in two.}}{moves} *\n"
        );
        let mut client = open("pgn", &text, Value::Null).await;
        let offered = client.actions(URI, &range_of(&text, "mates in two")).await;
        let proved = after(&text, &offered, "with every defence");
        assert!(
            proved.contains(before) && proved.contains(behind),
            "{proved}"
        );
        // Three moves of the knight and one of the king are answered.
        assert_eq!(proved.matches("2. Rb8#").count(), 4, "{proved}");
        assert_eq!(proved.matches("(1... ").count(), 3, "{proved}");
        let report = gainsay::check(proved.as_bytes(), &gainsay::Settings::default());
        assert_eq!(report.count(gainsay::Severity::Error), 0, "{report:?}");
        client.stop().await;
    }
    // Where the defender has no choice there is nothing to add.
    let mut client = open("pgn", EXERCISE, Value::Null).await;
    let claim = range_of(EXERCISE, "mates in two");
    let offered = client.actions(URI, &claim).await;
    assert!(!format!("{offered:?}").contains("every defence"));
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_false_number_is_replaced_by_the_true_one() {
    for (language, text, words, right) in [
        (
            "pgn",
            EXERCISE.replace("in two", "in one"),
            "in one",
            "mates in two",
        ),
        (
            "pgn",
            EXERCISE.replace("in two", "in 1"),
            "in 1",
            "mates in 2",
        ),
        (
            "pgn",
            // The king can go to g8, g7 and h7.
            EXERCISE.replace(
                "{White mates in two.} 1. Kb2",
                "1. Kb2 {Black has four legal moves.} Kg8",
            ),
            "four legal moves",
            "Black has three legal moves.",
        ),
        (
            "epd",
            "7k/R7/1R6/8/8/8/8/K7 w - - dm 4; id \"a\";\n".to_owned(),
            "dm 4",
            "dm 1;",
        ),
    ] {
        let mut client = open(language, &text, Value::Null).await;
        let code = if words.contains("legal") {
            "not-the-only-move"
        } else {
            "false-mate"
        };
        let finding = found(&client, code).clone();
        let offered = client.actions(URI, &finding["range"]).await;
        let right = if language == "epd" {
            // Whatever the number is, it is the one that the message tells.
            let message = finding["message"].as_str().expect("a message");
            let number = message.split("in ").nth(1).expect("a number");
            format!("dm {};", number.split(',').next().expect("a number"))
        } else {
            right.to_owned()
        };
        let mended = after(&text, &offered, "Write ");
        assert!(mended.contains(&right), "{words}: {mended}");
        client
            .notify(
                "textDocument/didChange",
                json!({"textDocument": {"uri": URI, "version": 2},
                       "contentChanges": [{"text": mended}]}),
            )
            .await;
        let counts = client.all_settled(URI).await;
        assert_eq!(counts["claims"]["fails"], 0, "{mended}: {counts}");
        client.stop().await;
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_line_or_the_whole_game_is_tidied() {
    let text = "1. e4 e5 (3... c7-c5 3. Nf3 (5. Nc3 Nc6) d6) 5. Bc4 *\n";
    let mut client = open("pgn", text, Value::Null).await;
    let offered = client.actions(URI, &range_of(text, "c7-c5")).await;
    assert_eq!(
        after(text, &offered, "numbers of this line"),
        "1. e4 e5 (1... c7-c5 2. Nf3 (5. Nc3 Nc6) d6) 5. Bc4 *\n"
    );
    assert_eq!(
        after(text, &offered, "numbers of this game"),
        "1. e4 e5 (1... c7-c5 2. Nf3 (2. Nc3 Nc6) d6) 2. Bc4 *\n"
    );
    assert_eq!(
        after(text, &offered, "moves of this line"),
        text.replace("c7-c5", "c5")
    );
    // In the main line there is no line apart from the game.
    let offered = client.actions(URI, &range_of(text, "Bc4")).await;
    let titles: Vec<&str> = offered
        .iter()
        .filter_map(|action| action["title"].as_str())
        .collect();
    assert!(
        !titles.iter().any(|title| title.contains("of this line")),
        "{titles:?}"
    );
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn findings_point_at_other_places_and_at_the_page_of_their_rule() {
    let text = "[Event \"a\"]\n[Event \"b\"]\n[Result \"*\"]\n\n1. e4 e5 (1... c5 2. Nf3 {open *\n";
    let client = open(
        "pgn",
        text,
        json!({"rulePages": "https://example.org/rules#"}),
    )
    .await;
    let double = found(&client, "duplicate-tag");
    let earlier = &double["relatedInformation"][0];
    assert_eq!(earlier["location"]["uri"], URI);
    assert_eq!(earlier["location"]["range"]["start"]["line"], 0);
    assert_eq!(
        double["codeDescription"]["href"],
        "https://example.org/rules#duplicate-tag"
    );
    // The brace that opens is where the finding itself stands.
    let brace = found(&client, "unclosed-comment");
    assert_eq!(brace["range"]["start"], range_of(text, "{open")["start"]);
    client.stop().await;

    let text = "1. Ngf3 d5 *\n";
    let client = open("pgn", text, Value::Null).await;
    let faded = found(&client, "needless-origin");
    // DiagnosticTag.Unnecessary.
    assert_eq!(faded["tags"], json!([1]));
    assert!(faded.get("codeDescription").is_none());
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_way_to_the_end_is_no_continuation() {
    // The finding is shown by the move that was played, not by one that could follow.
    let text = "[SetUp \"1\"]\n[FEN \"7k/8/8/1R6/8/8/8/KR6 w - - 0 1\"]\n\n1. Rg5 Kh7 2. Rh1# *\n";
    let mut client = open("pgn", text, Value::Null).await;
    let finding = found(&client, "result-left-open").clone();
    let offered = client.actions(URI, &finding["range"]).await;
    let titles: Vec<&str> = offered
        .iter()
        .filter_map(|action| action["title"].as_str())
        .collect();
    assert!(titles.contains(&"Write 1-0"), "{titles:?}");
    assert!(
        !titles
            .iter()
            .any(|title| title.contains("as the continuation")),
        "{titles:?}"
    );
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_is_inserted_stands_behind_a_comment_up_to_the_end_of_its_line() {
    let text = EXERCISE.replace("1. Kb2 *", "1. Kb2 ; a quiet move\n*");
    let mut client = open("pgn", &text, Value::Null).await;
    let offered = client.actions(URI, &range_of(&text, "mates in two")).await;
    let proved = after(&text, &offered, "as a side-line: the proof of");
    assert!(proved.contains("; a quiet move\n(1. R"), "{proved}");
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_game_in_other_letters_is_mended_and_proved_in_its_own_way() {
    let tags = "[Event \"?\"]\n[Site \"?\"]\n[Date \"????.??.??\"]\n[Round \"?\"]\n[White \"?\"]\n\
                [Black \"?\"]\n[Result \"*\"]\n\n";
    let text = format!("{tags}1. d4 Pf6 2. c4 e6 3. Pc3 Lb4 4. Dc2 0-0 5. Pd6 *\n");
    let mut client = open("pgn", &text, Value::Null).await;
    let offered = client.actions(URI, &range_of(&text, "Lb4")).await;
    assert_eq!(
        after(&text, &offered, "Mend all"),
        format!("{tags}1. d4 Nf6 2. c4 e6 3. Nc3 Bb4 4. Qc2 O-O 5. Nd6 *\n")
    );
    client.stop().await;
    // Moves that are inserted are in the letters of the game.
    let text = EXERCISE.replace("1. Kb2 *", "1. Td5 (1. Th6+) *");
    let mut client = open("pgn", &text, Value::Null).await;
    let offered = client.actions(URI, &range_of(&text, "mates in two")).await;
    let proved = after(&text, &offered, "as a side-line: the proof of");
    assert!(
        proved.contains("(1. T") && !proved.contains("1. R"),
        "{proved}"
    );
    client.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn old_notation_is_written_in_algebraic() {
    let text = "[White \"Ada\"]\n\n1. P-K4 P-K4 2. Kt-KB3 {threatens KtxP} Kt-QB3 *\n";
    let mut client = open("pgn", text, Value::Null).await;
    let place = range_of(text, "P-K4 P-K4");
    let offered = client.actions(URI, &place).await;
    assert_eq!(
        after(text, &offered, "old notation"),
        "[White \"Ada\"]\n\n1. e4 e5 2. Nf3 {threatens Nxe5} Nc6 *\n"
    );
    client.stop().await;
}
