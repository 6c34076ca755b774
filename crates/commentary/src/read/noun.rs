//! What noun phrases and glyphs claim by themselves.

use gainsay_notation::Glyph;
use shakmaty::Role;

use super::made::Made;
use super::maker::Maker;
use crate::chunks::ChunkKind;
use crate::claim::{At, Claim, Extent, Mood, Polarity, Prose, Subject};
use crate::kind::{ClaimKind, Material, Relation, Standing, Target, Threat};
use crate::lang::{goods, pawn_feature};
use crate::noun::{Noun, Owner, Traits};
use crate::set::Set;
use crate::structure::Structure;
use crate::wording::{Nuance, Wording};

impl Maker<'_> {
    /// The claims that a noun phrase makes by itself: that the piece stands there, and
    /// what its adjectives say.
    pub(super) fn noun(
        &mut self,
        prose: &mut Prose,
        at: usize,
        noun: &Noun,
        asked: bool,
        sentence: u32,
    ) {
        let first = prose.claims.len();
        self.said_of(prose, at, noun, asked, sentence);
        // "A passed pawn" may be any, so that its clause must be understood; "the passed pawn"
        // takes for granted that there is one.
        if !is_definite(noun) {
            let claims = first..prose.claims.len();
            self.made.extend(claims.map(|claim| Made {
                claim,
                chunks: at..at + 1,
                fixed: false,
                before: noun.traits.contains(Traits::EXTRA),
            }));
        }
    }

    fn said_of(&self, prose: &mut Prose, at: usize, noun: &Noun, asked: bool, sentence: u32) {
        let placed = noun.square.is_some() || noun.file.is_some();
        // "The h-pawn" stands on the h-file.
        let filed = noun.file.is_some() && noun.role == Some(Role::Pawn);
        if noun.square.is_none() && !filed && noun.traits.is_empty() {
            return;
        }
        // "Rooks belong behind passed pawns" speaks of no position.
        if noun.plural && !placed && !noun.determined && noun.count.is_none() {
            return;
        }
        let mut around = self.surroundings(at, at + 1, asked);
        // "Beginners like the queen on h5": not here.
        if self.is_general(at) {
            around.mood = around.mood.max(Mood::Elsewhere);
        }
        let imagined = (at.checked_sub(1)).is_some_and(|before| self.sense(before).is(Set::Having));
        if imagined && noun.square.is_some() {
            around.mood = around.mood.max(Mood::Hedged);
        }
        // There the piece need not stand.
        if noun.square.is_some()
            && (noun.wording.has(Nuance::Object)
                || self.is_gapped(at, noun)
                || self.is_put(at)
                || self.is_check_told(at))
        {
            around.mood = around.mood.max(Mood::Hedged);
        }
        let place = self.line_before(prose, at, sentence);
        let whole = Subject::Piece(*noun);
        // "White has doubled pawns" is read as a whole.
        let told = prose.claims.iter().rev().take(3).any(|claim| {
            matches!(claim.kind, ClaimKind::Structure(_))
                && claim.span.start <= noun.span.start
                && noun.span.end <= claim.span.end
        });
        // "Forks king and queen on c7": that may be where the knight stands.
        let forks = prose.claims.iter().rev().take(3).any(|claim| {
            matches!(
                claim.kind,
                ClaimKind::Relation {
                    relation: Relation::Forks,
                    ..
                } | ClaimKind::Threat(Threat::Relation(Relation::Forks, _))
            ) && noun.span.end == claim.span.end
        });
        if forks {
            around.mood = around.mood.max(Mood::Hedged);
        }
        // "White has the knight on d5" says whose it is.
        let known = (prose.claims.iter().rev().take(3)).find_map(|claim| match claim.kind {
            ClaimKind::Pieces(known) if known.span == noun.span => Some(known),
            _ => None,
        });
        let owned = known.is_some();
        // "No rook can stop the passed g-pawn" does not deny that it is passed.
        let definite = is_definite(noun);
        // A definite noun phrase takes for granted what its adjectives say.
        let asserted = definite || matches!(around.mood, Mood::Stated | Mood::Hedged);
        let asserted = asserted && !(noun.square.is_none() && self.is_qualified(at + 1));
        let closed = self.is_closed(at + 1);
        // What goes on behind it tells of the piece; "two checks, of the knight on f7 and the queen
        // on g8" may tell of moves.
        let begins = at
            .checked_sub(1)
            .is_none_or(|at| matches!(self.kind(at), Some(ChunkKind::End)));
        let attached = begins
            || matches!(self.kind(at + 1), Some(ChunkKind::Word { .. }))
                && !self.sense(at + 1).is(Set::And)
                && !self.is_participle(at + 1);
        let mut push = |kind, polarity, subject| {
            let span = match &kind {
                ClaimKind::Pieces(_) => noun.bare,
                _ => noun.span,
            };
            prose.claims.push(Claim {
                span,
                kind,
                polarity,
                mood: around.mood,
                subject,
                at: place,
                tense: around.tense,
                told: None,
                sentence,
                wording: noun.wording,
                number: None,
                closed,
                joined: false,
                attached,
                follows: false,
                extent: Extent::Part,
                asserted,
                unread: 0..0,
            });
        };
        // "White has no knight on e5."
        let none = (at.checked_sub(1)).is_some_and(|before| self.sense(before).is(Set::Not));
        if (noun.square.is_some() || filed) && !owned && !none {
            // A piece that is named stands there, even if the sentence denies something of it.
            push(ClaimKind::Pieces(*noun), Polarity::Affirmed, whole);
        }
        let denied = around.polarity == Polarity::Denied;
        if let Some(feature) = pawn_feature(noun.traits).filter(|_| !(told || definite && denied))
            && noun.role == Some(Role::Pawn)
        {
            let said = Structure::new(feature).of(&known.unwrap_or(*noun));
            push(ClaimKind::Structure(said), around.polarity, whole);
        }
        // A protected passed pawn is one thing, and so are hanging pawns.
        let pawn = noun.role == Some(Role::Pawn);
        let passed = pawn && noun.traits.contains(Traits::PASSED);
        for (known, relation) in [
            (Traits::PINNED, Relation::Pinned),
            (Traits::TRAPPED, Relation::Trapped),
            (Traits::LOOSE, Relation::Loose),
            (Traits::HANGING, Relation::Hanging),
            (Traits::PROTECTED, Relation::Defended),
        ] {
            let one = match relation {
                Relation::Defended => passed,
                Relation::Hanging => pawn && noun.plural,
                _ => false,
            };
            if noun.traits.contains(known) && noun.role.is_some() && !one {
                let kind = ClaimKind::Relation {
                    relation,
                    actor: None,
                    targets: vec![Target::Piece(*noun)],
                };
                push(kind, around.polarity, whole);
            }
        }
        if noun.traits.contains(Traits::EXTRA)
            && let Some(goods) = goods(noun)
        {
            let kind = ClaimKind::Material(Material::Extra(goods));
            let subject = match noun.owner {
                Owner::Side(color) => Subject::Side(color),
                _ => self.subject(at, &kind),
            };
            push(kind, around.polarity, subject);
        }
    }

    /// Whether words behind a noun phrase, from chunk `end` on, say which it is: "the isolated pawn
    /// of the second player upon d5".
    fn is_qualified(&self, end: usize) -> bool {
        let comma = matches!(self.kind(end), Some(ChunkKind::Comma));
        let at = end + usize::from(comma);
        let sense = self.sense(at);
        let place = sense.is(Set::On) && self.is_thing(at + 1);
        place || !comma && sense.is(Set::Belongs) && !sense.is_any(Set::By.bit())
    }

    /// Whether a verb in front of chunk `at`, in its clause, puts the piece there: "giving up the
    /// queen on e3" is a move.
    fn is_put(&self, at: usize) -> bool {
        const WORDS: usize = 5;
        (at.saturating_sub(WORDS)..at)
            .rev()
            .take_while(|&at| matches!(self.kind(at), Some(ChunkKind::Word { .. })))
            .any(|at| self.sense(at).is(Set::Puts))
    }

    /// Whether checks or moves are told by what makes them: "two checks, that of the knight on f7".
    fn is_check_told(&self, at: usize) -> bool {
        let of = |at: usize| self.sense(at).is(Set::Belongs);
        let one = |at: usize| {
            let sense = self.sense(at);
            sense.number == Some(1) || sense.is(Set::Relative)
        };
        matches!((at.checked_sub(1), at.checked_sub(2)), (Some(by), Some(what)) if of(by) && one(what))
    }

    /// Whether the square behind a piece may be that of another thing: "his rook covers c7, his king
    /// e7", "denies the king c6", "aims queen and knight on d5".
    fn is_gapped(&self, at: usize, noun: &Noun) -> bool {
        let joint = at
            .checked_sub(1)
            .is_some_and(|at| self.sense(at).is(Set::And));
        noun.apposed || joint && !noun.determined
    }

    /// A glyph that judges the position.
    pub(super) fn glyph(
        &self,
        prose: &mut Prose,
        at: usize,
        glyph: Glyph,
        place: At,
        asked: bool,
        sentence: u32,
    ) {
        let Some(standing) = Standing::of_glyph(glyph) else {
            return;
        };
        let around = self.surroundings(at, at + 1, asked);
        prose.claims.push(Claim {
            span: self.span(at, at + 1),
            kind: ClaimKind::Standing(standing),
            polarity: Polarity::Affirmed,
            mood: around.mood,
            subject: glyph.side().map_or(Subject::Nobody, Subject::Side),
            at: place,
            tense: around.tense,
            told: None,
            sentence,
            wording: Wording::SIGN,
            number: None,
            closed: self.is_closed(at + 1),
            joined: false,
            attached: false,
            follows: false,
            extent: Extent::Part,
            asserted: true,
            unread: 0..0,
        });
    }
}

const fn is_definite(noun: &Noun) -> bool {
    noun.determined && !noun.wording.begins(Nuance::Any)
}
