#![no_main]
//! A cutting job.

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| tuckwright_fuzz::cutting::job(bytes));
