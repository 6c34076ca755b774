//! `gainsay verify`: replays proofs of mate with code that shares nothing with the
//! prover.

use std::{
    fs::File,
    io::{self, BufWriter, Write},
    path::Path,
};

use gainsay::{Format, show};
use gainsay_proof::verify;

use crate::{
    exit::{CLEAN, FOUND, TROUBLE},
    print::{self, complain, done, line},
};

/// The line that every proof begins with.
const HEAD: &str = "gainsay mate proof ";

/// How the last line of a proof begins.
const END: &str = "end ";

/// How a line begins that says what the next proof belongs to.
const LABEL: &str = "# ";

/// A proof and what it belongs to.
#[derive(Debug, Default, PartialEq, Eq)]
struct Labelled {
    label: String,
    proof: String,
}

/// The file that proofs are written to, unless games or positions seem to stand in its place.
pub(crate) fn create(path: &Path) -> io::Result<File> {
    if Format::from_path(path).is_some() && path.exists() {
        let told = "it has the name of a file of games or positions, and is there already";
        return Err(io::Error::new(io::ErrorKind::AlreadyExists, told));
    }
    File::create(path)
}

/// Writes what a proof belongs to, to stand before it.
pub(crate) fn label(out: &mut impl Write, label: &str) -> io::Result<()> {
    writeln!(out, "{LABEL}{}", line(label))
}

/// Replays the proofs of a file and says of each whether it is sound.
pub(crate) fn run(file: &Path) -> u8 {
    let text = match std::fs::read(file) {
        Ok(bytes) => String::from_utf8_lossy(&bytes).into_owned(),
        Err(error) => {
            complain(&format!("{}: {error}", print::name(file)));
            return TROUBLE;
        }
    };
    let proofs = proofs(&text);
    if proofs.is_empty() {
        complain(&format!(
            "{}: no proof in it; one begins with \"{HEAD}1\"",
            print::name(file)
        ));
        return TROUBLE;
    }
    let mut code = CLEAN;
    let mut out = BufWriter::new(io::stdout());
    let told = (proofs.iter().enumerate())
        .try_for_each(|(number, proof)| tell(&mut out, number + 1, proof, &mut code))
        .and_then(|()| out.flush());
    done(told, "the results", code)
}

fn tell(out: &mut impl Write, number: usize, proof: &Labelled, code: &mut u8) -> io::Result<()> {
    let of = match proof.label.as_str() {
        "" => String::new(),
        label => format!(" ({})", line(label)),
    };
    match verify(&proof.proof) {
        Ok(sound) if sound.moves == 0 => writeln!(
            out,
            "sound: {} is mated{of}: {}",
            show::side(!sound.attacker),
            show::fen(&sound.position)
        ),
        Ok(sound) => writeln!(
            out,
            "sound: {} mates in {}, {}{of}: {}",
            show::side(sound.attacker),
            sound.moves,
            show::counted(sound.steps as u64, "position"),
            show::fen(&sound.position)
        ),
        Err(error) => {
            *code = FOUND;
            writeln!(
                out,
                "rejected: proof {number}{of}, {}",
                line(&error.to_string())
            )
        }
    }
}

/// Cuts a file into proofs, which stand one behind the other. A proof begins with its first
/// line and behind the last line of the one before, so that one of which either is gone is
/// rejected and not passed over.
fn proofs(text: &str) -> Vec<Labelled> {
    let mut all = Vec::new();
    let mut next = Labelled::default();
    let mut finish = |next: &mut Labelled| {
        if !next.proof.trim().is_empty() {
            all.push(std::mem::take(next));
        }
    };
    for line in text.split_inclusive('\n') {
        if let Some(label) = line.strip_prefix(LABEL) {
            finish(&mut next);
            label.trim().clone_into(&mut next.label);
            continue;
        }
        if line.starts_with(HEAD) {
            finish(&mut next);
        }
        if next.proof.is_empty() && line.trim().is_empty() {
            continue;
        }
        next.proof.push_str(line);
        if line.starts_with(END) {
            finish(&mut next);
        }
    }
    finish(&mut next);
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_part_of_a_file_is_passed_over() {
        let whole =
            "# a.pgn, game 1\ngainsay mate proof 1\nx\nend 1\n\ngainsay mate proof 1\ny\nend 2\n";
        let cut = |text: &str| -> Vec<(String, String)> {
            let cut = proofs(text).into_iter();
            cut.map(|one| (one.label, one.proof)).collect()
        };
        let first = "gainsay mate proof 1\nx\nend 1\n";
        let second = (String::new(), "gainsay mate proof 1\ny\nend 2\n".to_owned());
        let label = "a.pgn, game 1".to_owned();
        assert_eq!(
            cut(whole),
            [(label.clone(), first.to_owned()), second.clone()]
        );
        // The first line is gone, and the last.
        let headless = whole.replacen("gainsay mate proof 1\n", "", 1);
        assert_eq!(
            cut(&headless),
            [(label.clone(), "x\nend 1\n".to_owned()), second.clone()]
        );
        let endless = whole.replacen("end 1\n", "", 1);
        assert_eq!(
            cut(&endless),
            [(label, "gainsay mate proof 1\nx\n\n".to_owned()), second]
        );
        assert_eq!(cut("\n# only a label\n"), []);
    }
}
