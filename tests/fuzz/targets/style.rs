#![no_main]
//! A style as text, laid over two albums.

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| tuckwright_fuzz::whole::styled(bytes));
