//! The kept corpora of `tests/fuzz`, and mutations of them, keep every promise. This is what
//! holds where no fuzzer can be built; it finds what is easy to find.

use std::{
    panic::{AssertUnwindSafe, catch_unwind},
    path::Path,
};

use gainsay_tests::{Random, fuzzing::TARGETS};

/// Makes a few changes: a byte turned, bytes left out, doubled, or taken from another text.
fn mutated(text: &[u8], other: &[u8], random: &mut Random) -> Vec<u8> {
    let mut text = text.to_vec();
    for _ in 0..=random.below(4) {
        let at = random.below(text.len() + 1);
        let end = (at + random.below(12)).min(text.len());
        match random.below(4) {
            0 if at < text.len() => text[at] = random.below(256) as u8,
            1 => drop(text.drain(at..end)),
            2 => {
                let doubled = text[at..end].to_vec();
                drop(text.splice(at..at, doubled));
            }
            _ => {
                let from = random.below(other.len() + 1);
                let to = (from + random.below(12)).min(other.len());
                drop(text.splice(at..end, other[from..to].iter().copied()));
            }
        }
    }
    text
}

fn corpus(target: &str) -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/corpus");
    let files = std::fs::read_dir(folder.join(target)).expect("every target has a corpus");
    let mut paths: Vec<_> = files.map(|file| file.unwrap().path()).collect();
    paths.sort();
    let inputs: Vec<Vec<u8>> = paths
        .iter()
        .map(|path| std::fs::read(path).unwrap())
        .collect();
    assert!(inputs.len() > 2, "{target} has seeds");
    inputs
}

#[test]
fn every_promise_is_kept() {
    for (name, target) in TARGETS {
        let inputs = corpus(name);
        let mut random = Random::new(0x9e37_79b9_7f4a_7c15);
        let mut tried = inputs.clone();
        for input in &inputs {
            for _ in 0..100 {
                let other = &inputs[random.below(inputs.len())];
                tried.push(mutated(input, other, &mut random));
            }
        }
        tried.push(Vec::new());
        for input in tried {
            let kept = catch_unwind(AssertUnwindSafe(|| target(&input)));
            assert!(
                kept.is_ok(),
                "{name} breaks a promise of {:?}",
                String::from_utf8_lossy(&input)
            );
        }
    }
}

#[test]
fn every_target_has_a_program_that_looks_for_inputs() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/src/bin");
    let files = std::fs::read_dir(folder).unwrap();
    let mut programs: Vec<String> = files
        .map(|file| file.unwrap().path())
        .map(|path| path.file_stem().unwrap().to_string_lossy().into_owned())
        .collect();
    programs.sort();
    let mut names: Vec<&str> = TARGETS.iter().map(|(name, _)| *name).collect();
    names.sort_unstable();
    assert_eq!(programs, names);
}
