//! Phrases of draws.

use crate::claim::Mood;
use crate::lang::make;
use crate::pattern::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    Phrase::new("stalemate; stalemates; @drawn @with|because|due|owing of|to? stalemate", make::stalemate).nobody(),
    Phrase::new("stalemated", make::stalemate),
    Phrase::new("only|merely|just perpetual check?; no|nothing more|better than perpetual check?", make::perpetual).affirmed(),
    Phrase::new("perpetual check; perpetual; perpetually checks; checks|checking forever; check forever; checks for ever; check for ever; @drawn @with|because|due|owing of|to? perpetual check?", make::perpetual),
    Phrase::new("no escape from the checks; cannot|can't escape the checks; no way out of the checks; the checks never end", make::perpetual).affirmed(),
    Phrase::new("checks run|ran out; checks will run out; checks @is|@was over; out of checks", make::perpetual).denied(),
    Phrase::new("repetition; repetition of moves|position; repeats|repeat|repeating|repeated the? moves|position; position @is|@was repeats|repeat|repeating|repeated; second time the? position; position @is|occurs|occurred|arises|arose|appears|appeared for the? second time; position for the? second time", make::repetition),
    Phrase::new("threefold|triple repetition; three fold repetition; threefold|triple repetition of moves|position|positions; three fold repetition of moves|position|positions; third time the? position; position @is|occurs|occurred|arises|arose|appears|appeared for the? third time; position for the? third time; \
         @drawn @with|because|due|owing of|to? repetition; @drawn @with|because|due|owing of|to? threefold|triple repetition; @drawn @with|because|due|owing of|to? three fold repetition; \
         three fold; position has|had|occurs|occurred|arisen occurred|arisen? three times; same position three times", make::threefold),
    Phrase::new("threefold|repetition incoming|coming|looms|near; three fold incoming|coming|looms|near; N fold incoming|coming|looms|near; @is|@was incoming|coming threefold|repetition", make::threefold).mood(Mood::Hedged),
    Phrase::new("N fold repetition?", make::n_fold),
    Phrase::new("fifty move|moves rule?; fifty move draw; N move|moves rule; @drawn @with|under|because|due|owing of|to? fifty move|moves rule?; @drawn @with|under|because|due|owing of|to? N move|moves rule", make::fifty),
    Phrase::new("insufficient material; insufficient mating material; not enough material; not enough mating material; @drawn @with|because|due|owing of|to? insufficient mating? material; \
         neither side|player can mate|win; neither side|player has mating material", make::insufficient).affirmed(),
    // Five times and 75 moves end a game by themselves.
    Phrase::nothing("fivefold repetition; five fold repetition; four|five times; seventy five move|moves rule?; position has|had occurred|arisen four|five times"),
    Phrase::new("dead position; position @is|@was dead; @drawn @with|because|due|owing of|to? dead position", make::dead),
    // Players may agree on a draw anywhere.
    Phrase::nothing("@drawn @with|through? agreement; @drawn agreed"),
];
