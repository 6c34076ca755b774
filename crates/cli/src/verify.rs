//! `gainsay verify`: replays proofs of mate with code that shares nothing with the
//! prover.

use std::path::Path;

use gainsay::show;
use gainsay_proof::verify;

use crate::{CLEAN, FOUND, TROUBLE, complain};

/// The line that every proof begins with.
const HEAD: &str = "gainsay mate proof ";

/// Replays the proofs of a file and says of each whether it is sound.
pub(crate) fn run(file: &Path) -> u8 {
    let text = match std::fs::read_to_string(file) {
        Ok(text) => text,
        Err(error) => {
            complain(&format!("{}: {error}", file.display()));
            return TROUBLE;
        }
    };
    let proofs = proofs(&text);
    if proofs.is_empty() {
        complain(&format!(
            "{}: no proof in it; one begins with \"{HEAD}1\"",
            file.display()
        ));
        return TROUBLE;
    }
    let mut code = CLEAN;
    for (number, proof) in proofs.iter().enumerate() {
        match verify(proof) {
            Ok(sound) if sound.moves == 0 => println!(
                "sound: {} is mated: {}",
                show::side(!sound.attacker),
                show::fen(&sound.position)
            ),
            Ok(sound) => println!(
                "sound: {} mates in {}, {} positions: {}",
                show::side(sound.attacker),
                sound.moves,
                sound.steps,
                show::fen(&sound.position)
            ),
            Err(error) => {
                code = FOUND;
                println!("rejected: proof {}, {error}", number + 1);
            }
        }
    }
    code
}

/// Cuts a file into proofs, which stand one behind the other.
fn proofs(text: &str) -> Vec<&str> {
    let mut starts: Vec<usize> = text
        .match_indices(HEAD)
        .map(|(at, _)| at)
        .filter(|&at| at == 0 || text[..at].ends_with('\n'))
        .collect();
    starts.push(text.len());
    starts
        .windows(2)
        .map(|pair| &text[pair[0]..pair[1]])
        .collect()
}
