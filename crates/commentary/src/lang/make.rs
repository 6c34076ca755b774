//! What patterns make of their slots; shared by all languages.

use crate::pattern::Slots;
use crate::{
    ClaimKind, Draw, Feature, Goods, Mate, Material, Noun, OnlyMove, Passing, Quality, Reference,
    Refutation, Relation, Standing, Stipulation, Structure, Target, Threat, Traits,
};
use shakmaty::{CastlingSide, Role};

/// "Two legal moves".
pub(super) fn legal_moves(slots: &Slots) -> Option<ClaimKind> {
    // "Thirty-five" is two words.
    let count = match (slots.number?, slots.number2) {
        (tens, Some(units)) if tens >= 20 && units < 10 => tens + units,
        (_, Some(_)) => return None,
        (count, None) => count,
    };
    Some(ClaimKind::OnlyMove(OnlyMove::Count(count)))
}

/// "The king is in the corner".
pub(super) fn in_corner(slots: &Slots) -> Option<ClaimKind> {
    let noun = slots.pieces.first()?;
    let king = noun.role == Some(Role::King) && !noun.plural;
    king.then(|| Structure::new(Feature::KingInCorner).of(noun).claim())
}

/// What a noun is worth: "two pawns", "a piece", "the h-pawn".
pub(crate) fn goods(noun: &Noun) -> Option<Goods> {
    if noun.plural && noun.count.is_none() && noun.role != Some(Role::Queen) {
        return None;
    }
    let count = noun.count.unwrap_or(1);
    Some(match noun.role {
        None => Goods::Pieces(count),
        Some(Role::Pawn) if count == 1 && (noun.file.is_some() || noun.square.is_some()) => {
            Goods::Pawn(
                noun.file
                    .or_else(|| noun.square.map(shakmaty::Square::file)),
            )
        }
        Some(Role::Pawn) => Goods::Pawns(count),
        Some(Role::King) => return None,
        Some(role) => Goods::Role(role, count),
    })
}

/// What the adjectives of a pawn say together.
pub(crate) fn pawn_feature(traits: Traits) -> Option<Feature> {
    let mut said = [
        (Traits::PASSED, Feature::PassedPawn),
        (Traits::ISOLATED, Feature::IsolatedPawn),
        (Traits::DOUBLED, Feature::DoubledPawns),
        (Traits::TRIPLED, Feature::TripledPawns),
        (Traits::BACKWARD, Feature::BackwardPawn),
    ]
    .into_iter()
    .filter(|&(known, _)| traits.contains(known));
    let (_, feature) = said.next()?;
    Some(match (feature, said.next()) {
        (_, Some(_)) => Feature::Pawn(traits),
        (Feature::PassedPawn, None) if traits.contains(Traits::PROTECTED) => Feature::Pawn(traits),
        (Feature::PassedPawn, None) if traits.contains(Traits::CONNECTED) => {
            Feature::ConnectedPassedPawns
        }
        (feature, None) => feature,
    })
}

/// What a side is said to have.
fn possession(slots: &Slots) -> Option<Structure> {
    let noun = slots.pieces.first()?;
    let feature = match noun.role? {
        Role::Pawn => pawn_feature(noun.traits)?,
        Role::Bishop if noun.count == Some(2) => Feature::BishopPair,
        _ => return None,
    };
    let mut had = Structure::new(feature).of(noun);
    if feature == Feature::BishopPair {
        had.count = None;
    }
    noun.square.is_none().then_some(had)
}

/// "White has doubled pawns", "Black has a passed pawn", "White has the two bishops".
pub(super) fn has_pieces(slots: &Slots) -> Option<ClaimKind> {
    possession(slots).map(Structure::claim)
}

/// "White has two passed pawns on the queenside".
pub(super) fn has_on_queenside(slots: &Slots) -> Option<ClaimKind> {
    let wing = Some(CastlingSide::QueenSide);
    possession(slots).map(|had| Structure { wing, ..had }.claim())
}

/// "White has two passed pawns on the kingside".
pub(super) fn has_on_kingside(slots: &Slots) -> Option<ClaimKind> {
    let wing = Some(CastlingSide::KingSide);
    possession(slots).map(|had| Structure { wing, ..had }.claim())
}

/// "Both sides have a passed pawn".
pub(super) fn both_have(slots: &Slots) -> Option<ClaimKind> {
    possession(slots).map(|had| Structure { both: true, ..had }.claim())
}

fn first(slots: &Slots) -> Option<Goods> {
    slots.pieces.first().and_then(goods)
}

fn second(slots: &Slots) -> Option<Goods> {
    slots.pieces.get(1).and_then(goods)
}

pub(super) fn mate_in(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Mate(Mate::In {
        moves: slots.number?,
        at_most: false,
    }))
}

pub(super) fn mate_at_most(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Mate(Mate::In {
        moves: slots.number2.unwrap_or(0).max(slots.number?),
        at_most: true,
    }))
}

pub(super) fn mate_next(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Mate(Mate::Next))
}

pub(super) fn mate_forced(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Mate(Mate::Forced))
}

pub(super) fn mate_now(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Mate(Mate::Now))
}

pub(super) fn mate_threat(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::Mate(slots.number)))
}

pub(super) fn mate_threat_next(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::Mate(Some(1))))
}

pub(super) fn threat_line(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::Line))
}

pub(super) fn threat_any(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::Any))
}

/// What is threatened to be done to the targets.
macro_rules! threats {
    ($($name:ident => $relation:ident;)*) => {
        $(pub(super) fn $name(slots: &Slots) -> Option<ClaimKind> {
            let mut targets = slots.targets.clone();
            targets.extend(slots.square.map(Target::Square));
            (!targets.is_empty())
                .then_some(ClaimKind::Threat(Threat::Relation(Relation::$relation, targets)))
        })*
    };
}

threats! {
    threat_fork => Forks;
    threat_pin => Pins;
    threat_skewer => Skewers;
    threat_trap => Trapped;
    threat_attack => Attacks;
}

pub(super) fn threat_targets(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::Pieces(slots.targets.clone())))
}

pub(super) fn threat_gain(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::Gain(first(slots)?)))
}

pub(super) fn threat_exchange(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::Gain(Goods::Exchange(1))))
}

pub(super) fn threat_material(_: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Threat(Threat::Gain(Goods::Material)))
}

/// A maker of a claim without slots.
macro_rules! plain {
    ($($name:ident => $kind:expr;)*) => {
        $(pub(super) fn $name(_: &Slots) -> Option<ClaimKind> {
            Some($kind)
        })*
    };
}

plain! {
    only_legal => ClaimKind::OnlyMove(OnlyMove::Legal);
    only_sensible => ClaimKind::OnlyMove(OnlyMove::Sensible);
    only_square => ClaimKind::OnlyMove(OnlyMove::Square);
    only_forced => ClaimKind::OnlyMove(OnlyMove::Forced);
    only_defence => ClaimKind::OnlyMove(OnlyMove::Defence);
    only_win => ClaimKind::OnlyMove(OnlyMove::Win);
    only_mate => ClaimKind::OnlyMove(OnlyMove::Mate);
    no_move => ClaimKind::OnlyMove(OnlyMove::NoMove);
    loses => ClaimKind::Refutation(Refutation::Bare);
    stalemate => ClaimKind::Draw(Draw::Stalemate);
    dead => ClaimKind::Draw(Draw::Dead);
    perpetual => ClaimKind::Draw(Draw::Perpetual);
    repetition => ClaimKind::Draw(Draw::Repetition);
    threefold => ClaimKind::Draw(Draw::Threefold);
    fifty => ClaimKind::Draw(Draw::FiftyMoves);
    insufficient => ClaimKind::Draw(Draw::Insufficient);
    winning => ClaimKind::Standing(Standing::Winning);
    much_better => ClaimKind::Standing(Standing::MuchBetter);
    better => ClaimKind::Standing(Standing::Better);
    equal => ClaimKind::Standing(Standing::Equal);
    unclear => ClaimKind::Standing(Standing::Unclear);
    worse => ClaimKind::Standing(Standing::Worse);
    much_worse => ClaimKind::Standing(Standing::MuchWorse);
    lost => ClaimKind::Standing(Standing::Lost);
    drawn => ClaimKind::Standing(Standing::Drawn);
    best => ClaimKind::Quality(Quality::Best);
    better_move => ClaimKind::Quality(Quality::Better);
    good_move => ClaimKind::Quality(Quality::Good);
    wins => ClaimKind::Quality(Quality::Wins);
    mistake => ClaimKind::Quality(Quality::Mistake);
    blunder => ClaimKind::Quality(Quality::Blunder);
    missed => ClaimKind::Quality(Quality::Missed);
    material_level => ClaimKind::Material(Material::Level);
    exchange_up => ClaimKind::Material(Material::Up(Goods::Exchange(1)));
    exchange_down => ClaimKind::Material(Material::Down(Goods::Exchange(1)));
    material_up => ClaimKind::Material(Material::Up(Goods::Material));
    material_down => ClaimKind::Material(Material::Down(Goods::Material));
    wins_exchange => ClaimKind::Gain { what: Goods::Exchange(1), how: Passing::Won };
    wins_material => ClaimKind::Gain { what: Goods::Material, how: Passing::Won };
    loses_exchange => ClaimKind::Gain { what: Goods::Exchange(1), how: Passing::Lost };
    gives_exchange => ClaimKind::Gain { what: Goods::Exchange(1), how: Passing::Given };
    loses_material => ClaimKind::Gain { what: Goods::Material, how: Passing::Lost };
    pattern => ClaimKind::Pattern(gainsay_notation::Span::default());
    the_diagram => ClaimKind::Reference(Reference::TheDiagram);
    to_play => ClaimKind::Stipulation(Stipulation::ToPlay);
    to_win => ClaimKind::Stipulation(Stipulation::Win);
    to_draw => ClaimKind::Stipulation(Stipulation::Draw);
    find_mate => ClaimKind::Stipulation(Stipulation::AnyMate);
    find_best => ClaimKind::Stipulation(Stipulation::BestMove);
}

pub(super) fn to_mate(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Stipulation(Stipulation::Mate(slots.number?)))
}

pub(super) fn up(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Material(Material::Up(first(slots)?)))
}

pub(super) fn down(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Material(Material::Down(first(slots)?)))
}

pub(super) fn up_both(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Material(Material::UpBoth(
        first(slots)?,
        second(slots)?,
    )))
}

pub(super) fn down_both(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Material(Material::DownBoth(
        first(slots)?,
        second(slots)?,
    )))
}

pub(super) fn for_goods(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Material(Material::For(
        first(slots)?,
        second(slots)?,
    )))
}

pub(super) fn exchange_for(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Material(Material::For(
        Goods::Exchange(1),
        first(slots)?,
    )))
}

/// "Has two pawns for the exchange".
pub(super) fn for_exchange(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Material(Material::For(
        first(slots)?,
        Goods::Exchange(1),
    )))
}

pub(super) fn wins_goods(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Gain {
        what: first(slots)?,
        how: Passing::Won,
    })
}

pub(super) fn gives_goods(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Gain {
        what: first(slots)?,
        how: Passing::Given,
    })
}

pub(super) fn loses_goods(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Gain {
        what: first(slots)?,
        how: Passing::Lost,
    })
}

/// A refutation by the line in the pattern, or the second of two lines.
pub(super) fn refuted(slots: &Slots) -> Option<ClaimKind> {
    let fails = slots.line2.and(slots.line);
    Some(ClaimKind::Refutation(Refutation::By { fails }))
}

/// An answer to the first of two lines, or to the move of the comment.
pub(super) fn answered(slots: &Slots) -> Option<ClaimKind> {
    let fails = slots.line2.and(slots.line);
    Some(ClaimKind::Refutation(Refutation::Met { fails }))
}

/// A relation of the subject to the targets.
macro_rules! relations {
    ($($name:ident => $relation:ident;)*) => {
        $(pub(super) fn $name(slots: &Slots) -> Option<ClaimKind> {
            Some(relation(slots, Relation::$relation))
        })*
    };
}

relations! {
    attacks => Attacks;
    attacked => Attacked;
    defends => Defends;
    defended => Defended;
    loose => Loose;
    hanging => Hanging;
    controls => Controls;
    pins => Pins;
    pinned => Pinned;
    forks => Forks;
    skewers => Skewers;
    checks => Checks;
    double_check => DoubleCheck;
    discovered_check => DiscoveredCheck;
    discovered_attack => DiscoveredAttack;
    overloaded => Overloaded;
    trapped => Trapped;
    blocks => Blocks;
    x_rays => XRay;
    immune => Immune;
    immobile => Immobile;
}

fn relation(slots: &Slots, relation: Relation) -> ClaimKind {
    let mut targets = slots.targets.clone();
    let mut pieces = slots.pieces.iter();
    // Without TARGETS the first piece is what is acted on, and the next one acts.
    if targets.is_empty() {
        targets.extend(pieces.next().map(|noun| Target::Piece(*noun)));
        targets.extend(slots.square.map(Target::Square));
    }
    ClaimKind::Relation {
        relation,
        actor: pieces.next().copied(),
        targets,
    }
}

/// "Pins the knight to the queen", "the knight is pinned to the queen".
pub(super) fn pinned_to(slots: &Slots) -> Option<ClaimKind> {
    let pieces = slots.pieces.iter().copied().map(Target::Piece);
    let named: Vec<Target> = slots.targets.iter().copied().chain(pieces).collect();
    (named.len() == 2).then_some(ClaimKind::Relation {
        relation: Relation::PinnedTo,
        actor: None,
        targets: named,
    })
}

/// "A fork on e7": the piece that forks stands there.
pub(super) fn fork_on(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Relation {
        relation: Relation::Forks,
        actor: None,
        targets: vec![Target::Square(slots.square?)],
    })
}

/// "The d-pawn is blocked by the knight": the second piece acts.
pub(super) fn blocked(slots: &Slots) -> Option<ClaimKind> {
    Some(ClaimKind::Relation {
        relation: Relation::Blocks,
        actor: slots.pieces.first().copied(),
        targets: slots.targets.clone(),
    })
}

/// "There is no stopping the a-pawn", "the pawns cannot be stopped".
pub(super) fn promotes(slots: &Slots) -> Option<ClaimKind> {
    let noun = slots.pieces.first()?;
    let pawn = noun.role == Some(Role::Pawn);
    pawn.then(|| Structure::new(Feature::Promotes).of(noun).claim())
}

/// A feature with the file and square in the pattern.
const fn plain(feature: Feature, slots: &Slots) -> Structure {
    Structure {
        file: slots.file,
        square: slots.square,
        ..Structure::new(feature)
    }
}

/// Makers of such features.
macro_rules! features {
    ($($name:ident => $feature:expr;)*) => {
        $(pub(super) fn $name(slots: &Slots) -> Option<ClaimKind> {
            Some(plain($feature, slots).claim())
        })*
    };
}

/// "The pawn on d6 is backward": the file and square are the pawn's.
fn pawn_is(slots: &Slots, feature: Feature) -> Option<ClaimKind> {
    let [Target::Piece(noun)] = slots.targets.as_slice() else {
        return None;
    };
    let pawn = noun.role == Some(Role::Pawn);
    pawn.then(|| Structure::new(feature).of(noun).claim())
}

pub(super) fn is_doubled(slots: &Slots) -> Option<ClaimKind> {
    pawn_is(slots, Feature::DoubledPawns)
}

pub(super) fn is_isolated(slots: &Slots) -> Option<ClaimKind> {
    pawn_is(slots, Feature::IsolatedPawn)
}

/// "The pawn is isolated and doubled".
pub(super) fn is_isolated_doubled(slots: &Slots) -> Option<ClaimKind> {
    let both = Traits::ISOLATED.with(Traits::DOUBLED);
    pawn_is(slots, Feature::Pawn(both))
}

/// "The pawn is passed and isolated".
pub(super) fn is_passed_isolated(slots: &Slots) -> Option<ClaimKind> {
    let both = Traits::PASSED.with(Traits::ISOLATED);
    pawn_is(slots, Feature::Pawn(both))
}

pub(super) fn is_backward(slots: &Slots) -> Option<ClaimKind> {
    pawn_is(slots, Feature::BackwardPawn)
}

features! {
    open_file => Feature::OpenFile;
    half_open_file => Feature::HalfOpenFile;
    closed_file => Feature::ClosedFile;
    queenside_majority => Feature::QueensideMajority;
    central_majority => Feature::CentralMajority;
    kingside_majority => Feature::KingsideMajority;
    rooks_on_seventh => Feature::RooksOnSeventh;
    outpost => Feature::Outpost;
    bishop_pair => Feature::BishopPair;
    castling_rights => Feature::CastlingRights;
    castled => Feature::Castled(None);
    castled_short => Feature::Castled(Some(CastlingSide::KingSide));
    castled_long => Feature::Castled(Some(CastlingSide::QueenSide));
    both_castled => Feature::BothCastled;
    en_passant => Feature::EnPassant;
    promotion_next => Feature::PromotionNext;
    queens_off => Feature::QueensOff;
    pawn_ending => Feature::Ending(Some(Role::Pawn));
    knight_ending => Feature::Ending(Some(Role::Knight));
    bishop_ending => Feature::Ending(Some(Role::Bishop));
    rook_ending => Feature::Ending(Some(Role::Rook));
    queen_ending => Feature::Ending(Some(Role::Queen));
}

/// "The pawn on e5 is passed": the file and square are the pawn's.
pub(super) fn passed(slots: &Slots) -> Option<ClaimKind> {
    let said = plain(Feature::PassedPawn, slots);
    let noun = match slots.targets.as_slice() {
        [] => return Some(said.claim()),
        [Target::Square(square)] => {
            let square = Some(*square);
            return Some(Structure { square, ..said }.claim());
        }
        [Target::Piece(noun)] if noun.role == Some(Role::Pawn) => noun,
        _ => return None,
    };
    let of_pawn = said.of(noun);
    Some(
        Structure {
            file: said.file.or(of_pawn.file),
            square: said.square.or(of_pawn.square),
            ..of_pawn
        }
        .claim(),
    )
}

/// "Both sides have the bishop pair".
pub(super) fn both_bishop_pairs(_: &Slots) -> Option<ClaimKind> {
    let said = Structure::new(Feature::BishopPair);
    Some(Structure { both: true, ..said }.claim())
}

/// "Two open files".
pub(super) fn open_files(slots: &Slots) -> Option<ClaimKind> {
    counted(plain(Feature::OpenFile, slots), slots)
}

/// "Two half-open files".
pub(super) fn half_open_files(slots: &Slots) -> Option<ClaimKind> {
    counted(plain(Feature::HalfOpenFile, slots), slots)
}

/// "The only open file", "the e-file is the only open one".
pub(super) fn only_open_file(slots: &Slots) -> Option<ClaimKind> {
    let said = plain(Feature::OpenFile, slots);
    Some(
        Structure {
            count: Some(1),
            only: true,
            ..said
        }
        .claim(),
    )
}

/// "Three pawn islands".
pub(super) fn pawn_islands(slots: &Slots) -> Option<ClaimKind> {
    let said = plain(Feature::PawnIslands, slots);
    counted(Structure { only: true, ..said }, slots)
}

/// A feature with the number in the pattern.
fn counted(said: Structure, slots: &Slots) -> Option<ClaimKind> {
    let count = Some(u8::try_from(slots.number?).ok()?);
    Some(Structure { count, ..said }.claim())
}

/// Rooks on the seventh rank.
fn seventh(slots: &Slots) -> Option<Structure> {
    let noun = slots.pieces.first()?;
    let feature = match noun.role? {
        Role::Rook if noun.plural => Feature::RooksOnSeventh,
        Role::Rook => Feature::RookOnSeventh,
        _ => return None,
    };
    Some(Structure {
        count: None,
        ..Structure::new(feature).of(noun)
    })
}

/// "A rook on the seventh", "two rooks on the seventh".
pub(super) fn on_seventh(slots: &Slots) -> Option<ClaimKind> {
    seventh(slots).map(Structure::claim)
}

/// "Both sides have a rook on the seventh".
pub(super) fn both_on_seventh(slots: &Slots) -> Option<ClaimKind> {
    seventh(slots).map(|said| Structure { both: true, ..said }.claim())
}

/// "The bishop is still on c1".
pub(super) fn stands(slots: &Slots) -> Option<ClaimKind> {
    let mut noun = *slots.pieces.first()?;
    if noun.plural || noun.square.is_some() {
        return None;
    }
    noun.square = Some(slots.square?);
    Some(ClaimKind::Pieces(noun))
}

/// "The knight on d5 occupies an outpost".
pub(super) fn piece_outpost(slots: &Slots) -> Option<ClaimKind> {
    let noun = slots.pieces.first()?;
    noun.square?;
    Some(Structure::new(Feature::Outpost).of(noun).claim())
}

/// "The queens are off", "without queens".
pub(super) fn queens_gone(slots: &Slots) -> Option<ClaimKind> {
    let noun = slots.pieces.first()?;
    (noun.role == Some(Role::Queen) && noun.plural && noun.square.is_none())
        .then(|| queens_off(slots))?
}

/// "Opposite-coloured bishops", "bishops of the same colour".
pub(super) fn bishops(slots: &Slots, feature: Feature) -> Option<ClaimKind> {
    let bishops = slots.pieces.first()?.role? == Role::Bishop;
    bishops.then(|| Structure::new(feature).claim())
}

pub(super) fn opposite_bishops(slots: &Slots) -> Option<ClaimKind> {
    bishops(slots, Feature::OppositeBishops)
}

pub(super) fn same_bishops(slots: &Slots) -> Option<ClaimKind> {
    bishops(slots, Feature::SameBishops)
}

/// A pointer to another place.
macro_rules! references {
    ($($name:ident => $reference:ident;)*) => {
        $(pub(super) fn $name(slots: &Slots) -> Option<ClaimKind> {
            Some(ClaimKind::Reference(Reference::$reference(slots.number?)))
        })*
    };
}

references! {
    move_reference => Move;
    move_mention => Mention;
    on_move => On;
    later_reference => Later;
    game_reference => Game;
    diagram_reference => Diagram;
    ago_reference => Ago;
}

/// "White's twenty-third move".
pub(super) fn nth_reference(slots: &Slots) -> Option<ClaimKind> {
    let number = match (slots.number?, slots.number2) {
        (tens, Some(units)) if tens >= 20 && units < 10 => tens + units,
        (_, Some(_)) => return None,
        (number, None) => number,
    };
    let firm = !slots.worded;
    Some(ClaimKind::Reference(Reference::Nth { number, firm }))
}
