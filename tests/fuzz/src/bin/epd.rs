//! See `gainsay_tests::fuzzing::epd`.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| gainsay_tests::fuzzing::epd(data));
