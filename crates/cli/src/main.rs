//! The command `gainsay`.
fn main() {}
