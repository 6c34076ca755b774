//! See `gainsay_tests::fuzzing::manuscripts`.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| gainsay_tests::fuzzing::manuscripts(data));
