//! What building tables of endings costs, against a plain pass over their positions.
//!
//! `cargo bench -p gainsay-proof --bench endings -- [SIGNATURE…]`; without names, one table of
//! every kind. Each row: the processor time of the plain pass and of the pass on sets, and how
//! often the second goes into the first. The tables must be the same, byte for byte.

use std::{
    process::ExitCode,
    sync::{Arc, atomic::AtomicBool},
    time::Instant,
};

use gainsay_proof::endings::{Signature, Table, Tables};

fn main() -> ExitCode {
    let named: Vec<String> = std::env::args()
        .skip(1)
        .filter(|argument| !argument.starts_with('-'))
        .collect();
    let usual = ["KQK", "KPK", "KQKR", "KBNK", "KQPK", "KPPK", "KRKP"];
    let names = if named.is_empty() {
        usual.map(str::to_owned).to_vec()
    } else {
        named
    };
    let stop = AtomicBool::new(false);
    let tables = Tables::new(usize::MAX);
    println!(
        "{:8} {:>9} {:>9} {:>7}",
        "table", "plain s", "sets s", "ratio"
    );
    for name in names {
        let Ok(signature) = name.parse::<Signature>() else {
            eprintln!("{name} is no ending of up to four men");
            return ExitCode::FAILURE;
        };
        // What it needs is built first, and not measured.
        if let Err(error) = tables.build(signature, &stop) {
            eprintln!("{name}: {error}");
            return ExitCode::FAILURE;
        }
        let lookup = |wanted: Signature| -> Option<Arc<Table>> { tables.get(wanted) };
        let measure = |plainly: bool| {
            let begin = Instant::now();
            let table = if plainly {
                Table::build_plainly(signature, &lookup, &stop)
            } else {
                Table::build(signature, &lookup, &stop)
            };
            (begin.elapsed().as_secs_f64(), table)
        };
        let (plain, one) = measure(true);
        let (sets, other) = measure(false);
        let same = match (one, other) {
            (Ok(one), Ok(other)) => one.to_bytes() == other.to_bytes(),
            _ => false,
        };
        println!("{name:8} {plain:9.3} {sets:9.3} {:7.1}", plain / sets);
        if !same {
            eprintln!("{name}: the two tables differ");
            return ExitCode::FAILURE;
        }
    }
    ExitCode::SUCCESS
}
