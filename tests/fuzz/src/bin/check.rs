//! See `gainsay_tests::fuzzing::check`.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| gainsay_tests::fuzzing::check(data));
