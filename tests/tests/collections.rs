//! No false alarms: whatever pgn-reader 0.29 reads and shakmaty 0.30 plays through
//! gets no finding of severity error from us. The games are the collections that
//! pgn-reader ships beside its benchmarks.

use std::{collections::BTreeMap, ops::ControlFlow};

use gainsay::{Settings, Severity, check};
use gainsay_tests::collections;
use pgn_reader::{RawTag, Reader, SanPlus, Skip, Visitor};
use shakmaty::{CastlingMode, Chess, Position, fen::Fen};

/// Plays the main line of a game; its output is the number of plies, or `None` where
/// a move is not legal.
struct Play;

struct Playing {
    position: Option<Chess>,
    plies: u64,
}

impl Visitor for Play {
    type Tags = Option<Chess>;
    type Movetext = Playing;
    type Output = Option<u64>;

    fn begin_tags(&mut self) -> ControlFlow<Self::Output, Self::Tags> {
        ControlFlow::Continue(Some(Chess::default()))
    }

    fn tag(
        &mut self,
        position: &mut Self::Tags,
        name: &[u8],
        value: RawTag<'_>,
    ) -> ControlFlow<Self::Output> {
        if name == b"FEN" {
            *position = Fen::from_ascii(&value.decode())
                .ok()
                .and_then(|fen| fen.into_position(CastlingMode::Standard).ok());
        }
        ControlFlow::Continue(())
    }

    fn begin_movetext(&mut self, position: Self::Tags) -> ControlFlow<Self::Output, Playing> {
        ControlFlow::Continue(Playing { position, plies: 0 })
    }

    fn san(&mut self, playing: &mut Playing, san: SanPlus) -> ControlFlow<Self::Output> {
        playing.position = playing.position.take().and_then(|mut position| {
            let m = san.san.to_move(&position).ok()?;
            position.play_unchecked(m);
            Some(position)
        });
        playing.plies += 1;
        ControlFlow::Continue(())
    }

    fn begin_variation(&mut self, _: &mut Playing) -> ControlFlow<Self::Output, Skip> {
        ControlFlow::Continue(Skip(true))
    }

    fn end_game(&mut self, playing: Playing) -> Self::Output {
        playing.position.map(|_| playing.plies)
    }
}

#[test]
fn games_that_the_reference_accepts_get_no_error() {
    let settings = Settings {
        nodes: 50_000,
        ..Settings::default()
    };
    let mut counts: BTreeMap<(Severity, &str), usize> = BTreeMap::new();
    let (mut games, mut plies, mut ours) = (0, 0, 0);
    let mut alarms = Vec::new();
    for file in collections() {
        let accepted: Vec<Option<u64>> = Reader::build(&file.bytes[..])
            .set_supported_comment_length(1 << 16)
            .finish()
            .read_games(&mut Play)
            .map(|game| game.expect("pgn-reader reads its own collections"))
            .collect();
        let report = check(&file.bytes, &settings);
        assert_eq!(report.games as usize, accepted.len(), "games read");
        ours += report.plies;
        games += accepted.iter().flatten().count();
        plies += accepted.iter().flatten().sum::<u64>();
        for finding in &report.findings {
            *counts
                .entry((finding.severity, finding.rule.name))
                .or_default() += 1;
            let number = finding.game.expect("a finding of a game") as usize;
            if finding.severity == Severity::Error && accepted[number - 1].is_some() {
                alarms.push(format!(
                    "bytes {:?} of {}: {}: {}",
                    finding.span,
                    file.path.display(),
                    finding.rule.name,
                    finding.message
                ));
            }
        }
    }
    println!("{games} games, {plies} plies of main lines accepted by the reference");
    println!("{ours} plies read by us");
    for ((severity, rule), count) in counts {
        println!("{count:6} {} {rule}", severity.as_str());
    }
    assert!(
        games > 1_000 && plies > 80_000,
        "{games} games, {plies} plies"
    );
    assert!(ours >= plies);
    assert!(alarms.is_empty(), "false alarms:\n{}", alarms.join("\n"));
}
