//! Phrases that judge positions and moves.

use crate::claim::Mood;
use crate::lang::make;
use crate::pattern::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    // ---- verdicts ----
    Phrase::new(
        "@is|@was @total? winning|won; @is|@was not|no? longer? @total? winning|won; @has a? @total? winning|won|decisive position|advantage|game|attack|ending|endgame|edge; \
         @with a? @total? winning|won|decisive position|advantage|game|attack|ending|endgame|edge; winning|decisive advantage|position; with decisive effect|advantage; \
         wins easily; won position|game|ending; @has a? forced|simple|easy|trivial win; \
         @is|@was a? @triviality win; @is|@was @total? crushing; @has an? easy|simple|clear|sure way|road to victory|win; easy|simple|clear|sure way|road to victory",
        make::winning,
    ),
    Phrase::new("@is|@was @total lost; @has a? @total? lost position|game|ending; hopelessly|completely|totally lost; lost position; @is|@was lost; @is|@was @total? busted|toast|hopeless; @is|@was dead lost; @is|@was so lost; @is|@was @total? losing; @is|@was not|no? longer? @total? losing|lost", make::lost),
    Phrase::new(
        "@is|@was @much better; stands|stood|standing @much better; @is|@was quite a? bit better; @has a? @much advantage|edge|superiority|plus; @with a? @much advantage|edge|superiority|plus; @much advantage",
        make::much_better,
    ),
    Phrase::new(
        "@is|@was better; @is|@was for choice; @has an? @slight? advantage|edge|initiative|plus|pull; @with an? @slight? advantage|edge|plus|pull; \
         @slight advantage|edge|plus; upper hand; @has the better|superior position|game|ending|endgame|chances; better position|game|chances; stands|stood|standing @slight? better; has the better of it; has the edge",
        make::better,
    ),
    Phrase::new("stands|stood|standing @much better", make::much_better),
    Phrase::new("stands|stood|standing @much worse", make::much_worse),
    Phrase::new("wins for SIDE", make::winning).inside(),
    Phrase::new("@much better for SIDE; @much advantage|edge|plus for SIDE", make::much_better).inside(),
    Phrase::new("better for SIDE; @is|@was better for SIDE; better position|game|chances|ending|endgame for SIDE; @with? a? @slight advantage|edge|plus|pull for SIDE; @slight? advantage|edge|plus for SIDE; favours|favors SIDE; in favour|favor of SIDE; in SIDE 's favour|favor", make::better).inside(),
    Phrase::new("winning|won for SIDE; a win for SIDE; @is|@was @total? winning|won for SIDE; @with? a? @total? winning|won|decisive position|advantage|game|attack|ending|endgame|edge for SIDE; @triviality win for SIDE; @is|@was a? @triviality win for SIDE; @total? winning for SIDE; winning|decisive advantage for SIDE", make::winning).inside(),
    // Of the game, or of the match.
    Phrase::new("victory for SIDE", make::winning).inside().mood(Mood::Hedged),
    Phrase::new("lost for SIDE; hopeless for SIDE; @total? lost for SIDE; @is|@was @total? lost|hopeless for SIDE; @total? lost|hopeless position|game|ending|endgame for SIDE; how lost SIDE @was|@is; SIDE @is|@was @total? doomed; SIDE @is|@was done for; SIDE @is|@was @total? finished; \
         SIDE 's days @is|@was numbered; all? over for SIDE; it|this|that|game|all @is|@was all? @total? over for SIDE; @total over for SIDE; game over for SIDE", make::lost).inside(),
    Phrase::new("worse for SIDE; @slight worse for SIDE", make::worse).inside(),
    Phrase::new("it|this|that|which @is|'s|@was? bad|terrible|awful|grim|dire|difficult|unpleasant|uncomfortable|horrible for SIDE; bad|terrible|awful|grim|unpleasant for SIDE", make::worse).inside().mood(Mood::Hedged),
    Phrase::new("position|ending|endgame|game @is|'s|@was good|great|excellent|fine|pleasant|favourable|favorable|promising for SIDE; favourable|favorable|promising for SIDE; advantage SIDE", make::better).inside().mood(Mood::Hedged),
    Phrase::nothing("advantage SIDE @is|@has|had|gained|gains|obtained|enjoys|enjoyed|will|can|could|needs|gets|might|may|holds|held|now|still"),
    Phrase::nothing("@is even @comparative; @is not only better; @is|@was better than LINE?"),
    Phrase::new("it|this|that|game|all @is|@was @total? over; it @is|@was all @total? over; game @is|@was @total? decided|finished; @is|@was @total? curtains; game over", make::winning).nobody(),
    // What is won or lost is no game.
    Phrase::nothing("@is|@was @total? winning|won opening|positional|strategic|psychological|first? race|battle|fight|war|struggle|tournament|match|event|contest|argument|debate|tempo|tempi|space|ground|control|prize|bet|time; \
         @is|@was @total? winning|won|lost on|in|by|for time|clock|thought|tournament|match|space|tempo|forfeit|default|words|complications|translation|event|crowd|section|group; \
         @is|@was @total? winning|won|lost positionally|strategically|morally|psychologically|practically"),
    // Something less than the game is lost or over.
    Phrase::nothing("@is|@was @total? losing time|tempo|tempi|control|ground|patience|interest|hope|heart|grip|thread|initiative|sight|touch|track|focus|momentum|steam|way|\
         the|a|an|his|her|their|its|my|our|your|some|all|too|more|much|one|two|three|several|many|both|because|to|sleep|rating|confidence|concentration|on|no|nothing|anyway; \
         SIDE @is|@was finished with|developing|development|castling|moving|preparing|his|her|the|mobilising|mobilizing; losing moves|plan|side|attempt|blunder|mistake|combination|continuation; \
         it|this|that|game|all @is|@was over by|in|on|there|here|before|at|quickly|until; game|all over again|the"),
    // "Black's better watch out" is advice.
    Phrase::nothing("@is|had better @advice"),
    Phrase::new("not worse; no longer worse; @is|@was not|no? longer? @slight? worse; @is|@was @slight? worse; @is|@was quite a? bit worse; worse position|game|ending; stands|stood|standing @slight? worse", make::worse),
    Phrase::new("@is|@was @much worse; stands|stood|standing @much worse; @much worse", make::much_worse),
    Phrase::new("@is|@was about|roughly|approximately|nearly|almost|fairly equal|level|balanced|even; about|roughly|approximately equal|level; @is|@was @total? equal|level|balanced|even; equal|level|balanced|even position|game|ending|chances; equality; equalises; equalizes; equalised; equalized; @total equal; holds the? balance", make::equal),
    Phrase::new("@is|@was unclear; unclear position|game; with chances for both; double edged", make::unclear),
    Phrase::new("@is|@was a? @total? draw|drawn; @is|@was a? bloody|clear|simple|fair|obvious|sure|straightforward|trivial|comfortable|theoretical draw; dead|theoretical|certain|easy|book draw; drawn position|ending|endgame|game; draws; holds the? draw; draw by|with LINE; dead drawn|equal|level; a draw; leads to a? draw; should be a? draw", make::drawn),
    // ---- quality of moves ----
    Phrase::new("best move|reply|defence|defense|continuation|try|choice|chance|option; @is|@was best; LINE @is|@was the? best; strongest move|continuation; correct move|reply|continuation; correct @is|@was; best @is|@was; \
         correct|right|best take|capture|recapture|choice; most stubborn|tenacious|resilient|accurate|precise defence|defense|move|reply|continuation; toughest defence|defense; best way|path|plan to win; best|simplest|easiest|quickest|fastest|cleanest way|route|road to win|victory", make::best),
    Phrase::new("@is|@was better than LINE; LINE had to be played|tried|chosen; LINE @is|@was called for; LINE @is|@was indicated|necessary|essential|correct|right|obligatory; should|must have played|tried|chosen LINE; \
         ought to have played|tried|chosen LINE; LINE @is|@was? a? better try|chance|choice|option|idea; LINE @is|@was @much? better|stronger|preferable|simpler|safer; better|stronger|preferable|simpler|safer @is|@was LINE; better|stronger|preferable|simpler|safer @is|@was to? play|try|continue LINE; better LINE; stronger LINE; LINE @is|@was a? @much? better|stronger move|alternative|defence|defense|continuation|reply; LINE @is|@was @much? superior|stronger|simpler|safer; more accurate|precise|accurately", make::better_move).inside(),
    Phrase::new("@is|@was a? @much? better|stronger|safer|simpler move|alternative|defence|defense|continuation|reply|choice|option|idea|plan; \
         @is|@was even? @much? stronger|superior|preferable|simpler|safer; @much stronger|superior|simpler|preferable than?", make::better_move),
    Phrase::new("good|strong|excellent|fine|great|brilliant|accurate|precise|beautiful|nice|powerful|correct|clever move", make::good_move),
    Phrase::new("LINE wins; LINE @is|@was winning; LINE wins at? once|quickly|immediately|easily; and wins; and SIDE wins; winning move; SIDE wins; also|still|too wins; wins too|also|easily|quickly|immediately|outright|trivially|faster|sooner; wins @much? simpler|easier|faster|quicker|sooner|more; wins by force; LINE @is|@was a? @triviality win", make::wins),
    Phrase::new("mistake; error; misstep; inaccuracy; inaccurate; weak|bad|poor|wrong|dubious|doubtful|inferior|careless|hasty move; slip; oversight; miscalculation", make::mistake),
    Phrase::new("blunder; blunders; blundered; howler; gaffe; lemon; losing move; @gross @errs; gives away the? game|win; throws|threw|throwing|thrown away the? win|game|everything|draw; throws|threw|throwing the? game|win|victory|draw|everything away; throws|threw it all? away; spoils|spoiled|spoilt the? win", make::blunder),
    Phrase::new("misses|missed|missing|overlooks|overlooked|overlooking a? win|mate|chance|opportunity; misses|missed|missing|overlooks|overlooked|overlooking a? LINE; @is|@was missed|overlooked; @has been missed|overlooked; goes|went|gone unnoticed", make::missed),
];
