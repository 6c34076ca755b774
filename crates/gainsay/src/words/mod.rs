//! Words at the end: what outcomes are called before an author sees them.
//!
//! The only place where verdicts become sentences, rules, severities and titles of remedies.
//! It comes after everything that is remembered, so that no verdict depends on a word here.

mod board;
mod deeds;
mod draws;
mod exercises;
mod judgements;
mod lines;
mod mate_names;
mod material;
mod mates;
mod phrases;
mod pointers;
mod structure;

use crate::{
    fingerprint::Fingerprint,
    outcome::{Claimed, Defences, Evidence, Fault, Judged, Open, Outcome, PlaceWhy, Why},
    report::{Edit, Finding, Remedy, SettledClaim},
    rule::{Rule, Severity},
    show,
    sink::Sink,
};
use std::{borrow::Cow, ops::Range};

use shakmaty::Chess;

use self::phrases::{Said, line};

impl Claimed<'_> {
    /// The claim with its verdict.
    pub(crate) fn settled(&self, judged: &Judged) -> SettledClaim {
        let grounds = judged.outcome.grounds();
        let position = grounds.and_then(|grounds| grounds.position.as_ref());
        let open = match &judged.outcome {
            Outcome::Unsettled(open) => Some(open),
            Outcome::Holds(_) | Outcome::Fails(_) => None,
        };
        SettledClaim {
            kind: Cow::Borrowed(self.kind),
            text: self.text.to_owned(),
            span: self.span.clone(),
            game: self.game,
            mv: self.mv(judged),
            position: Some(show::fen(position.map_or(self.here, |placed| &placed.0))),
            verdict: judged.outcome.verdict(),
            exact: grounds.and_then(|grounds| grounds.exact),
            evidence: evidence(judged),
            note: note(judged),
            side_lines: judged.side_lines.clone(),
            proof: judged.proof.clone(),
            nodes: judged.nodes,
            short: open == Some(&Open::Spent),
            unread: judged.outcome.unread().to_vec(),
            outcome: judged.outcome.clone(),
            exercise: judged.exercise.clone(),
        }
    }

    /// The move it stands at.
    fn mv(&self, judged: &Judged) -> Option<String> {
        let own = self.mv.map(ToOwned::to_owned);
        judged.stands_at.clone().or(own)
    }

    /// Puts what is wrong with it into a sink.
    pub(crate) fn tell(&self, judged: &Judged, sink: &mut Sink<'_>) {
        for fault in judged.faults() {
            let rule = rule(&fault.why);
            if sink.wants(rule) {
                sink.push(self.finding(rule, fault, judged));
            }
        }
    }

    /// What is wrong, in words.
    fn finding(&self, rule: &'static Rule, fault: &Fault, judged: &Judged) -> Finding {
        let place = |span: &Range<u32>| {
            let at = |offset: u32| self.base + offset as usize;
            at(span.start)..at(span.end)
        };
        let (position, evidence) = match (&fault.shown, judged.outcome.grounds()) {
            (Some(shown), _) => {
                let mut lines: Vec<String> = shown.lines.iter().map(line).collect();
                lines.extend(judge(judged));
                (Some(&shown.position), lines)
            }
            (None, Some(grounds)) => (grounds.position.as_ref(), evidence(judged)),
            (None, None) => (None, Vec::new()),
        };
        let message = message(
            &fault.why,
            self.text,
            position.map_or(self.here, |placed| &placed.0),
        );
        let remedies = (fault.instead.iter()).filter_map(|instead| {
            let first = instead.edits.first()?;
            let edits = instead.edits.iter().map(|edit| Edit {
                span: place(&edit.span),
                text: edit.text.clone(),
            });
            Some(Remedy {
                title: format!("Write {}", first.text),
                safe: false,
                edits: edits.collect(),
            })
        });
        Finding {
            rule,
            severity: Severity::Hint,
            span: fault.span.as_ref().map_or_else(|| self.span.clone(), place),
            game: self.game,
            mv: self.mv(judged),
            position: position.map(|placed| show::fen(&placed.0)),
            message,
            evidence,
            note: note(judged),
            related: Vec::new(),
            remedies: remedies.collect(),
            fingerprint: Fingerprint::default(),
        }
    }
}

/// What shows a verdict: lines, and what else there is. A false statement about another place
/// is shown by what is true there.
fn evidence(judged: &Judged) -> Vec<String> {
    let Some(grounds) = judged.outcome.grounds() else {
        return Vec::new();
    };
    let mut titles: Vec<&str> = Vec::new();
    let mut told: Vec<String> = Vec::new();
    for evidence in &grounds.evidence {
        match evidence {
            Evidence::Line(shown) => told.push(line(shown)),
            Evidence::Game(title) => titles.push(title),
            Evidence::LastMove(number) => told.push(format!("the last move is number {number}")),
        }
    }
    if !titles.is_empty() {
        told.push(titles.join(", "));
    }
    if told.is_empty()
        && let Outcome::Fails(refuted) = &judged.outcome
        && let [fault] = refuted.reasons.as_slice()
        && matches!(
            fault.why,
            Why::Place(PlaceWhy::WrongGame(_) | PlaceWhy::InOtherGame { .. })
        )
    {
        told.push(message(&fault.why, "", &Chess::default()));
    }
    told.extend(judge(judged));
    told
}

/// Says so where the judgement of another program had a part in a verdict.
fn judge(judged: &Judged) -> Option<String> {
    let name = judged.outcome.grounds()?.judged_by.as_ref()?;
    Some(format!("judged by {name}"))
}

/// What more there is to say of the evidence.
fn note(judged: &Judged) -> Option<String> {
    if let Outcome::Unsettled(Open::NotProved { what }) = &judged.outcome {
        return Some(exercises::not_proved(*what));
    }
    let grounds = judged.outcome.grounds()?;
    match (grounds.defences, grounds.searched) {
        (Some(Defences::None), _) => Some("every reply is the only legal one".to_owned()),
        (Some(Defences::Shorter), _) => Some("every other defence is shorter".to_owned()),
        (Some(Defences::NoLonger), _) => Some("no defence lasts longer".to_owned()),
        (None, searched) => searched.map(show::searched),
    }
}

/// The rule that is broken.
const fn rule(why: &Why) -> &'static Rule {
    match why {
        Why::Mate(why) => mates::rule(why),
        Why::Line(why) => lines::rule(why),
        Why::Move(why) => judgements::rule(why),
        Why::Deed(why) => deeds::rule(why),
        Why::Draw(_) => draws::RULE,
        Why::Exercise(why) => exercises::rule(why),
        Why::Material(why) => material::rule(why),
        Why::Piece(why) => board::rule(why),
        Why::Structure(_) => structure::RULE,
        Why::Place(why) => pointers::rule(why),
    }
}

/// What is wrong, as a sentence. `text` are the claim's words, `position` the one that they are
/// wrong in.
fn message(why: &Why, text: &str, position: &Chess) -> String {
    let told = match why {
        Why::Mate(why) => Said::Sentence(mates::told(why)),
        Why::Line(why) => Said::Sentence(lines::told(why, position)),
        Why::Move(why) => judgements::told(why),
        Why::Deed(why) => deeds::told(why),
        Why::Draw(why) => Said::Sentence(draws::told(why)),
        Why::Exercise(why) => Said::Sentence(exercises::told(why)),
        Why::Material(why) => material::told(why),
        Why::Piece(why) => board::told(why),
        Why::Structure(why) => structure::told(why),
        Why::Place(why) => Said::Sentence(pointers::told(why)),
    };
    match told {
        Said::Sentence(sentence) => sentence,
        Said::Clause(clause) => format!("\"{text}\": {clause}."),
    }
}
