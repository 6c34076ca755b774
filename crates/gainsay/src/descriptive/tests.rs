//! Moves of random games, written in descriptive notation by a writer that shares nothing with
//! the reader, and read back.

use gainsay_notation::{Language, parse_move};
use shakmaty::{Chess, File, Move, Position, Role, Square, fen::Fen};

use crate::{
    Reading, Settings,
    resolve::{Resolution, played, resolve},
};

/// A fixed generator, so that the test is the same everywhere.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % sides as u64) as usize
    }
}

fn letter(role: Role) -> &'static str {
    match role {
        Role::Pawn => "P",
        Role::Knight => "Kt",
        Role::Bishop => "B",
        Role::Rook => "R",
        Role::Queen => "Q",
        Role::King => "K",
    }
}

/// The names of a file, the shortest first.
fn file_names(file: File) -> &'static [&'static str] {
    match file {
        File::A => &["R", "QR"],
        File::B => &["Kt", "QKt"],
        File::C => &["B", "QB"],
        File::D => &["Q"],
        File::E => &["K"],
        File::F => &["B", "KB"],
        File::G => &["Kt", "KKt"],
        File::H => &["R", "KR"],
    }
}

/// The number of a rank as the side sees it that moves.
fn rank_seen(square: Square, white: bool) -> u32 {
    let rank = u32::from(square.rank()) + 1;
    if white { rank } else { 9 - rank }
}

/// All names of a square.
fn square_names(square: Square, white: bool) -> Vec<String> {
    let rank = rank_seen(square, white);
    let names = file_names(square.file()).iter();
    names.map(|file| format!("{file}{rank}")).collect()
}

/// All names of a man on its square: for pawns with its files, for pieces with the square; the
/// square in full, since nobody writes half of it there.
fn man_names(role: Role, square: Square, white: bool) -> Vec<String> {
    let mut names = vec![letter(role).to_owned()];
    if role == Role::Pawn {
        let files = file_names(square.file()).iter();
        names.extend(files.map(|file| format!("{file}P")));
    }
    let whole = square_names(square, white).pop().unwrap_or_default();
    names.push(format!("{}({whole})", letter(role)));
    names
}

/// All that can be written for a move, without signs.
fn descriptions(m: Move, white: bool) -> Vec<String> {
    if m.is_castle() {
        let (king, other) = if m.castling_side() == Some(shakmaty::CastlingSide::KingSide) {
            ("K", "O-O")
        } else {
            ("Q", "O-O-O")
        };
        return vec![
            "Castles".to_owned(),
            format!("Castles {king}"),
            format!("Castles {king}R"),
            format!("Castles ({king}R)"),
            other.to_owned(),
        ];
    }
    let Some(from) = m.from() else {
        return Vec::new();
    };
    let mut targets: Vec<String> = Vec::new();
    if let Some(role) = m.capture() {
        // A pawn that is taken in passing stands elsewhere: its square is not the target's.
        let names = man_names(role, m.to(), white);
        let square = |name: &String| !m.is_en_passant() || !name.contains('(');
        targets.extend(
            names
                .into_iter()
                .filter(square)
                .map(|name| format!("x{name}")),
        );
    } else {
        targets.extend(
            square_names(m.to(), white)
                .iter()
                .map(|name| format!("-{name}")),
        );
    }
    let mut found = Vec::new();
    for man in man_names(m.role(), from, white) {
        for target in &targets {
            let tails: Vec<String> = match m.promotion() {
                Some(role) => ["({})", "={}", "/{}"]
                    .iter()
                    .map(|form| form.replace("{}", letter(role)))
                    .collect(),
                None if m.is_en_passant() => vec![" e.p.".to_owned()],
                None => vec![String::new()],
            };
            found.extend(tails.iter().map(|tail| format!("{man}{target}{tail}")));
        }
    }
    found
}

/// One of the ways in which books print the same words.
fn printed(words: &str, dice: &mut Dice) -> String {
    match dice.roll(6) {
        0 => words.replace("Kt", "N"),
        1 => words.replace('x', " x "),
        2 => words.replace('x', "\u{d7}"),
        3 if !words.contains("O-O") => words.replace('-', "-\n    "),
        4 if !words.contains("O-O") => words.replace('-', "\u{2014}"),
        5 if !words.starts_with("Castles") => slashed(words),
        _ => words.to_owned(),
    }
}

/// Squares behind a slash instead of in parentheses.
fn slashed(words: &str) -> String {
    let mut parts = words.split('(');
    let mut out = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        match part.split_once(')') {
            Some((square, tail)) if square.ends_with(|c: char| c.is_ascii_digit()) => {
                out += &format!("/{square}{tail}");
            }
            _ => out += &format!("({part}"),
        }
    }
    out
}

fn positions(games: usize, seed: u64) -> Vec<Chess> {
    let mut dice = Dice(seed);
    let mut found = Vec::new();
    for _ in 0..games {
        let mut position = Chess::default();
        for _ in 0..160 {
            let moves = position.legal_moves();
            if moves.is_empty() || position.halfmoves() > 60 {
                break;
            }
            position.play_unchecked(moves[dice.roll(moves.len())]);
            found.push(position.clone());
        }
    }
    found
}

#[test]
fn every_move_is_found_by_what_is_written_of_it() {
    let mut dice = Dice(0x5851_f42d_4c95_7f2d);
    let (mut alone, mut several) = (0, 0);
    for position in positions(30, 0x9e37_79b9_7f4a_7c15) {
        let white = position.turn().is_white();
        let legal = position.legal_moves();
        let all: Vec<(Move, Vec<String>)> =
            legal.iter().map(|&m| (m, descriptions(m, white))).collect();
        if all.is_empty() {
            continue;
        }
        let (m, own) = &all[dice.roll(all.len())];
        for words in own {
            let meant: Vec<Move> = (all.iter())
                .filter(|(_, others)| others.contains(words))
                .map(|(m, _)| *m)
                .collect();
            let check = played(&position, *m).is_check();
            let text = printed(words, &mut dice) + if check { " ch" } else { "" };
            let written = parse_move(text.as_bytes(), Language::English)
                .unwrap_or_else(|| panic!("{text:?} is not read"));
            let wanted: Vec<Move> = if check {
                let checks = |m: &&Move| played(&position, **m).is_check();
                meant.iter().filter(checks).copied().collect()
            } else {
                meant
            };
            let place = format!("{text:?} in {}", crate::show::fen(&position));
            match resolve(&position, &written) {
                Resolution::Legal(found, marks) => {
                    assert_eq!(wanted, [found], "{place}");
                    assert!(marks.is_empty(), "{place}");
                    alone += 1;
                }
                Resolution::Ambiguous(list) => {
                    assert!(wanted.len() > 1, "{place}");
                    assert!(wanted.iter().all(|m| list.contains(m)), "{place}");
                    assert_eq!(wanted.len(), list.len(), "{place}");
                    several += 1;
                }
                other => panic!("{place}: {other:?}"),
            }
        }
    }
    assert!(alone > 8000 && several > 800, "{alone} and {several}");
}

#[test]
fn whole_games_are_read_back() {
    let mut dice = Dice(0x2545_f491_4f6c_dd1d);
    for seed in 1..20_u64 {
        let mut position = Chess::default();
        let mut text = String::new();
        let mut moves = Vec::new();
        for ply in 0..100 {
            let legal = position.legal_moves();
            if legal.is_empty() {
                break;
            }
            let m = legal[dice.roll(legal.len())];
            let white = position.turn().is_white();
            let alone: Vec<String> = descriptions(m, white)
                .into_iter()
                .filter(|words| {
                    let named = |m: &&Move| descriptions(**m, white).contains(words);
                    legal.iter().filter(named).count() == 1
                })
                .collect();
            let words = printed(&alone[dice.roll(alone.len())], &mut dice);
            if ply % 2 == 0 {
                text += &format!("\n      {}. ", ply / 2 + 1);
            }
            text += &format!(
                "{words}{}      ",
                ["", "", " ch"][usize::from(played(&position, m).is_check()) * 2]
            );
            position.play_unchecked(m);
            moves.push(m);
        }
        let reading = Reading::of(text.as_bytes(), &Settings::default());
        let view = reading.views(text.as_bytes()).next().expect("a game");
        let plies = view.replay.plies.iter();
        let found: Vec<Move> = plies.filter_map(|ply| ply.played).collect();
        let same = found.iter().zip(&moves).take_while(|(a, b)| a == b).count();
        assert!(
            found == moves,
            "game {seed} goes wrong behind move {same}: {text}"
        );
        assert!(view.game.faults.is_empty(), "{text}");
    }
}

/// What a move comes to in a position, in SAN.
fn told(fen: &str, words: &str) -> String {
    let position: Chess = (fen.parse::<Fen>().expect("a FEN"))
        .into_position(shakmaty::CastlingMode::Standard)
        .expect("a position");
    let written = parse_move(words.as_bytes(), Language::English)
        .unwrap_or_else(|| panic!("{words} is not read"));
    let name = |m: &Move| crate::show::san(&position, *m);
    match resolve(&position, &written) {
        Resolution::Legal(m, _) => name(&m),
        Resolution::Ambiguous(list) => list.iter().map(name).collect::<Vec<_>>().join(" or "),
        Resolution::NoPromotion(_) => "becomes what?".to_owned(),
        Resolution::Illegal => "illegal".to_owned(),
        Resolution::Null => "null".to_owned(),
    }
}

#[test]
fn the_conventions_of_the_time_hold() {
    let start = "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR b KQkq - 0 1";
    let rooks = "4k3/8/8/8/8/8/4K3/R6R w - - 0 1";
    let castles = "r3k2r/8/8/8/8/8/8/4K3 b kq - 0 1";
    let knights = "4k3/2p5/3n4/1N3N2/8/8/8/4K3 w - - 0 1";
    let passing = "4k3/8/8/2PpP3/8/2p5/1P6/4K3 w - d6 0 2";
    let last = "3r4/4P1k1/8/8/8/8/8/4K3 w - - 0 1";
    let bishops = "4k3/8/8/3p4/8/1B3B2/8/4K3 w - - 0 1";
    for (fen, words, meant) in [
        // Ranks are counted from the mover's side.
        (start, "P-K4", "e5"),
        (start, "P-QB3", "c6"),
        (start, "Kt-KB3", "Nf6"),
        (start, "N-B3", "Nc6 or Nf6"),
        (start, "Kt-B4", "illegal"),
        (rooks, "QR-Q1", "Rad1"),
        (rooks, "KR-Q1", "Rhd1"),
        (rooks, "R-Q1", "Rad1 or Rhd1"),
        (rooks, "R (R 1)-Q 1", "Rad1 or Rhd1"),
        (rooks, "R(KR1)-Q1", "Rhd1"),
        (rooks, "R/QR1-Q1", "Rad1"),
        (rooks, "R-Rsq", "illegal"),
        (rooks, "R-Qsq", "Rad1 or Rhd1"),
        (rooks, "R-R8", "Ra8+ or Rh8+"),
        (rooks, "R-R8 mate", "Ra8+ or Rh8+"),
        (castles, "Castles", "O-O or O-O-O"),
        (castles, "Castles K", "O-O"),
        (castles, "Castles (QR)", "O-O-O"),
        (castles, "Castles Q.R.", "O-O-O"),
        (castles, "Castles ch", "O-O or O-O-O"),
        (knights, "KtxKt", "Nbxd6+ or Nfxd6+"),
        (knights, "KKtxKt ch", "Nfxd6+"),
        (knights, "QKt takes Kt", "Nbxd6+"),
        (knights, "Kt to Q4", "Nbd4 or Nfd4"),
        (knights, "KtxP ch", "Nxc7+"),
        (knights, "KtxP (B7)", "Nxc7+"),
        (knights, "KtxQBP", "Nxc7+"),
        (knights, "KtxKBP", "illegal"),
        // Without the words the capture is none in passing.
        (passing, "PxP", "bxc3"),
        (passing, "PxP e.p.", "cxd6 or exd6"),
        (passing, "KPxP e.p.", "exd6"),
        (passing, "BPxP ep", "cxd6"),
        (last, "P-K8", "becomes what?"),
        (last, "PxR", "becomes what?"),
        (last, "P-K8(Q)", "e8=Q"),
        (last, "P-K8=Kt", "e8=N+"),
        (last, "P-K8 queens", "e8=Q"),
        (last, "PxR=Q ch", "exd8=Q"),
        (last, "PxR (Q)", "exd8=Q"),
        // A bishop is its side's by the colour of its squares.
        (bishops, "KBxP", "Bbxd5 or Bfxd5"),
        (bishops, "QBxP", "illegal"),
        (bishops, "BxP", "Bbxd5 or Bfxd5"),
    ] {
        assert_eq!(told(fen, words), meant, "{words} in {fen}");
    }
}

/// The moves of a game as they are played, in SAN, with the rules that find something.
fn game(text: &str) -> (String, Vec<&'static str>) {
    let settings = Settings::default();
    let reading = Reading::of(text.as_bytes(), &settings);
    let view = reading.views(text.as_bytes()).next().expect("a game");
    let plies = view.replay.plies.iter();
    let moves: Vec<String> = plies.filter_map(|ply| view.san(ply)).collect();
    let report = crate::check(text.as_bytes(), &settings);
    let rules = report.findings.iter().map(|finding| finding.rule.name);
    let rules = rules.filter(|rule| *rule != "missing-roster-tag" && *rule != "missing-result");
    (moves.join(" "), rules.collect())
}

#[test]
fn what_follows_says_which_move_was_meant() {
    // Only with the bishop on c4 can the pawn on f7 be taken.
    let (moves, rules) = game("1. P-K4 P-K4 2. B-B4 Kt-QB3 3. BxP ch KxB *");
    assert_eq!(moves, "e4 e5 Bc4 Nc6 Bxf7+ Kxf7");
    assert!(rules.is_empty(), "{rules:?}");
    // Nothing tells which knight.
    let (_, rules) = game("1. P-Q4 P-Q4 2. Kt-KB3 Kt-KB3 3. Kt-Q2 P-K3 *");
    assert_eq!(rules, ["ambiguous-move"]);
}

#[test]
fn a_piece_keeps_the_side_that_it_began_on() {
    // The king's knight stands on the queen's side in the end, left of the other.
    let crossed = "1. Kt-KB3 P-K3 2. Kt-K5 P-Q3 3. Kt-QB4 P-K4 4. Kt-R5 P-QB3 5. Kt-QB3 P-QR3 \
                   6. Kt-K4 P-R3 7. KKt-B4 P-Q4 8. P-K3 PxQKt *";
    let (moves, rules) = game(crossed);
    assert!(moves.ends_with("Ne4 h6 Nc4 d5 e3 dxe4"), "{moves}");
    assert!(rules.is_empty(), "{rules:?}");
    // Both could go to d2 each time, from one file and from two.
    let both = "1. P-Q3 P-K3 2. Kt-KB3 P-Q3 3. Kt-Q4 P-KR3 4. Kt-Kt3 P-R3 5. QKt-Q2 P-QB3 \
                6. Kt-KB3 P-Q4 7. KKt-Q2 P-QB4 *";
    let (moves, rules) = game(both);
    assert!(moves.ends_with("N1d2 c6 Nf3 d5 Nbd2 c5"), "{moves}");
    assert!(rules.is_empty(), "{rules:?}");
}

#[test]
fn signs_that_are_left_out_are_no_finding() {
    let (moves, rules) = game("1. P-KB3 P-K4 2. P-KKt4 Q-R5 0-1");
    assert_eq!(moves, "f3 e5 g4 Qh4#");
    assert!(rules.is_empty(), "{rules:?}");
    let (_, rules) = game("1. P-KB3 P-K4 2. P-KKt4 Q-R5 ch 0-1");
    assert!(rules.is_empty(), "{rules:?}");
    let (_, rules) = game("1. P-K4 P-K4 2. B-B4 ch Kt-QB3 *");
    assert_eq!(rules, ["false-check-sign"]);
    let (_, rules) = game("1. P-K4 P-K4 2. B-KB4 Kt-QB3 *");
    assert_eq!(rules, ["illegal-move"]);
}
