#![no_main]
//! An album as text, with its supplies, as far as small limits go.

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| tuckwright_fuzz::whole::read(bytes));
