//! Prints an annotated book for measuring:
//! `cargo run --release -p gainsay-tests --bin book [GAMES] > book.pgn`, 300 games unless
//! the number is given.

use std::io::Write;

use gainsay_tests::book::book;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let games = std::env::args().nth(1);
    let games = games.map_or(Ok(300), |number| number.parse())?;
    std::io::stdout().lock().write_all(book(games).as_bytes())?;
    Ok(())
}
