//! Phrases that point to other games and tell how they ended. What is told of no other game
//! is left to the phrases of positions.

use crate::lang::make;
use crate::pattern::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    Phrase::new("game N; game no|nr|number N", make::game_reference),
    Phrase::new("previous|preceding game", make::previous_game),
    Phrase::new("next|following game", make::next_game),
    Phrase::new(
        "same position arose|arises|occurred|occurs|appeared|appears; same position @was reached; reached the same position",
        make::same_position,
    )
    .of_games(),
    Phrase::new(
        "SIDE won|wins; SIDE won|wins the game; SIDE won|wins in|after N moves|move; SIDE won|wins on|at move N; won by SIDE; won by SIDE in|after N moves|move; won by SIDE on|at move N; \
         SIDE 's win|victory",
        make::game_won,
    )
    .inside()
    .of_games(),
    Phrase::new(
        "SIDE lost|loses; SIDE lost|loses the game; SIDE lost|loses in|after N moves|move; SIDE lost|loses on|at move N; lost by SIDE; lost by SIDE in|after N moves|move; lost by SIDE on|at move N; \
         SIDE 's loss|defeat; SIDE resigned|resigns; SIDE resigned|resigns on|at|after move N; SIDE resigned|resigns after N moves",
        make::game_lost,
    )
    .inside()
    .of_games(),
    Phrase::new(
        "ended|ends|finished in|as|with a? draw; ended|ends|finished in|as|with a? draw after|in N moves|move; ended|ends|finished drawn|peacefully; @was drawn in|after N moves|move; @was drawn on|at move N",
        make::game_drawn,
    )
    .nobody()
    .of_games(),
    Phrase::new(
        "SIDE mated|checkmated|mates|checkmates; SIDE mated|checkmated|mates|checkmates on|at move N; SIDE gave|gives|delivered|delivers|forced|forces mate|checkmate on|at move N",
        make::game_mated,
    )
    .inside()
    .of_games(),
    Phrase::new(
        "ended|ends|finished in|with mate|checkmate; ended|ends|finished in|with mate|checkmate on|at move N; mate|checkmate on|at move N",
        make::game_mated,
    )
    .nobody()
    .of_games(),
];
