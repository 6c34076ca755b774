//! Proofs of mate: every one verifies, and no tampered one does.

use gainsay_proof::{Budget, MateProver, Others, Proof, Verdict, verify};
use shakmaty::Position;

use crate::{Numbers, brute::Brute, position};

/// The proof of a mate by the side to move, or of the side to move.
fn proved(fen: &str, nodes: u64) -> Proof {
    let position = position(fen);
    let mut prover = MateProver::new(16 << 20);
    let mut answer = prover.mate(&position, &mut Budget::nodes(nodes));
    let mut first = 1;
    if answer.verdict != Verdict::Holds {
        answer = prover.mated(&position, None, &mut Budget::nodes(nodes));
        first = 0;
    }
    assert_eq!(answer.verdict, Verdict::Holds, "{fen}");
    let proof = answer.proof.unwrap();
    assert_eq!(answer.line, proof.main_line());
    assert_eq!(answer.line.len() as u32, 2 * proof.moves() - first);
    let mut last = position.clone();
    for m in answer.line {
        last = last.play(m).unwrap();
    }
    assert!(last.is_checkmate());
    assert_eq!(last.turn(), !proof.attacker());
    assert_eq!(proof.attacker() == position.turn(), first == 1);
    proof
}

/// Invented positions and elementary endings, with the moves of a proof that is
/// known to exist. In the last four the side to move is mated.
const MATES: [(&str, u32); 10] = [
    ("6k1/5ppp/8/8/8/8/5PPP/3R2K1 w - - 0 1", 1),
    ("7k/8/5K2/6R1/8/8/8/8 w - - 0 1", 2),
    ("8/8/8/8/8/5k2/7q/5K1R b - - 0 1", 1),
    ("n1rb4/1p3p1p/1p6/1R5K/8/p3p1PN/1PP1R3/N6k w - - 0 1", 5),
    ("1k6/8/8/3K4/8/8/8/7Q w - - 0 1", 5),
    ("7k/8/4K3/6R1/8/8/8/8 w - - 40 80", 4),
    ("7k/R7/1R6/8/8/8/8/K7 b - - 0 1", 1),
    ("7k/8/4K3/6R1/8/8/8/8 b - - 0 1", 3),
    ("k7/pp6/8/8/8/8/8/1RK4Q b - - 96 60", 1),
    ("1k6/8/3K4/8/8/8/8/7Q b - - 0 1", 4),
];

#[test]
fn the_documented_example_is_what_is_written() {
    let proof = proved("8/8/8/8/3N4/p7/k1K5/8 w - - 0 1", 100_000);
    assert_eq!(
        proof.to_string(),
        "gainsay mate proof 1\n\
         position 8/8/8/8/3N4/p7/k1K5/8 w - - 0 1\n\
         moves 3\n\
         d4e2 1\n\
         e2c1 c1b3\n\
         end ef84a6b893ce19f2\n"
    );
}

#[test]
fn a_proof_about_the_side_to_move_begins_with_its_replies() {
    let proof = proved("7k/R7/1R6/8/8/8/8/K7 b - - 0 1", 100_000);
    assert_eq!(
        proof.to_string(),
        "gainsay mate proof 1\n\
         position 7k/R7/1R6/8/8/8/8/K7 b - - 0 1\n\
         moves 1\n\
         - b6b8\n\
         end da6e81da7e10a448\n"
    );
    // Mated already: nothing is left to prove.
    let mated = proved("kQK5/8/8/8/8/8/8/8 b - - 0 1", 0);
    assert_eq!(mated.steps().len(), 1);
    let verified = verify(&mated.to_string()).unwrap();
    assert_eq!(
        (verified.moves, verified.attacker),
        (0, shakmaty::Color::White)
    );
    let stalemate = mated
        .to_string()
        .replace("kQK5/8/8/8/8/8/8/8", "k7/2Q5/2K5/8/8/8/8/8");
    let body = &stalemate[..stalemate.rfind("end ").unwrap()];
    assert_eq!(
        verify(&with_digits(body)).unwrap_err().to_string(),
        "line 4: that is stalemate, not mate"
    );
}

#[test]
fn proofs_tell_how_the_other_defences_compare() {
    for (fen, others) in [
        ("6k1/5ppp/8/8/8/8/5PPP/3R2K1 w - - 0 1", None),
        // 1.Kf7 Kh7 2.Rh5#: there is one reply.
        ("7k/8/5K2/6R1/8/8/8/8 w - - 0 1", Some(Others::None)),
        ("7k/R7/1R6/8/8/8/8/K7 b - - 0 1", Some(Others::None)),
        // Several replies last as long as the first.
        ("1k6/8/3K4/8/8/8/8/7Q b - - 0 1", Some(Others::NoLonger)),
    ] {
        assert_eq!(proved(fen, 2_000_000).others(), others, "{fen}");
    }
}

/// What a proof says of its other defences is what exhaustive search says of them.
#[test]
fn other_defences_are_shorter_where_it_is_said() {
    let mut brute = Brute::default();
    let (mut shorter, mut as_long) = (0, 0);
    for (fen, moves) in MATES.into_iter().filter(|&(_, moves)| moves <= 4) {
        let p = position(fen);
        let mut prover = MateProver::new(16 << 20);
        let mut budget = Budget::nodes(2_000_000);
        let mut answer = prover.mate_within(&p, moves, &mut budget);
        if answer.verdict != Verdict::Holds {
            answer = prover.mated(&p, Some(moves), &mut budget);
        }
        assert!(answer.exact, "{fen}");
        let mut at = p;
        let mut left = answer.moves.unwrap();
        let mut equal = 0;
        for m in answer.line {
            if at.turn() == answer.proof.as_ref().unwrap().attacker() {
                left -= 1;
            } else {
                for other in at.legal_moves().into_iter().filter(|&other| other != m) {
                    let next = at.clone().play(other).unwrap();
                    assert!(brute.mates(&next, left), "{fen}");
                    equal += u32::from(!brute.mates(&next, left - 1));
                }
            }
            at = at.play(m).unwrap();
        }
        match answer.others {
            Some(Others::Shorter | Others::None) => {
                assert_eq!(equal, 0, "{fen}");
                shorter += 1;
            }
            Some(Others::NoLonger) => as_long += 1,
            None => assert_eq!(answer.moves, Some(1)),
        }
    }
    assert!(shorter >= 2 && as_long >= 1, "{shorter} {as_long}");
}

#[test]
fn proofs_verify() {
    for (fen, moves) in MATES {
        let proof = proved(fen, 2_000_000);
        let text = proof.to_string();
        let verified = verify(&text).unwrap();
        assert_eq!(verified.position, position(fen));
        assert_eq!(verified.attacker, proof.attacker());
        assert_eq!(verified.moves, proof.moves());
        let first = usize::from(proof.attacker() != position(fen).turn());
        assert_eq!(verified.steps, proof.steps().len() - first);
        assert!(verified.moves <= moves, "{fen}: {}", verified.moves);
    }
}

#[test]
fn a_thousand_damaged_proofs_are_rejected() {
    let mut numbers = Numbers(0x0dd5_eed5);
    let texts: Vec<String> = MATES
        .iter()
        .map(|&(fen, _)| proved(fen, 2_000_000).to_string())
        .collect();
    let mut rejected = 0;
    while rejected < 1000 {
        let text = &texts[numbers.below(texts.len())];
        let mut bytes = text.clone().into_bytes();
        let at = numbers.below(bytes.len());
        match numbers.below(3) {
            0 => bytes[at] = b" 0123456789abcdefghnqr\n"[numbers.below(23)],
            1 => drop(bytes.remove(at)),
            _ => bytes.insert(at, b'1'),
        }
        let damaged = String::from_utf8(bytes).unwrap();
        if damaged != *text {
            assert!(verify(&damaged).is_err(), "{damaged}");
            rejected += 1;
        }
    }
}

/// The check digits, as the format describes them, for a forger to put right.
fn with_digits(body: &str) -> String {
    let hash = body.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    format!("{body}end {hash:016x}\n")
}

/// Forged proofs whose digits are right: words exchanged, moves replaced by other
/// moves, lines dropped, numbers changed. Whatever still passes must be a true proof,
/// as exhaustive search confirms; everything else must be rejected.
#[test]
fn a_thousand_forged_proofs_are_rejected_unless_they_are_true() {
    let mut numbers = Numbers(0xf0_4ed);
    let mut brute = Brute::default();
    let texts: Vec<String> = [
        "7k/8/5K2/6R1/8/8/8/8 w - - 0 1",
        "kbK5/pp6/1P6/8/8/8/8/R7 w - - 0 1",
        "r2qkbnr/ppp2p1p/3p2p1/4N3/2B1P3/2N5/PPPP1PPP/R1BbK2R w KQkq - 0 6",
        "8/8/8/3k4/8/r7/1r6/6K1 b - - 0 1",
        "n1rb4/1p3p1p/1p6/1R5K/8/p3p1PN/1PP1R3/N6k w - - 0 1",
        "7k/8/4K3/6R1/8/8/8/8 b - - 0 1",
        "1k6/8/3K4/8/8/8/8/7Q b - - 0 1",
    ]
    .iter()
    .map(|fen| proved(fen, 2_000_000).to_string())
    .collect();
    let (mut rejected, mut passed) = (0, 0);
    while rejected < 1000 {
        let text = &texts[numbers.below(texts.len())];
        let body = &text[..text.rfind("end ").unwrap()];
        let mut lines: Vec<Vec<String>> = body
            .lines()
            .map(|line| line.split(' ').map(str::to_owned).collect())
            .collect();
        let at = 1 + numbers.below(lines.len() - 1);
        let other = 3 + numbers.below(lines.len() - 3);
        let word = numbers.below(lines[at].len());
        match numbers.below(5) {
            0 => {
                let from = numbers.below(lines[other].len());
                lines[at][word] = lines[other][from].clone();
            }
            1 => drop(lines[at].remove(word)),
            2 => {
                let to = numbers.below(lines[at].len());
                lines[at].swap(word, to);
            }
            3 => drop(lines.remove(at)),
            _ => {
                lines[at][word] =
                    ["0", "1", "2", "3", "a1a2", "e1g1", "h7h8q", "-"][numbers.below(8)].to_owned();
            }
        }
        let mut forged: String = lines.iter().map(|line| line.join(" ") + "\n").collect();
        if forged == body {
            continue;
        }
        forged = with_digits(&forged);
        match verify(&forged) {
            Err(_) => rejected += 1,
            Ok(verified) => {
                passed += 1;
                let position = &verified.position;
                if position.turn() == verified.attacker {
                    assert!(brute.mates(position, verified.moves), "{forged}");
                } else {
                    assert!(brute.mated(position, verified.moves), "{forged}");
                }
            }
        }
    }
    assert!(passed < 100, "{passed}");
}
