#![no_main]
//! Supplies as a file of their own.

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| drop(tuckwright_fuzz::readers::read_supplies(bytes)));
