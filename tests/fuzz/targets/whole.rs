#![no_main]
//! An album that is drawn, all the way.

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| tuckwright_fuzz::whole::album(bytes));
