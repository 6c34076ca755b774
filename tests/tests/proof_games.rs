//! Proofs of mate as games: pgn-reader 0.29 reads them, shakmaty 0.30 plays them, every
//! defence is there, and gainsay finds nothing in them.

use std::{collections::BTreeSet, ops::ControlFlow, sync::atomic::AtomicBool};

use gainsay::{
    Reading, Settings, Verdict, check, export, show,
    unfold::{Unfolded, game, unfold},
};
use gainsay_proof::{Budget, MateProver, Proof, endings::Tables};
use pgn_reader::{RawComment, RawTag, Reader, SanPlus, Skip, Visitor};
use shakmaty::{CastlingMode, Chess, Move, Position, fen::Fen, san::San};

/// A position of the game, as it was reached.
struct Node {
    position: Chess,
    parent: Option<usize>,
    moves: Vec<Move>,
    comment: String,
}

/// All positions of a game with side-lines.
struct Walk {
    nodes: Vec<Node>,
    /// The last position, and those to come back to behind side-lines.
    at: usize,
    back: Vec<usize>,
    nesting: usize,
}

struct Read;

impl Visitor for Read {
    type Tags = Chess;
    type Movetext = Walk;
    type Output = Walk;

    fn begin_tags(&mut self) -> ControlFlow<Walk, Chess> {
        ControlFlow::Continue(Chess::default())
    }

    fn tag(&mut self, start: &mut Chess, name: &[u8], value: RawTag<'_>) -> ControlFlow<Walk> {
        if name == b"FEN" {
            *start = position(std::str::from_utf8(&value.decode()).expect("ASCII"));
        }
        ControlFlow::Continue(())
    }

    fn begin_movetext(&mut self, start: Chess) -> ControlFlow<Walk, Walk> {
        ControlFlow::Continue(Walk {
            nodes: vec![Node {
                position: start,
                parent: None,
                moves: Vec::new(),
                comment: String::new(),
            }],
            at: 0,
            back: Vec::new(),
            nesting: 0,
        })
    }

    fn san(&mut self, walk: &mut Walk, san: SanPlus) -> ControlFlow<Walk> {
        let before = &mut walk.nodes[walk.at];
        let m = san.san.to_move(&before.position).expect("a legal move");
        before.moves.push(m);
        let written = SanPlus::from_move(before.position.clone(), m);
        assert_eq!(written.suffix, san.suffix, "{san} has its sign");
        let position = before.position.clone().play(m).expect("a legal move");
        walk.nodes.push(Node {
            position,
            parent: Some(walk.at),
            moves: Vec::new(),
            comment: String::new(),
        });
        walk.at = walk.nodes.len() - 1;
        ControlFlow::Continue(())
    }

    fn comment(&mut self, walk: &mut Walk, comment: RawComment<'_>) -> ControlFlow<Walk> {
        let words = String::from_utf8_lossy(comment.as_bytes()).replace('\n', " ");
        walk.nodes[walk.at].comment.push_str(&words);
        ControlFlow::Continue(())
    }

    fn begin_variation(&mut self, walk: &mut Walk) -> ControlFlow<Walk, Skip> {
        walk.back.push(walk.at);
        walk.nesting = walk.nesting.max(walk.back.len());
        walk.at = walk.nodes[walk.at].parent.expect("a move before it");
        ControlFlow::Continue(Skip(false))
    }

    fn end_variation(&mut self, walk: &mut Walk) -> ControlFlow<Walk> {
        walk.at = walk.back.pop().expect("a side-line");
        ControlFlow::Continue(())
    }

    fn end_game(&mut self, walk: Walk) -> Walk {
        walk
    }
}

fn position(fen: &str) -> Chess {
    fen.parse::<Fen>()
        .expect("a FEN")
        .into_position(CastlingMode::Standard)
        .expect("a position")
}

/// Reads a game and holds it against the proof; gives the defences that are cut off.
fn compared(proof: &Proof, text: &str) -> (Walk, usize) {
    let walk = Reader::new(text.as_bytes())
        .read_game(&mut Read)
        .expect("readable")
        .expect("a game");
    assert!(walk.nodes[0].position == *proof.position());
    let mut cut = 0;
    for (at, node) in walk.nodes.iter().enumerate() {
        let position = &node.position;
        if position.turn() != proof.attacker() {
            // Every defence is there, once.
            let names = |moves: &[Move]| -> BTreeSet<String> {
                moves.iter().map(|&m| show::san(position, m)).collect()
            };
            assert_eq!(names(&node.moves), names(&position.legal_moves()));
            assert_eq!(node.moves.len(), position.legal_moves().len());
            if node.moves.is_empty() {
                assert!(position.is_checkmate(), "{}", show::fen(position));
            }
        } else if node.moves.is_empty() {
            match node.comment.strip_prefix("as after ") {
                Some(line) => refers(&walk, at, line),
                None => {
                    assert_eq!(node.comment, "and so on");
                    cut += 1;
                }
            }
        } else {
            assert_eq!(node.moves.len(), 1);
        }
    }
    (walk, cut)
}

/// The line in the comment on a position begins somewhere on the way to it, leads to the
/// same position, and that is written out there.
fn refers(walk: &Walk, at: usize, line: &str) {
    let mut words = line.split(' ');
    let number = words.next().expect("a number");
    let mut here = at;
    while show::number(&walk.nodes[here].position) != number {
        here = walk.nodes[here].parent.expect("on the way");
    }
    for word in words.filter(|word| !word.ends_with('.')) {
        let before = &walk.nodes[here].position;
        let san: San = word.trim_end_matches(['+', '#']).parse().expect("SAN");
        let m = san.to_move(before).expect("a legal move");
        let after = before.clone().play(m).expect("a legal move");
        here = (0..walk.nodes.len())
            .find(|&next| {
                walk.nodes[next].parent == Some(here) && walk.nodes[next].position == after
            })
            .expect("a line of the game");
    }
    assert!(walk.nodes[here].position == walk.nodes[at].position);
    assert!(!walk.nodes[here].moves.is_empty());
}

/// Proofs of the published mates (sources in the file), of what is left of them after the
/// first move, and of elementary endings by tables.
fn proofs() -> Vec<Proof> {
    let mut prover = MateProver::new(16 << 20);
    let mut proofs = Vec::new();
    for line in include_str!("../../fixtures/mates.epd").lines() {
        if line.starts_with('#') {
            continue;
        }
        let fields: Vec<&str> = line.split(' ').take(4).collect();
        let start = position(&format!("{} 0 1", fields.join(" ")));
        let found = prover.mate(&start, &mut Budget::nodes(1_000_000));
        assert_eq!(found.verdict, Verdict::Holds, "{line}");
        let after = start.play(found.line[0]).expect("legal");
        let mated = prover.mated(&after, None, &mut Budget::nodes(1_000_000));
        assert_eq!(mated.verdict, Verdict::Holds, "{line}");
        proofs.extend(found.proof);
        proofs.extend(mated.proof);
    }
    let tables = Tables::new(64 << 20);
    let stop = AtomicBool::new(false);
    for fen in [
        "8/8/8/3k4/8/8/8/R3K3 w - - 0 1",
        "8/8/8/3k4/8/8/8/KQ6 b - - 0 1",
        "6R1/8/8/8/8/6K1/8/7k b - - 0 1",
        "7k/6Q1/6K1/8/8/8/8/8 b - - 0 1",
    ] {
        proofs.extend(tables.prove(&position(fen), 100_000, &stop));
    }
    assert!(proofs.len() > 50);
    proofs
}

/// The game in export format, without comments, which may be longer than a line.
fn exported(text: &str) -> String {
    let parts = text
        .split('{')
        .map(|part| part.split_once('}').map_or(part, |(_, rest)| rest));
    let bare: String = parts.collect();
    let reading = Reading::of(bare.as_bytes(), &Settings::default());
    let view = reading.views(bare.as_bytes()).next().expect("a game");
    export(&view).expect("nothing is in doubt")
}

#[test]
fn every_defence_is_a_side_line() {
    let settings = Settings::default();
    let (mut referring, mut nesting) = (0, 0);
    for proof in proofs() {
        let Unfolded {
            movetext,
            moves,
            cut,
        } = unfold(&proof, usize::MAX);
        assert_eq!(cut, 0);
        let words = format!("{} mates, as the moves show.", show::side(proof.attacker()));
        let text = game(&proof, &words, usize::MAX);
        let unwrapped = text.replace('\n', " ");
        assert!(unwrapped.contains(&movetext), "{text}");
        // Source: PGN standard (1994), 8.2.1; more than one parenthesis may end a line.
        let long = |line: &&str| line.trim_end_matches(')').len() > 79;
        assert_eq!(text.lines().find(long), None);
        assert_eq!(exported(&text).lines().find(long), None);
        let (walk, cut) = compared(&proof, &text);
        assert_eq!((walk.nodes.len() - 1, cut), (moves, 0));
        referring += text.matches("as after").count();
        nesting = nesting.max(walk.nesting);
        // The longest line is the main line.
        let mut main = vec![0];
        while let Some(&m) = walk.nodes[main[main.len() - 1]].moves.first() {
            let at = main[main.len() - 1];
            let after = walk.nodes[at].position.clone().play(m).expect("legal");
            let next = (at..walk.nodes.len()).find(|&next| {
                walk.nodes[next].parent == Some(at) && walk.nodes[next].position == after
            });
            main.push(next.expect("a move"));
        }
        assert_eq!(main.len() - 1, proof.main_line().len());
        if moves < 300 {
            let report = check(text.as_bytes(), &settings);
            assert!(report.findings.is_empty(), "{:?}\n{text}", report.findings);
        }
    }
    assert!(referring > 20 && nesting > 3, "{referring} {nesting}");
}

#[test]
fn a_bound_cuts_what_is_farthest_from_the_main_line() {
    for proof in proofs() {
        let all = unfold(&proof, usize::MAX).moves;
        for most in [0, 10, 100, 1_000] {
            let Unfolded { moves, cut, .. } = unfold(&proof, most);
            let text = game(&proof, "", most);
            let (walk, told) = compared(&proof, &text);
            assert_eq!((walk.nodes.len() - 1, told), (moves, cut));
            assert_eq!(cut == 0, moves == all);
            assert_eq!(
                cut > 0,
                text.contains(&format!("Cut at {most} move")),
                "{text}"
            );
            if most < all {
                // The main line is there at any price, and nothing else beyond the bound.
                let least = unfold(&proof, 0).moves;
                assert!(moves <= most.max(least), "{most} {moves}");
            }
        }
    }
}
