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
