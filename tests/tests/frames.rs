//! How statements are framed: asserted, denied, asked, supposed, told of others; see
//! `fixtures/frames`.

use gainsay_tests::{accuracy::run, fixtures};

#[test]
fn nothing_is_taken_for_said_that_is_only_framed() {
    let frames = run(&fixtures().join("frames")).expect("the corpus is there");
    let sum = frames.sum();
    assert!(sum.truths >= 140 && sum.falsehoods >= 130, "{sum:?}");
    assert!(frames.traps.truths >= 140, "{:?}", frames.traps);
    assert_eq!(sum.false_alarms, 0, "{}", frames.misses);
    assert_eq!(frames.traps.false_alarms, 0, "{}", frames.misses);
    assert_eq!(frames.ticks, 0, "{}", frames.misses);
}
