//! `gainsay check --mend`: safe remedies are written to the file, and nothing else is.

mod common;

use std::fs;

use common::{check, check_input};
use tempfile::TempDir;

/// A wrong number, a missing mate sign, an odd spelling, and two things that only the
/// author can mend: an illegal move and a false claim.
const TEXT: &[u8] =
    b"[White \"B\xf6ck\"]\r\n\r\n1. e4 e5 3. Qh5 Ke7 {A mate in six, she na\xefvely \
    says.} 3. Qxe5\r\n(3. Ke4) 1-0\r\n";

#[test]
fn safe_remedies_are_made_and_the_rest_is_told() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("lesson.pgn");
    fs::write(&path, TEXT).expect("a file");
    let before = check(folder.path(), &["--show", "hint", "lesson.pgn"]);
    assert!(before.out.contains("missing-mate-sign"), "{}", before.out);
    let run = check(folder.path(), &["--mend", "--show", "hint", "lesson.pgn"]);
    assert!(run.err.contains("lesson.pgn"), "{}", run.err);
    assert!(run.err.contains("made"), "{}", run.err);
    assert_eq!(run.code, Some(1), "{}", run.out);
    assert!(run.out.contains("illegal-move"), "{}", run.out);
    assert!(!run.out.contains("missing-mate-sign"), "{}", run.out);
    let mended = fs::read(&path).expect("the file");
    let has = |bytes: &[u8]| mended.windows(bytes.len()).any(|window| window == bytes);
    assert!(has(b"2. Qh5 Ke7"));
    assert!(has(b"3. Qxe5#\r\n(3. Ke4) 1-0\r\n"));
    // What is not edited stays as it is to the byte.
    assert!(has(b"B\xf6ck") && has(b"na\xefvely"));
    // Nothing is left to mend, so the file is not written again.
    let again = check(folder.path(), &["--mend", "--show", "hint", "lesson.pgn"]);
    assert_eq!(again.err, "");
    assert_eq!(again.out, run.out);
    assert_eq!(fs::read(&path).expect("the file"), mended);
    let files = fs::read_dir(folder.path()).expect("the folder").count();
    assert_eq!(files, 1, "no half-written file stays");
}

#[test]
fn only_the_rules_that_were_asked_for_mend() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("lesson.pgn");
    fs::write(&path, TEXT).expect("a file");
    check(
        folder.path(),
        &["--mend", "--without", "missing-mate-sign", "lesson.pgn"],
    );
    let mended = fs::read(&path).expect("the file");
    let has = |bytes: &[u8]| mended.windows(bytes.len()).any(|window| window == bytes);
    assert!(has(b"2. Qh5 Ke7") && has(b"Qxe5\r\n"));
}

#[test]
fn old_notation_becomes_algebraic() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("old.md");
    let text = "# Old\n\n```pgn\n1. P-K4 P-K4 2. Kt-KB3 Kt-QB3 3. B-Kt5 ch *\n```\n\n\
                After 2. Kt-KB3, P-Q3; 3. P-Q4 White is better.\n";
    fs::write(&path, text).expect("a file");
    let shown = check(folder.path(), &["--export=German", "--dry-run", "old.md"]);
    assert_eq!(shown.code, Some(1), "{}", shown.err);
    assert!(
        shown.out.contains("+1. e4 e5 2. Sf3 Sc6 3. Lb5+ *"),
        "{}",
        shown.out
    );
    assert_eq!(fs::read_to_string(&path).expect("the file"), text);
    let run = check(folder.path(), &["--export", "old.md"]);
    assert!(run.err.contains("8 moves written"), "{}", run.err);
    // The sign of check is false, and stays so.
    assert!(run.out.contains("false-check-sign"), "{}", run.out);
    let after = fs::read_to_string(&path).expect("the file");
    assert!(after.contains("1. e4 e5 2. Nf3 Nc6 3. Bb5+ *"), "{after}");
    assert!(after.contains("After 2. Nf3, d6; 3. d4 White"), "{after}");
}

#[cfg(unix)]
#[test]
fn rights_and_links_stay() {
    use std::os::unix::fs::{PermissionsExt as _, symlink};
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("lesson.pgn");
    fs::write(&path, TEXT).expect("a file");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).expect("rights");
    symlink("lesson.pgn", folder.path().join("link.pgn")).expect("a link");
    check(folder.path(), &["--mend", "link.pgn"]);
    assert_ne!(fs::read(&path).expect("the file"), TEXT);
    let rights = fs::metadata(&path).expect("the file").permissions();
    assert_eq!(rights.mode() & 0o777, 0o640);
    let link = fs::symlink_metadata(folder.path().join("link.pgn")).expect("the link");
    assert!(link.is_symlink());
}

#[test]
fn standard_input_cannot_be_mended() {
    let folder = TempDir::new().expect("a folder");
    let run = check_input(folder.path(), &["--mend", "-"], TEXT);
    assert_eq!(run.code, Some(2));
    assert!(run.err.contains("standard input"), "{}", run.err);
}

#[test]
fn a_dry_run_shows_a_diff_and_writes_nothing() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("lesson.pgn");
    // Line ends stay what they are, and letters that are no ASCII.
    fs::write(
        &path,
        "[White \"Zoë\"]\n\n1. e4 e5 3. Qh5 Ke7\n{naïve} 3. Qe5 *\n",
    )
    .expect("a file");
    let before = fs::read(&path).expect("the file");
    let only = ["--only", "capture-sign", "--only", "missing-mate-sign"];
    let run = check(
        folder.path(),
        &[&["--mend", "--dry-run"], &only[..], &["lesson.pgn"]].concat(),
    );
    assert_eq!(
        run.out,
        "--- lesson.pgn\n+++ lesson.pgn\n@@ -1,4 +1,4 @@\n [White \"Zoë\"]\n \n \
         1. e4 e5 3. Qh5 Ke7\n-{naïve} 3. Qe5 *\n+{naïve} 3. Qxe5# *\n"
    );
    assert_eq!(run.code, Some(1));
    assert_eq!(run.err, "");
    assert_eq!(fs::read(&path).expect("the file"), before);
    check(
        folder.path(),
        &[&["--mend"], &only[..], &["lesson.pgn"]].concat(),
    );
    assert_ne!(fs::read(&path).expect("the file"), before);
    let again = check(
        folder.path(),
        &[&["--mend", "--dry-run"], &only[..], &["lesson.pgn"]].concat(),
    );
    assert_eq!((again.code, again.out.as_str()), (Some(0), ""));
}

#[test]
fn a_game_of_many_mistakes_is_mended_in_one_run() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("lesson.pgn");
    // Every number is off by one more than the last.
    let mut text = String::new();
    let turn = ["Nf3 Nf6", "Ng1 Ng8"];
    for (number, moves) in (1..=40).zip(turn.into_iter().cycle()) {
        text.push_str(&format!("{}. {moves}\n", number * 2));
    }
    fs::write(&path, &text).expect("a file");
    let run = check(folder.path(), &["--mend", "--no-claims", "lesson.pgn"]);
    assert!(run.err.contains("40 safe edits made"), "{}", run.err);
    let mended = fs::read_to_string(&path).expect("the file");
    assert!(mended.ends_with("40. Ng1 Ng8\n"), "{mended}");
    let again = check(folder.path(), &["--mend", "--no-claims", "lesson.pgn"]);
    assert_eq!(again.err, "");
}

#[cfg(unix)]
#[test]
fn what_would_lose_something_is_refused_with_a_sentence() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("lesson.pgn");
    fs::write(&path, TEXT).expect("a file");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).expect("rights");
    let run = check(folder.path(), &["--mend", "lesson.pgn"]);
    assert_eq!(run.code, Some(2));
    assert!(run.err.contains("may only be read"), "{}", run.err);
    fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).expect("rights");
    fs::hard_link(&path, folder.path().join("other.pgn")).expect("a link");
    let run = check(folder.path(), &["--mend", "lesson.pgn"]);
    assert_eq!(run.code, Some(2));
    assert!(run.err.contains("2 names (hard links)"), "{}", run.err);
    assert_eq!(fs::read(&path).expect("the file"), TEXT);
}

/// However a save and a run fall together, the author's words stand afterwards.
#[test]
fn a_save_while_mending_is_never_lost() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("book.pgn");
    let game = "[Event \"A\"]\n[Result \"*\"]\n\n1. e4 e5 3. Qh5 Ke7 3. Qe5 *\n\n";
    let old = game.repeat(400);
    let (mut changed, mut mended) = (0, 0);
    for round in 0_u64..40 {
        fs::write(&path, &old).expect("a file");
        let saved = format!("{old}{{saved in round {round}}}\n");
        let mut run = common::command(folder.path());
        run.args(["check", "--mend", "--no-claims", "--no-cache", "book.pgn"])
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::piped());
        let run = run.spawn().expect("it starts");
        std::thread::sleep(std::time::Duration::from_millis(round * 4));
        // Editors write in place or put a new file in the place of the old one.
        if round % 2 == 0 {
            fs::write(&path, &saved).expect("a save");
        } else {
            let beside = folder.path().join("book.pgn~");
            fs::write(&beside, &saved).expect("a save");
            fs::rename(&beside, &path).expect("a save");
        }
        let run = run.wait_with_output().expect("it ends");
        let told = String::from_utf8(run.stderr).expect("UTF-8");
        let now = fs::read_to_string(&path).expect("the file");
        let mark = format!("{{saved in round {round}}}");
        assert!(now.contains(&mark), "round {round} is lost: {told}");
        if told.contains("somebody else wrote it") {
            changed += 1;
            assert_eq!(now, saved, "round {round}");
        }
        mended += usize::from(now != saved);
        let files = fs::read_dir(folder.path()).expect("the folder").count();
        assert_eq!(files, 1, "round {round} leaves something: {told}");
    }
    println!("{changed} runs were told of the save, {mended} mended what was saved");
}

/// A run that is killed leaves the old text or the new one.
#[test]
fn a_mending_that_is_killed_leaves_the_old_text_or_the_new() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("book.pgn");
    let game = "[Event \"A\"]\n[Result \"*\"]\n\n1. e4 e5 3. Qh5 Ke7 3. Qe5 *\n\n";
    let old = game.repeat(400);
    let run = || {
        let mut run = common::command(folder.path());
        run.args(["check", "--mend", "--no-claims", "--no-cache", "book.pgn"])
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null());
        run
    };
    fs::write(&path, &old).expect("a file");
    let begun = std::time::Instant::now();
    run().status().expect("it ends");
    let whole = begun.elapsed();
    let new = fs::read_to_string(&path).expect("the file");
    assert_ne!(new, old);
    let mut seen = [0, 0];
    for round in 0_u32..40 {
        fs::write(&path, &old).expect("a file");
        let mut killed = run().spawn().expect("it starts");
        // From its beginning to well behind its end.
        std::thread::sleep(whole * round / 30);
        // The signal that cannot be caught.
        let _ = killed.kill();
        killed.wait().expect("it ends");
        let now = fs::read_to_string(&path).expect("the file");
        assert!(now == old || now == new, "round {round} leaves half a text");
        seen[usize::from(now == new)] += 1;
    }
    println!("{} left the old text, {} the new", seen[0], seen[1]);
    fs::write(&path, &old).expect("a file");
    run().status().expect("it ends");
    assert_eq!(fs::read_to_string(&path).expect("the file"), new);
    // What killed runs left is ours by its name, and swept once it is a minute old.
    for entry in fs::read_dir(folder.path()).expect("the folder") {
        let name = entry.expect("an entry").file_name();
        let name = name.to_string_lossy();
        let ours = name == "book.pgn" || name.starts_with(".gainsay-mend-");
        assert!(ours, "{name}");
    }
}
