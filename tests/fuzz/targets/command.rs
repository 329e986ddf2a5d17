#![no_main]
//! Command lines.

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| tuckwright_fuzz::words::line(bytes));
