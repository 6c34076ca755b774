//! Mentions against what there is: numbers that nothing has, and targets on the other side.

use std::collections::{BTreeMap, BTreeSet};

use gainsay_commentary::Way;

use super::{
    mention::{DIAGRAM, GAME, Mention, NOUNS, Role},
    remark::{Numbers, Remark, What},
};
use crate::outline::Outline;

/// How much of its book a text is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Extent {
    /// Other files belong to it, or it is one chapter.
    Part,
    /// Nothing tells.
    Unknown,
    /// It has an end, as books have one.
    Book,
}

impl Extent {
    pub(super) fn of(text: &[u8], view: &[u8], outline: &Outline) -> Self {
        const OTHERS: [&[u8]; 6] = [
            b"\\input",
            b"\\include",
            b"\\subfile",
            b"include::",
            b"{{#include",
            b"{{< include",
        ];
        let has = |words: &[u8]| memchr::memmem::find(text, words).is_some();
        if text != view && OTHERS.into_iter().any(has) || outline.ends().is_one_chapter() {
            return Self::Part;
        }
        match outline.ends().closes || has(b"\\documentclass") && has(b"\\end{document}") {
            true => Self::Book,
            false => Self::Unknown,
        }
    }
}

/// Fewer things of a kind may be numbered by chance.
const LEAST: usize = 3;

/// Where more numbers lead out of a text, it is a part of something.
const MOST_BEYOND: usize = 2;

/// What is wrong with mentions.
pub(super) fn remarks(
    mentions: &[Mention],
    outline: &Outline,
    extent: Extent,
    text: &[u8],
) -> Vec<Remark> {
    let mut found = Vec::new();
    let mut beyond: BTreeSet<(usize, u32)> = BTreeSet::new();
    let mut lost: Vec<(&Mention, Numbers, bool)> = Vec::new();
    for noun in 0..NOUNS.len() {
        let of_noun = || mentions.iter().filter(move |mention| mention.noun == noun);
        let Some(printed) = Printed::of(of_noun(), noun, outline) else {
            continue;
        };
        for mention in of_noun().filter(|mention| mention.shown) {
            let plainly = match mention.role {
                Role::Points { plainly } => plainly || noun != GAME,
                _ => continue,
            };
            match printed.holds(mention.number) {
                Held::Yes => {}
                Held::Beyond if plainly => {
                    beyond.insert((noun, mention.number));
                    lost.push((mention, printed.numbers(), true));
                }
                Held::Gap if plainly => lost.push((mention, printed.numbers(), false)),
                Held::Gap | Held::Beyond | Held::Unknown => {}
            }
        }
        found.extend(of_noun().filter_map(|mention| other_way(mention, &printed, text)));
    }
    let sure = |beyond_all: bool| match extent {
        Extent::Part => false,
        Extent::Unknown => !beyond_all,
        Extent::Book => !beyond_all || beyond.len() <= MOST_BEYOND,
    };
    let lost = lost
        .into_iter()
        .filter(|&(_, _, beyond_all)| sure(beyond_all));
    found.extend(lost.map(|(mention, numbers, _)| Remark {
        span: mention.span.clone(),
        what: What::NoTarget {
            noun: NOUNS[mention.noun],
            number: mention.number,
            numbers,
        },
    }));
    found
}

/// What has numbers of one noun.
struct Printed {
    /// Where each number is given to something.
    places: BTreeMap<u32, Vec<usize>>,
    /// Numbers that may be given as well, and those of exercises and diagrams without a noun.
    perhaps: BTreeSet<u32>,
    bare: BTreeSet<u32>,
    last: u32,
    /// Whether they begin with 1 and few are left out.
    full: bool,
}

/// Whether a number is there.
enum Held {
    Yes,
    Gap,
    Beyond,
    /// Numbers before the first belong to another part.
    Unknown,
}

impl Printed {
    /// `None` where too little is numbered.
    fn of<'m>(
        mentions: impl Iterator<Item = &'m Mention>,
        noun: usize,
        outline: &Outline,
    ) -> Option<Self> {
        let mut places: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
        let mut perhaps = BTreeSet::new();
        for mention in mentions {
            match mention.role {
                Role::Prints => {
                    let places = places.entry(mention.number).or_default();
                    places.push(mention.span.start);
                }
                Role::Unclear => {
                    perhaps.insert(mention.number);
                }
                Role::Points { .. } | Role::Elsewhere => {}
            }
        }
        if places.len() < LEAST {
            return None;
        }
        // Exercises in a list have numbers and no noun.
        let bare: BTreeSet<u32> = match noun {
            GAME => BTreeSet::new(),
            DIAGRAM => outline.diagrams().collect(),
            _ => outline.exercises().collect(),
        };
        let all = places.keys().chain(&perhaps).chain(&bare);
        let all: BTreeSet<u32> = all.copied().collect();
        let last = *all.last()?;
        let full = all.contains(&1) && 4 * all.len() >= 3 * last as usize;
        // Numbers that begin anew in every chapter are not those of the book.
        let anew = places.get(&1).is_some_and(|places| places.len() > 2);
        Some(Self {
            places,
            perhaps,
            bare,
            last,
            full: full && !anew,
        })
    }

    fn holds(&self, number: u32) -> Held {
        if self.all().any(|held| held == number) {
            Held::Yes
        } else if !self.full || number == 0 {
            Held::Unknown
        } else if number > self.last {
            Held::Beyond
        } else {
            Held::Gap
        }
    }

    fn all(&self) -> impl Iterator<Item = u32> {
        let all = self.places.keys().chain(&self.perhaps).chain(&self.bare);
        all.copied()
    }

    fn numbers(&self) -> Numbers {
        Numbers::of(self.all().collect::<BTreeSet<u32>>())
    }
}

/// A mention that says "above" of what stands below it, or the other way round.
fn other_way(mention: &Mention, printed: &Printed, text: &[u8]) -> Option<Remark> {
    let (way, word) = mention.way.clone()?;
    if !(mention.shown && matches!(mention.role, Role::Points { .. })) {
        return None;
    }
    let number = mention.number;
    let places = printed.places.get(&number)?;
    let here = mention.span.start;
    let wrong = match way {
        Way::Above => places.iter().all(|&place| place > here),
        Way::Below => places.iter().all(|&place| place < here),
    };
    // What may be printed elsewhere, or floats on its page, has no certain side.
    let floats = || memchr::memmem::find(text, b"begin{figure").is_some();
    if !wrong || printed.perhaps.contains(&number) || floats() {
        return None;
    }
    Some(Remark {
        span: mention.span.clone(),
        what: What::OtherWay {
            noun: NOUNS[mention.noun],
            number,
            stands: match way {
                Way::Above => Way::Below,
                Way::Below => Way::Above,
            },
            word,
        },
    })
}
