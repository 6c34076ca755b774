//! See `gainsay_tests::fuzzing::commentary`.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| gainsay_tests::fuzzing::commentary(data));
