//! See `gainsay_tests::fuzzing::edits`.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| gainsay_tests::fuzzing::edits(data));
