#![no_main]
//! An album that is drawn: why it does not fit, and whether the fixes help.

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| tuckwright_fuzz::explaining::album(bytes));
