#![no_main]
//! A list of pieces, and what is cut of it.

use libfuzzer_sys::fuzz_target;
use tuckwright_fuzz::{cutting, readers};

fuzz_target!(|text: &str| {
    if let Some((_, wants)) = readers::pieces(text) {
        cutting::listed(wants);
    }
});
